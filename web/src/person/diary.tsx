// diary.tsx: what was done, newest day first; a correction is a new record that names the one it replaces.
import { useState } from "preact/hooks";
import type { Catalogue, Item, NewSet, Person, SetRecord, Studio } from "../api-types";
import { ask, newIdentifier, pathOf, personPath, useAsked, useCatalogue, type Asked } from "../desk/api";
import { Form, Select, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Table, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { numberOf, typed } from "../desk/units";
import { addDays, dayWords, plural, sideTail, todayHere } from "../desk/words";
import { PersonFrame } from "./frame";
import { withdraw } from "./paper";
import { readResult, resultWords, writeResult } from "./results";
import { takeKey, takesOf } from "./takes";

function newSetOf(record: SetRecord): NewSet {
  const { current: _current, written_by: _by, exercise_name: _name, label: _label, ...rest } = record;
  return rest;
}

function Correct({
  record,
  known,
  done,
  cancel,
  takeAway,
}: {
  record: SetRecord;
  known: Known;
  done: () => void;
  cancel: () => void;
  takeAway: () => void;
}) {
  const [identifier] = useState(newIdentifier);
  const [day, setDay] = useState(record.day);
  const [result, setResult] = useState(writeResult(record));
  const [effort, setEffort] = useState(typed(record.exertion));
  const [words, setWords] = useState(record.note);
  const now = takeKey({ variant: record.variant ?? record.exercise, implement: record.implement, setting: record.setting });
  const [take, setTake] = useState(now);
  const takes = takesOf(record.exercise, undefined, known.catalogue, known.kit);
  const options = [
    ...(takes.some((one) => takeKey(one) === now) ? [] : [{ value: now, words: record.label }]),
    ...takes.map((one) => ({ value: takeKey(one), words: one.label })),
  ];
  const read = readResult(result, known.window.to);
  const effortValue = numberOf(effort);
  const check = () => [
    ...(read.kind === "read"
      ? []
      : [
          {
            pointer: "/sets/0/seconds",
            detail: read.kind === "empty" ? "Type the seconds and how it ended; to take the set away, withdraw it." : read.words,
          },
        ]),
    ...(effort.trim() && (effortValue === null || effortValue < 0 || effortValue > 10)
      ? [{ pointer: "/sets/0/exertion", detail: "Effort is a number from 0 to 10." }]
      : []),
  ];
  const send = async () => {
    if (read.kind !== "read") return;
    const [variant, implement, setting] =
      take === now
        ? [record.variant, record.implement, record.setting]
        : (JSON.parse(take) as [string, string | null, string | null]);
    const corrected: NewSet = {
      ...newSetOf(record),
      record: identifier,
      replaces: record.record,
      day,
      variant,
      implement,
      setting,
      ...read.result,
      exertion: effortValue,
      note: words.trim(),
    };
    await ask("POST", "/api/sets", { sets: [corrected] });
    done();
    note({
      words: `${record.exercise_name}${sideTail(record.side)}: corrected to ${resultWords(read.result)}.`,
      undo: {
        label: "Undo",
        run: async () => {
          await ask("POST", "/api/sets", { sets: [{ ...newSetOf(record), record: newIdentifier(), replaces: identifier }] });
          done();
          note("As it was before.");
        },
      },
    });
  };
  return (
    <Form
      action="Keep the correction"
      check={check}
      send={send}
      class="inset"
      takesFocus
      label={`Correct ${record.exercise_name}${sideTail(record.side)}`}
      more={
        <>
          <button type="button" onClick={cancel}>
            Leave as it is
          </button>
          <button type="button" onClick={takeAway}>
            Withdraw the set
          </button>
        </>
      }>
      <Text
        pointer="/sets/0/seconds"
        label="Seconds, end"
        help={
          read.kind === "read"
            ? resultWords(read.result)
            : read.kind === "empty"
              ? "As on the paper page: 72f, 90c, 55r8, 40s, 30o."
              : read.words
        }
        value={result}
        set={setResult}
        width={8}
      />
      <Select pointer="/sets/0/implement" label="Took" value={take} set={setTake} options={options} />
      <Text pointer="/sets/0/exertion" label="Effort 0–10" value={effort} set={setEffort} inputMode="numeric" width={5} />
      <Text pointer="/sets/0/day" label="Day" type="date" value={day} set={setDay} />
      <Text pointer="/sets/0/note" label="Note" value={words} set={setWords} />
    </Form>
  );
}

/** Where in the window a set ended: time runs to the right, the window is shaded. */
function TimeBar({ record, from, to }: { record: SetRecord; from: number; to: number }) {
  const whole = Math.max(to * 1.15, record.seconds);
  const at = (seconds: number) => `${(seconds / whole) * 100}%`;
  return (
    <span class={`timebar ${record.ended}`} aria-hidden="true">
      <span class="window" style={{ left: at(from), width: at(to - from) }} />
      <span class="end" style={{ left: at(record.seconds) }} />
    </span>
  );
}

interface Known {
  catalogue: Catalogue;
  kit: Item[];
  window: { from: number; to: number };
}

function DayOf({
  day,
  records,
  person,
  again,
  known,
}: {
  day: string;
  records: SetRecord[];
  person: Person;
  again: () => void;
  known: Known | null;
}) {
  const [correcting, setCorrecting] = useState<string | null>(null);
  const mayWrite = useMayWrite();
  const takeAway = async (record: SetRecord) => {
    try {
      await withdraw([newSetOf(record)]);
      setCorrecting(null);
      again();
      note({
        words: `${record.exercise_name}${sideTail(record.side)} of ${dayWords(record.day)} withdrawn.`,
        undo: {
          label: "Undo",
          run: async () => {
            await ask("POST", "/api/sets", { sets: [{ ...newSetOf(record), record: newIdentifier(), replaces: null }] });
            again();
            note("It is back.");
          },
        },
      });
    } catch (thrown) {
      note(thrown instanceof Error ? thrown.message : "That did not work.");
    }
  };
  const result = (record: SetRecord) => {
    const words = resultWords(record);
    return (
      <>
        {record.current ? words : <del>{words}</del>}
        {record.withdrawn && " (withdrawn)"} {known && <TimeBar record={record} {...known.window} />}
      </>
    );
  };
  return (
    <Section title={dayWords(day)} aside={<p class="quiet">{plural(records.filter((one) => one.current).length, "set")}</p>} wide>
      <Table
        caption={`Sets of ${person.called} on ${dayWords(day)}`}
        hideCaption
        columns={[
          { head: "Exercise" },
          { head: "Took", class: "whole" },
          { head: "Time and end" },
          { head: "Effort", number: true },
          { head: "Note" },
          ...(mayWrite ? [{ head: "Change" }] : []),
        ]}
        rows={records.map((record) => ({
          key: record.record,
          class: record.ended === "symptom" && record.current ? "pressing" : record.current ? "" : "past",
          cells: [
            record.exercise_name + sideTail(record.side),
            record.label,
            result(record),
            record.exertion ?? "–",
            record.note || "–",
            ...(mayWrite
              ? [
                  record.current && !record.withdrawn && known ? (
                    <button
                      type="button"
                      class="small"
                      aria-expanded={correcting === record.record}
                      onClick={() => setCorrecting(correcting === record.record ? null : record.record)}>
                      Correct
                      <span class="unseen">
                        {" "}
                        {record.exercise_name}
                        {sideTail(record.side)}, {resultWords(record)}
                      </span>
                    </button>
                  ) : record.withdrawn ? (
                    ""
                  ) : (
                    "replaced"
                  ),
                ]
              : []),
          ],
        }))}
      />
      {known &&
        records
          .filter((record) => record.record === correcting)
          .map((record) => (
            <Correct
              key={record.record}
              record={record}
              known={known}
              cancel={() => setCorrecting(null)}
              takeAway={() => takeAway(record)}
              done={() => {
                setCorrecting(null);
                again();
              }}
            />
          ))}
    </Section>
  );
}

function Days({ person, personAsked }: { person: Person; personAsked: Asked<Person> }) {
  const [weeks, setWeeks] = useState(6);
  const [history, setHistory] = useState(false);
  const from = weeks > 0 ? addDays(todayHere(), -7 * weeks) : null;
  const asked = useAsked<SetRecord[]>(pathOf(personPath(person.person, "/sets"), { from, history: history ? "true" : null }));
  const catalogue = useCatalogue();
  const kit = useAsked<Item[]>(pathOf("/api/kit", { person: person.person }));
  const studio = useAsked<Studio>("/api/studio");
  const mayWrite = useMayWrite();
  const known: Known | null =
    catalogue.value && kit.value && studio.value
      ? {
          catalogue: catalogue.value,
          kit: kit.value,
          window: { from: studio.value.settings.window_from_s, to: studio.value.settings.window_to_s },
        }
      : null;
  const days = new Map<string, SetRecord[]>();
  for (const record of asked.value ?? []) days.set(record.day, [...(days.get(record.day) ?? []), record]);
  const again = () => {
    asked.again();
    personAsked.again();
  };
  return (
    <>
      <div class="row">
        <label class="inline">
          Show{" "}
          <select value={weeks} onChange={(event) => setWeeks(Number(event.currentTarget.value))}>
            <option value={6}>the last 6 weeks</option>
            <option value={26}>the last half year</option>
            <option value={0}>everything</option>
          </select>
        </label>
        <label class="choice">
          <input type="checkbox" checked={history} onChange={(event) => setHistory(event.currentTarget.checked)} />
          <span>also what was replaced</span>
        </label>
      </div>
      <Waiting asked={asked} what="the diary" />
      {asked.value && days.size === 0 && (
        <p>
          No sets {weeks > 0 ? "in these weeks" : "yet"}.{" "}
          {mayWrite && <a href={`/person/${encodeURIComponent(person.person)}/page`}>Type in a paper page</a>}
        </p>
      )}
      {[...days].map(([day, records]) => (
        <DayOf key={day} day={day} records={records} person={person} again={again} known={known} />
      ))}
    </>
  );
}

export function Diary({ person }: { person: string }) {
  return (
    <PersonFrame person={person} room="Diary">
      {(found, asked) => <Days person={found} personAsked={asked} />}
    </PersonFrame>
  );
}
