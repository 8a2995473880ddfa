// measures.tsx: how a day began (check-ins), and outcome measures with what a change means.
import type { CheckIn, NewCheckIn, NewOutcome, Outcome, Person, Side } from "../api-types";
import { ask, newIdentifier, personPath, useAsked, useCatalogue, type Asked, type Fault } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Choice, Form, Select, Text, Tick } from "../desk/form";
import { announce, note } from "../desk/notice";
import { Section, Table, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { numberOf } from "../desk/units";
import { dayWords, sideWords, todayHere, unitWords } from "../desk/words";
import { PersonFrame } from "./frame";

const verdicts: Record<NonNullable<CheckIn["verdict"]>, string> = {
  go: "go",
  lighter: "lighter today",
  not_today: "not today",
  ask_first: "ask the clinician first",
};

function rangeFault(pointer: string, text: string, low: number, high: number, what: string): Fault[] {
  const value = numberOf(text);
  return text.trim() === "" || (value !== null && value >= low && value <= high)
    ? []
    : [{ pointer, detail: `${what} is a number from ${low} to ${high}, or left empty.` }];
}

function AddCheckIn({ person, again }: { person: Person; again: () => void }) {
  const empty = () => ({ record: newIdentifier(), day: todayHere(), room_c: "", humidity: "", fatigue: "", sleep: "", words: "" });
  const draft = useDraft(`check-in:${person.person}`, empty);
  const given = draft.value;
  const set = (part: Partial<typeof given>) => draft.set((old) => ({ ...old, ...part }));
  const at = (field: string) => `/check_ins/0/${field}`;
  const check = () => [
    ...rangeFault(at("room_c"), given.room_c, -10, 50, "The room's temperature in °C"),
    ...rangeFault(at("humidity_percent"), given.humidity, 0, 100, "Humidity in %"),
    ...rangeFault(at("fatigue"), given.fatigue, 0, 10, "Fatigue"),
    ...rangeFault(at("sleep"), given.sleep, 0, 10, "Sleep"),
  ];
  const send = async () => {
    const record: NewCheckIn = {
      record: given.record,
      person: person.person,
      day: given.day,
      at: null,
      replaces: null,
      withdrawn: false,
      note: given.words.trim(),
      room_c: numberOf(given.room_c),
      humidity_percent: numberOf(given.humidity),
      fatigue: numberOf(given.fatigue),
      sleep: numberOf(given.sleep),
      readiness: null,
      answers: null,
    };
    await ask("POST", "/api/check-ins", { check_ins: [record] });
    draft.drop();
    note({
      words: "The check-in is kept.",
      undo: {
        label: "Undo",
        run: async () => {
          await ask("POST", "/api/check-ins", {
            check_ins: [{ ...record, record: newIdentifier(), replaces: record.record, withdrawn: true }],
          });
          again();
          note("The check-in is withdrawn.");
        },
      },
    });
    again();
  };
  return (
    <details>
      <summary>Add a check-in</summary>
      <Form action="Keep the check-in" check={check} send={send}>
        <Text pointer={at("day")} label="Day" type="date" value={given.day} set={(day) => set({ day })} />
        <Text
          pointer={at("fatigue")}
          label="Fatigue now, 0 none to 10 worst"
          value={given.fatigue}
          set={(fatigue) => set({ fatigue })}
          inputMode="numeric"
          width={5}
        />
        <Text
          pointer={at("sleep")}
          label="Sleep, 0 worst to 10 best"
          value={given.sleep}
          set={(sleep) => set({ sleep })}
          inputMode="numeric"
          width={5}
        />
        <Text
          pointer={at("room_c")}
          label="Room"
          unit="°C"
          value={given.room_c}
          set={(room_c) => set({ room_c })}
          inputMode="decimal"
          width={5}
        />
        <Text
          pointer={at("humidity_percent")}
          label="Humidity"
          unit="%"
          value={given.humidity}
          set={(humidity) => set({ humidity })}
          inputMode="decimal"
          width={5}
        />
        <Text pointer={at("note")} label="Note" value={given.words} set={(words) => set({ words })} />
      </Form>
    </details>
  );
}

const orDash = (value: number | null, unit = "") => (value === null ? "–" : `${Math.round(value * 10) / 10}${unit}`);

function CheckIns({ person }: { person: Person }) {
  const asked = useAsked<CheckIn[]>(personPath(person.person, "/check-ins"));
  const mayWrite = useMayWrite();
  const shown = asked.value?.filter((one) => one.current && !one.withdrawn) ?? [];
  const latest = shown[0];
  return (
    <Section title="Check-ins" wide>
      <Waiting asked={asked} what="the check-ins" />
      {latest?.verdict && (
        <p class="big">
          {dayWords(latest.day)}: {verdicts[latest.verdict]}. {latest.words.join(" ")}
        </p>
      )}
      {asked.value && shown.length === 0 && <p>None yet. Ask before each class: it says what kind of day it is.</p>}
      {mayWrite && (
        <AddCheckIn
          person={person}
          again={() => {
            asked.again();
            announce("The list is new.");
          }}
        />
      )}
      {shown.length > 0 && (
        <Table
          caption="Check-ins, newest first"
          columns={[
            { head: "Day" },
            { head: "Fatigue", number: true },
            { head: "Sleep", number: true },
            { head: "Heat index", number: true },
            { head: "Says" },
            { head: "Note" },
          ]}
          rows={shown.map((one) => ({
            key: one.record,
            cells: [
              dayWords(one.day),
              orDash(one.fatigue),
              orDash(one.sleep),
              orDash(one.heat_index_c, " °C"),
              one.verdict ? verdicts[one.verdict] : "–",
              one.note || "–",
            ],
          }))}
        />
      )}
    </Section>
  );
}

function AddOutcome({ person, again }: { person: Pick<Person, "person" | "called">; again: () => void }) {
  const catalogue = useCatalogue();
  const measures = catalogue.value?.measures ?? [];
  const draft = useDraft(`outcome:${person.person}`, () => ({
    record: newIdentifier(),
    day: todayHere(),
    measure: "",
    value: "",
    side: "both" as Side,
    practice: false,
    aid: "",
    words: "",
  }));
  const given = draft.value;
  const set = (part: Partial<typeof given>) => draft.set((old) => ({ ...old, ...part }));
  const at = (field: string) => `/outcomes/0/${field}`;
  const measure = measures.find((one) => one.measure === given.measure);
  const check = () => [
    ...(measure ? [] : [{ pointer: at("measure"), detail: "Choose what was measured." }]),
    ...(numberOf(given.value) !== null ? [] : [{ pointer: at("value"), detail: "Type the value, a number." }]),
  ];
  const send = async () => {
    const record: NewOutcome = {
      record: given.record,
      person: person.person,
      day: given.day,
      at: null,
      replaces: null,
      withdrawn: false,
      note: given.words.trim(),
      measure: given.measure,
      value: numberOf(given.value)!,
      unit: measure!.unit,
      side: given.side,
      practice: given.practice,
      aid: given.aid.trim() || null,
    };
    await ask("POST", "/api/outcomes", { outcomes: [record] });
    draft.drop();
    note({
      words: "The measure is kept.",
      undo: {
        label: "Undo",
        run: async () => {
          await ask("POST", "/api/outcomes", {
            outcomes: [{ ...record, record: newIdentifier(), replaces: record.record, withdrawn: true }],
          });
          again();
          note("The measure is withdrawn.");
        },
      },
    });
    again();
  };
  return (
    <details>
      <summary>Add a measure</summary>
      <Form action="Keep the measure" check={check} send={send}>
        <Select
          pointer={at("measure")}
          label="Measure"
          {...(measure ? { help: measure.words } : {})}
          value={given.measure}
          set={(id) => set({ measure: id })}
          options={[
            { value: "", words: "choose" },
            ...measures.map((one) => ({
              value: one.measure,
              words: unitWords(one.unit) ? `${one.name} (${unitWords(one.unit)})` : one.name,
            })),
          ]}
        />
        <Text
          pointer={at("value")}
          label="Value"
          {...(measure && unitWords(measure.unit) ? { unit: unitWords(measure.unit) } : {})}
          value={given.value}
          set={(value) => set({ value })}
          inputMode="decimal"
          width={7}
        />
        <Choice
          pointer={at("side")}
          label="Side"
          value={given.side}
          set={(side) => set({ side: side as Side })}
          options={(["both", "left", "right"] as Side[]).map((side) => ({ value: side, words: sideWords[side] }))}
        />
        <Tick
          pointer={at("practice")}
          label="A practice try"
          help="The first try of a test is practice: it is kept, and not compared."
          value={given.practice}
          set={(practice) => set({ practice })}
        />
        <Text pointer={at("aid")} label="Walking aid, if one was used" value={given.aid} set={(aid) => set({ aid })} />
        <Text pointer={at("day")} label="Day" type="date" value={given.day} set={(day) => set({ day })} />
        <Text pointer={at("note")} label="Note" value={given.words} set={(words) => set({ words })} />
      </Form>
    </details>
  );
}

export function Outcomes({ person }: { person: Pick<Person, "person" | "called"> }) {
  const asked: Asked<Outcome[]> = useAsked<Outcome[]>(personPath(person.person, "/outcomes"));
  const catalogue = useCatalogue();
  const mayWrite = useMayWrite();
  const shown = asked.value?.filter((one) => one.current && !one.withdrawn) ?? [];
  const name = (measure: string) => catalogue.value?.measures.find((one) => one.measure === measure)?.name ?? measure;
  return (
    <Section title="Outcome measures" wide>
      <Waiting asked={asked} what="the measures" />
      {asked.value && shown.length === 0 && (
        <p>None yet. A real change is large: take a practice try first, then measure every few months at the same hour.</p>
      )}
      {mayWrite && <AddOutcome person={person} again={asked.again} />}
      {shown.length > 0 && (
        <Table
          caption="Outcome measures, newest first"
          columns={[
            { head: "Day" },
            { head: "Measure" },
            { head: "Value", number: true },
            { head: "What it says" },
            { head: "Note" },
          ]}
          rows={shown.map((one) => ({
            key: one.record,
            cells: [
              dayWords(one.day),
              `${name(one.measure)}${one.side === "both" ? "" : `, ${one.side}`}`,
              `${one.value} ${unitWords(one.unit)}`,
              one.practice ? "a practice try" : (one.change_words ?? "–"),
              [one.aid, one.note].filter(Boolean).join("; ") || "–",
            ],
          }))}
        />
      )}
    </Section>
  );
}

export function Measures({ person }: { person: string }) {
  return (
    <PersonFrame person={person} room="Check-ins and measures">
      {(found) => (
        <>
          <CheckIns person={found} />
          <Outcomes person={found} />
        </>
      )}
    </PersonFrame>
  );
}
