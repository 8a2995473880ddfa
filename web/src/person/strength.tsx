// strength.tsx: strength over months with its interval, and the same as a table.
import { useState } from "preact/hooks";
import type { PersonAdvice, Side, Strength } from "../api-types";
import { pathOf, personPath, useAsked, useCatalogue } from "../desk/api";
import { Section, Table, Waiting } from "../desk/parts";
import { Picture } from "../desk/picture";
import { go, usePlace } from "../desk/router";
import { dayWords, endedWords, sideTail, sideWords } from "../desk/words";
import { Ladder } from "./ladder";
import { PersonFrame } from "./frame";

function Plot({ person, exercise, side }: { person: string; exercise: string; side: Side }) {
  const asked = useAsked<Strength>(pathOf(personPath(person, "/strength"), { exercise, side }));
  const [tables, setTables] = useState(false);
  const strength = asked.value;
  const nothing = asked.problem?.status === 404 || strength?.estimates.length === 0;
  return (
    <>
      {!nothing && <Waiting asked={asked} what="the strength" />}
      {nothing && <p>No sets of this exercise yet.</p>}
      {strength && strength.estimates.length > 0 && (
        <>
          <p class="big">{strength.words}</p>
          <Picture path={(width) => pathOf(personPath(person, "/strength.svg"), { exercise, side, width })} />
          <details onToggle={(event) => setTables(event.currentTarget.open)}>
            <summary>The same in numbers</summary>
            {tables && (
              <>
                <Table
                  caption="Strength, per cent of the first estimate; the interval holds 8 of 10"
                  columns={[
                    { head: "Day" },
                    { head: "Strength", number: true },
                    { head: "From", number: true },
                    { head: "To", number: true },
                  ]}
                  rows={[...strength.estimates]
                    .reverse()
                    .map((one) => ({
                      key: one.day,
                      cells: [
                        dayWords(one.day),
                        `${Math.round(one.percent)} %`,
                        `${Math.round(one.low)} %`,
                        `${Math.round(one.high)} %`,
                      ],
                    }))}
                />
                <Table
                  caption="What each set says by itself; a set that did not fail says at least this"
                  columns={[
                    { head: "Day" },
                    { head: "Took" },
                    { head: "Time", number: true },
                    { head: "Ended" },
                    { head: "Strength", number: true },
                  ]}
                  rows={[...strength.sets]
                    .reverse()
                    .map((one) => ({
                      key: one.record,
                      cells: [
                        dayWords(one.day),
                        one.label,
                        `${Math.round(one.seconds)} s`,
                        endedWords[one.ended],
                        `${one.ended === "failure" ? "" : "≥ "}${Math.round(one.percent)} %`,
                      ],
                    }))}
                />
              </>
            )}
          </details>
        </>
      )}
    </>
  );
}

/** Any exercise there is: for whoever sees no advice. */
export function Strengths({ person }: { person: string }) {
  const catalogue = useCatalogue();
  const [chosen, setChosen] = useState<string | null>(null);
  const [side, setSide] = useState<Side>("both");
  const all = catalogue.value?.exercises ?? [];
  const exercise = all.find((one) => one.exercise === chosen) ?? all[0];
  const sides: Side[] = exercise?.variants.some((variant) => variant.unilateral) ? ["left", "right"] : ["both"];
  const shown = sides.includes(side) ? side : sides[0]!;
  return (
    <Section title="Strength over months" wide>
      <Waiting asked={catalogue} what="the exercises" />
      {exercise && (
        <>
          <p class="row">
            <label class="inline">
              Exercise{" "}
              <select value={exercise.exercise} onChange={(event) => setChosen(event.currentTarget.value)}>
                {all.map((one) => (
                  <option key={one.exercise} value={one.exercise}>
                    {one.name}
                  </option>
                ))}
              </select>
            </label>
            {sides.length > 1 && (
              <label class="inline">
                Side{" "}
                <select value={shown} onChange={(event) => setSide(event.currentTarget.value as Side)}>
                  {sides.map((one) => (
                    <option key={one} value={one}>
                      {sideWords[one]}
                    </option>
                  ))}
                </select>
              </label>
            )}
          </p>
          <Plot key={`${exercise.exercise}${shown}`} person={person} exercise={exercise.exercise} side={shown} />
        </>
      )}
    </Section>
  );
}

function Chosen({ person }: { person: string }) {
  const { search, path } = usePlace();
  const asked = useAsked<PersonAdvice>(personPath(person, "/advice"));
  const all = asked.value?.advised ?? [];
  const chosen =
    all.find((one) => one.exercise === search.get("exercise") && (!search.get("side") || one.side === search.get("side"))) ??
    all[0];
  // Where the screening says to ask a clinician first there is no advice, and strength can be looked at all the same.
  if (asked.problem?.status === 409) return <Strengths person={person} />;
  return (
    <>
      <Waiting asked={asked} what="the exercises" />
      {asked.value && !chosen && <p>No exercises yet.</p>}
      {chosen && (
        <>
          <p>
            <label class="inline">
              Exercise{" "}
              <select
                value={`${chosen.exercise}|${chosen.side}`}
                onChange={(event) => {
                  const [exercise, side] = event.currentTarget.value.split("|");
                  go(pathOf(path, { exercise: exercise!, side: side! }), "replace");
                }}>
                {all.map((one) => (
                  <option key={one.advice} value={`${one.exercise}|${one.side}`}>
                    {one.exercise_name}
                    {sideTail(one.side)}
                  </option>
                ))}
              </select>
            </label>
          </p>
          <Section title="Over months" wide>
            <Plot key={chosen.advice} person={person} exercise={chosen.exercise} side={chosen.side} />
          </Section>
          <Section title="The ladder now" wide>
            <Ladder key={chosen.advice} advised={chosen} />
          </Section>
        </>
      )}
    </>
  );
}

export function StrengthPage({ person }: { person: string }) {
  return (
    <PersonFrame person={person} room="Strength">
      {() => <Chosen person={person} />}
    </PersonFrame>
  );
}
