// frame.tsx: what all pages of one person share: the name, what to be careful about, the way to the others.
import type { ComponentChildren } from "preact";
import type { Person } from "../api-types";
import { personPath, useAsked, type Asked } from "../desk/api";
import { Title, Waiting } from "../desk/parts";
import { usePlace } from "../desk/router";
import { useMayWrite } from "../desk/session";
import { dayWords, farWords, plural, todayHere, verdictWords } from "../desk/words";

const rooms: [string, string, boolean][] = [
  // path, words, only for who may write
  ["", "Next loads", false],
  ["/page", "Paper page", true],
  ["/diary", "Diary", false],
  ["/strength", "Strength", false],
  ["/measures", "Check-ins and measures", false],
  ["/block", "Training block", false],
  ["/screening", "Screening", false],
  ["/details", "Details", true],
];

function Head({ person }: { person: Person }) {
  const parts = [
    person.sets === 0 ? "no sets yet" : plural(person.sets, "set"),
    person.last_day ? `last trained ${farWords(person.last_day)}` : "",
    person.earliest ? `earliest good day ${person.earliest > todayHere() ? dayWords(person.earliest) : "today"}` : "",
    person.left_day ? `left ${dayWords(person.left_day)}` : "",
  ].filter(Boolean);
  return <p class="brief">{parts.join(" · ")}</p>;
}

/** What must be known before the first set. Never hidden. */
export function Careful({ person }: { person: Person }) {
  const { screening } = person;
  const stop = screening.verdict === "ask_first" || person.declined;
  const quietly = screening.verdict === "clear" && person.cautions.length === 0 && person.limits.length === 0 && !person.declined;
  if (quietly) return null;
  return (
    <aside class={stop ? "careful stop" : "careful"} aria-label="To be careful about">
      {person.declined && (
        <p>
          <strong>
            <span aria-hidden="true">▲ </span>Sudden decline.
          </strong>{" "}
          Ask how they are; new or worse signs for a day or more, without fever or heat: hold, and contact the team.
        </p>
      )}
      {screening.verdict !== "clear" && (
        <p>
          <strong>{verdictWords[screening.verdict]}.</strong>{" "}
          {screening.verdict === "not_asked" && (
            <a href={`/person/${encodeURIComponent(person.person)}/screening`}>
              {screening.answers.length > 0 ? "Go on with the screening" : "Begin the screening"}
            </a>
          )}
        </p>
      )}
      {screening.endpoint_forced && <p>The screening asks for sets that stop in reserve.</p>}
      {person.cautions.length > 0 && (
        <ul>
          {person.cautions.map((caution) => (
            <li key={caution.caution}>{caution.words}</li>
          ))}
        </ul>
      )}
      {person.limits.length > 0 && (
        <p>
          Off limits:{" "}
          {person.limits
            .map(
              (limit) =>
                `${limit.what}${limit.until_day ? ` until ${dayWords(limit.until_day)}` : ""}${limit.reason ? ` (${limit.reason})` : ""}`,
            )
            .join("; ")}
          .
        </p>
      )}
    </aside>
  );
}

/** A page of one person. */
export function PersonFrame({
  person,
  room,
  children,
}: {
  person: string;
  room: string;
  children: (person: Person, asked: Asked<Person>) => ComponentChildren;
}) {
  const asked = useAsked<Person>(personPath(person));
  const { path } = usePlace();
  const mayWrite = useMayWrite();
  const base = `/person/${encodeURIComponent(person)}`;
  const found = asked.value;
  return (
    <>
      <Title name={found ? `${room}: ${found.called}` : room}>
        {found ? found.called : asked.problem ? "This person cannot be shown" : room}
      </Title>
      <Waiting asked={asked} what="the person" />
      {found && (
        <>
          <Head person={found} />
          <nav class="rooms" aria-label={`Pages of ${found.called}`}>
            <ul>
              {rooms
                .filter(([, , writes]) => mayWrite || !writes)
                .map(([tail, words]) => (
                  <li key={tail}>
                    <a href={base + tail} aria-current={path === base + tail ? "page" : undefined}>
                      {words}
                    </a>
                  </li>
                ))}
            </ul>
          </nav>
          {children(found, asked)}
        </>
      )}
    </>
  );
}
