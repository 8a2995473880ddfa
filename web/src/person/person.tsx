// person.tsx: the next load of each exercise, why, and what else would be; the coach says yes, or something else.
import { useState } from "preact/hooks";
import type { Advised, Catalogue, Day, Item, Person, PersonAdvice } from "../api-types";
import { ask, pathOf, personPath, useAsked, useCatalogue, useSending } from "../desk/api";
import { note } from "../desk/notice";
import { OddsBar, OddsWords, Section, Trouble, Waiting } from "../desk/parts";
import { Picture } from "../desk/picture";
import { useMayWrite } from "../desk/session";
import { dayWords, inHundred, kindWords, likelyWords, plural } from "../desk/words";
import { Answer } from "./answer";
import { Careful, PersonFrame } from "./frame";
import { Ladder, nameOf } from "./ladder";
import { sharedSentences, withoutSentences } from "./reasons";

function HowItIsDone({ advised, catalogue }: { advised: Advised; catalogue: Catalogue | null }) {
  const variant = catalogue?.exercises
    .find((one) => one.exercise === advised.exercise)
    ?.variants.find((one) => one.variant === advised.variant);
  const odds = advised.odds;
  return (
    <>
      <Picture most={480} path={(width) => pathOf("/api/figure.svg", { variant: advised.variant, width })} />
      {variant && (
        <ol>
          {variant.set_up.map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
      )}
      {variant && (
        <p>
          {variant.breathing} {variant.cues.join(" ")}
        </p>
      )}
      <p>The set as expected: the shaded band is the window.</p>
      <Picture
        path={(width) =>
          pathOf("/api/set-line.svg", {
            exercise: advised.exercise,
            variant: advised.variant,
            p10: odds.p10_s,
            p50: odds.p50_s,
            p90: odds.p90_s,
            width,
          })
        }
      />
    </>
  );
}

type Panel = "loads" | "how";

function NextLoad({
  advised,
  day,
  person,
  catalogue,
  shared,
  put,
}: {
  advised: Advised;
  day: Day;
  person: string;
  catalogue: Catalogue | null;
  shared: string[];
  put: (next: Advised) => void;
}) {
  const mayWrite = useMayWrite();
  const [panel, setPanel] = useState<Panel | null>(null);
  const what = [
    advised.if_completed && `If it is completed: ${advised.if_completed} next.`,
    advised.if_early && `If it ends early: ${advised.if_early} next.`,
  ]
    .filter(Boolean)
    .join(" ");
  const own = withoutSentences(advised.reason, shared);
  const why = `${own} ${advised.reason.includes("next.") ? "" : what}`.trim();
  const opener = (which: Panel, words: string) => (
    <button type="button" class="link" aria-expanded={panel === which} onClick={() => setPanel(panel === which ? null : which)}>
      {words}
      <span class="unseen"> for {nameOf(advised)}</span>
    </button>
  );
  return (
    <article aria-labelledby={advised.advice}>
      <div class="load">
        <div>
          <h3 id={advised.advice}>{nameOf(advised)}</h3>
          <p class="take">{advised.label}</p>
          <p>
            {advised.variant_name !== advised.exercise_name ? `${advised.variant_name}. ` : ""}
            {advised.setting_words}
          </p>
          <p>
            Aim for <strong>{Math.round(advised.goal_s)} s</strong>. Likely {likelyWords(advised.odds)}.{" "}
            <span class="quiet">
              {advised.sets === 0
                ? "No sets yet."
                : `${plural(advised.sets, "set")}, the last ${dayWords(advised.last_day)}; best rested from ${dayWords(advised.earliest)}.`}
            </span>
          </p>
        </div>
        <div>
          <OddsBar odds={advised.odds} />
          <OddsWords odds={advised.odds} floor={advised.floor_s} from={advised.window_from_s} to={advised.window_to_s} />
        </div>
      </div>
      <p>
        <strong>Why:</strong> {own ? why : `as said above. ${why}`}
      </p>
      {advised.odds.floor > 0.1 && (
        <p class="fault">
          <span aria-hidden="true">▲ </span>
          {inHundred(advised.odds.floor)} in 100 such sets would end before {advised.floor_s} s: an overload.
        </p>
      )}
      {advised.outside_endurance && (
        <p class="quiet">This load lies where times to failure are not known well: take the odds as rough.</p>
      )}
      {mayWrite && <Answer advised={advised} day={day} put={put} />}
      <div class="openers">
        {opener("loads", "All loads")}
        {opener("how", "How it is done")}
        <a href={pathOf(`/person/${encodeURIComponent(person)}/strength`, { exercise: advised.exercise, side: advised.side })}>
          Strength over months<span class="unseen">: {nameOf(advised)}</span>
        </a>
      </div>
      {panel === "loads" && <Ladder advised={advised} />}
      {panel === "how" && <HowItIsDone advised={advised} catalogue={catalogue} />}
    </article>
  );
}

function Kit({ person }: { person: Person }) {
  const asked = useAsked<Item[]>(pathOf("/api/kit", { person: person.person }));
  const items = asked.value?.filter((item) => !item.retired_day) ?? [];
  return (
    <Section title="Kit">
      <Waiting asked={asked} what="the kit" />
      {asked.value && items.length === 0 && <p>No kit yet: advice can use body weight only.</p>}
      {items.length > 0 && (
        <ul class="lines">
          {items.map((item) => (
            <li key={item.item}>
              <a href={`/kit/${encodeURIComponent(item.item)}`}>{item.label}</a> {kindWords[item.kind]}
              {item.person ? "" : ", the studio's"}
              {item.wear ? ` · ${item.wear}` : ""}
            </li>
          ))}
        </ul>
      )}
      <p>
        <a class="button" href={pathOf("/kit/new", { person: person.person })}>
          Add kit
        </a>
      </p>
    </Section>
  );
}

function Loads({ person }: { person: Person }) {
  const asked = useAsked<PersonAdvice>(personPath(person.person, "/advice"));
  const catalogue = useCatalogue();
  const mayWrite = useMayWrite();
  const sending = useSending();
  const advice = asked.value;
  const put = (next: Advised) => {
    if (advice) asked.set({ ...advice, advised: advice.advised.map((one) => (one.advice === next.advice ? next : one)) });
  };
  const open = advice?.advised.filter((one) => one.became === "open") ?? [];
  const acceptAll = () =>
    sending.run(async () => {
      const taken: Advised[] = [];
      try {
        for (const one of open) taken.push(await ask<Advised>("POST", `/api/advice/${encodeURIComponent(one.advice)}/accept`, {}));
      } finally {
        asked.set({ ...advice!, advised: advice!.advised.map((one) => taken.find((other) => other.advice === one.advice) ?? one) });
      }
      const undo = async () => {
        for (const one of taken) await ask("DELETE", `/api/advice/${encodeURIComponent(one.advice)}/answer`);
        asked.again();
        note("All open again.");
      };
      note({ words: `${plural(taken.length, "load")} accepted.`, undo: { label: "Undo", run: undo } });
    });
  const shared = sharedSentences(advice?.advised.map((one) => one.reason) ?? []);
  const cautions = [...new Set(advice?.advised.flatMap((one) => one.cautions) ?? [])];
  return (
    <>
      <Section
        title="Next loads"
        aside={
          advice && (
            <p class="quiet">
              for {dayWords(advice.day)}, {advice.endpoint === "reserve" ? "stopping in reserve" : "to momentary failure"}
            </p>
          )
        }
        wide>
        {asked.problem?.status === 409 ? (
          <p class="big">No loads are advised as things stand. {asked.problem.detail}</p>
        ) : (
          <Waiting asked={asked} what="the advice" />
        )}
        {advice && advice.advised.length === 0 && (
          <p>
            Nothing to advise yet. Choose exercises under{" "}
            <a href={`/person/${encodeURIComponent(person.person)}/details`}>Details</a>, and add kit below.
          </p>
        )}
        {mayWrite && open.length > 1 && (
          <p>
            <button type="button" onClick={acceptAll}>
              Accept all {open.length}
            </button>
          </p>
        )}
        {sending.problem && <Trouble problem={sending.problem} />}
        {shared.length > 0 && (
          <p>
            <strong>For every load:</strong> {shared.join(" ")}
          </p>
        )}
        {advice?.advised.map((one) => (
          <NextLoad
            key={one.advice}
            advised={one}
            day={advice.day}
            person={person.person}
            catalogue={catalogue.value}
            shared={shared}
            put={put}
          />
        ))}
      </Section>
      {cautions.length > 0 && (
        <Section title="Before the sets">
          <ul>
            {cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </Section>
      )}
      {((advice?.notes.length ?? 0) > 0 || person.note) && (
        <Section title="Notes">
          {person.note && <p class="note">{person.note}</p>}
          {advice && advice.notes.length > 0 && (
            <ul>
              {advice.notes.map((words) => (
                <li key={words}>{words}</li>
              ))}
            </ul>
          )}
        </Section>
      )}
    </>
  );
}

export function PersonPage({ person }: { person: string }) {
  const mayWrite = useMayWrite();
  return (
    <PersonFrame person={person} room="Next loads">
      {(found) => (
        <>
          <Careful person={found} />
          <Loads person={found} />
          {mayWrite && <Kit person={found} />}
        </>
      )}
    </PersonFrame>
  );
}
