// today.tsx: who needs me, then who trains today.
import type { Attention, Today } from "../api-types";
import { pathOf, useAsked } from "../desk/api";
import { Section, Title, Waiting } from "../desk/parts";
import { useMe } from "../desk/session";
import { attentionWords, dayWords, farWords, plural } from "../desk/words";

/** Where the work that is called for gets done. */
function placeOf(attention: Attention): { address: string; words: string } {
  const person = `/person/${encodeURIComponent(attention.person)}`;
  switch (attention.kind) {
    case "not_screened":
      return { address: `${person}/screening`, words: `Screen ${attention.called}` };
    case "no_kit":
      return { address: pathOf("/kit/new", { person: attention.person }), words: `Add kit for ${attention.called}` };
    case "symptom":
      return { address: `${person}/diary`, words: `Open ${attention.called}'s diary` };
    case "decline":
      return {
        address: pathOf(`${person}/strength`, { exercise: attention.exercise }),
        words: `Look at ${attention.called}'s strength`,
      };
    case "missed_weeks":
    case "too_much":
      return { address: `${person}/block`, words: `Open ${attention.called}'s training block` };
    case "ladder_used_up":
    case "advice_waiting":
      return { address: person, words: `Open ${attention.called}'s next loads` };
  }
}
const pressing = new Set<Attention["kind"]>(["symptom", "decline", "too_much"]);

/** One that presses stands by itself; the others stand together by kind, in the order of the first of each. */
function grouped(list: Attention[]): Attention[][] {
  const groups: Attention[][] = [];
  for (const one of list) {
    const group = pressing.has(one.kind) ? undefined : groups.find((other) => other[0]!.kind === one.kind);
    if (group) group.push(one);
    else groups.push([one]);
  }
  return groups;
}
/** Where every sentence is the same but for the name, the names are enough. */
const namesOnly = new Set<Attention["kind"]>(["not_screened", "no_kit", "advice_waiting"]);

function One({ one }: { one: Attention }) {
  const place = placeOf(one);
  return (
    <div>
      <p>
        <strong>
          <a href={`/person/${encodeURIComponent(one.person)}`}>{one.called}</a>
        </strong>{" "}
        <span class="quiet">{farWords(one.day)}</span>
      </p>
      <p>{one.words}</p>
      <p>{one.what_to_do}</p>
      <p>
        <a class="button" href={place.address}>
          {place.words}
        </a>
      </p>
    </div>
  );
}

const shownAtOnce = 5; // of one kind; the rest is a press away, so that who trains today stays near

function Lines({ list, advise }: { list: Attention[]; advise: boolean }) {
  return (
    <ul class="lines">
      {list.map((one, index) => (
        <li key={`${one.person}${one.exercise}${index}`}>
          <span>
            <a href={placeOf(one).address}>
              <strong>{one.called}</strong>
            </a>{" "}
            <span class="quiet">{farWords(one.day)}</span> {one.words} {advise && one.what_to_do}
          </span>
        </li>
      ))}
    </ul>
  );
}

function Several({ list }: { list: Attention[] }) {
  const advice = [...new Set(list.map((one) => one.what_to_do))];
  return (
    <div>
      {advice.length === 1 && <p>{advice[0]}</p>}
      {namesOnly.has(list[0]!.kind) ? (
        <ul class="names">
          {list.map((one) => (
            <li key={one.person}>
              <a href={placeOf(one).address} aria-label={placeOf(one).words}>
                {one.called}
              </a>
            </li>
          ))}
        </ul>
      ) : (
        <>
          <Lines list={list.slice(0, shownAtOnce)} advise={advice.length > 1} />
          {list.length > shownAtOnce && (
            <details>
              <summary>{list.length - shownAtOnce} more</summary>
              <Lines list={list.slice(shownAtOnce)} advise={advice.length > 1} />
            </details>
          )}
        </>
      )}
    </div>
  );
}

function AttentionList({ list }: { list: Attention[] }) {
  return (
    <ol class="attention">
      {grouped(list).map((group) => {
        const { kind, person, exercise } = group[0]!;
        const presses = pressing.has(kind);
        return (
          <li key={`${kind}${person}${exercise}`}>
            <p class={presses ? "kind pressing" : "kind"}>
              {presses && <span aria-hidden="true">▲ </span>}
              {attentionWords[kind]}
              {group.length > 1 && <span class="quiet"> ({group.length})</span>}
            </p>
            {group.length === 1 ? <One one={group[0]!} /> : <Several list={group} />}
          </li>
        );
      })}
    </ol>
  );
}

function Beginning() {
  return (
    <Section title="To begin">
      <ol class="plain">
        <li>
          <a href="/people/new">Add a person</a>: what they are called, their body, what they want to be able to do; then the
          screening, a question at a time.
        </li>
        <li>
          <a href="/kit/new">Measure a band</a>: two readings of a luggage or kitchen scale are enough; add dumbbells and cuff
          weights.
        </li>
        <li>Then each person's page says what to take first, and why.</li>
      </ol>
      <p>
        Or <a href="/files">bring in what you have</a> as CSV files.
      </p>
    </Section>
  );
}

export function TodayPage() {
  const me = useMe();
  const asked = useAsked<Today>("/api/today");
  const today = asked.value;
  const empty = today !== null && today.attention.length === 0 && today.trains.length === 0 && today.recent.length === 0;
  return (
    <>
      <Title name="Today">{dayWords(today?.day ?? me.studio.today)}</Title>
      <Waiting asked={asked} what="the day" />
      {empty && <Beginning />}
      {today && !empty && (
        <>
          <Section title="Who needs you">
            {today.attention.length > 0 ? (
              <AttentionList list={today.attention} />
            ) : (
              <p>Nobody. No decline, no symptom, no week missed.</p>
            )}
          </Section>
          <Section title="Who trains today">
            {today.trains.length > 0 ? (
              <ul class="lines">
                {today.trains.map((one) => (
                  <li key={one.person}>
                    <a href={`/person/${encodeURIComponent(one.person)}`}>
                      <strong>{one.called}</strong>
                    </a>{" "}
                    <span>{one.why}</span>
                    {one.heat_sensitive && <span> Sensitive to heat.</span>}
                    {one.earliest && one.earliest > today.day && (
                      <span>
                        {" "}
                        <strong>Better rested from {dayWords(one.earliest)}.</strong>
                      </span>
                    )}
                    <a class="button" href={`/person/${encodeURIComponent(one.person)}/page`}>
                      Paper page<span class="unseen"> of {one.called}</span>
                    </a>
                  </li>
                ))}
              </ul>
            ) : (
              <p>Nobody is expected today.</p>
            )}
          </Section>
          <Section title="Trained lately">
            {today.recent.length > 0 ? (
              <ul class="lines">
                {today.recent.map((one) => (
                  <li key={one.person + one.day}>
                    <a href={`/person/${encodeURIComponent(one.person)}/diary`}>
                      <strong>{one.called}</strong>
                    </a>{" "}
                    {plural(one.sets, "set")}, {farWords(one.day, today.day)}
                  </li>
                ))}
              </ul>
            ) : (
              <p>No sets in the last days.</p>
            )}
          </Section>
        </>
      )}
    </>
  );
}
