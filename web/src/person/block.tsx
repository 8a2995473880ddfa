// block.tsx: the weeks ahead: how often, on which days, which class, when it gets easier.
import { useState } from "preact/hooks";
import type { Block, ClassBrief, Person } from "../api-types";
import { ask, newIdentifier, personPath, useAsked } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Form, Select, Text, Ticks } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { numberOf } from "../desk/units";
import { addDays, dayWords, listWords, plural, todayHere } from "../desk/words";
import { PersonFrame } from "./frame";

const weekdayWords = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]; // ISO 8601: Monday is 1

function BlockWords({ block, classes }: { block: Block; classes: ClassBrief[] }) {
  const { plan } = block;
  const called = classes.find((one) => one.class === plan.class)?.called;
  return (
    <>
      <p class="big">
        {block.called || "Training block"}: {dayWords(block.from_day)} to {dayWords(block.until_day)}
      </p>
      <p>
        {plural(plan.sessions_a_week, "time")} a week
        {plan.weekdays.length > 0
          ? `, on ${listWords(plan.weekdays.map((day) => weekdayWords[day - 1] ?? String(day)))}`
          : ""}; {plural(plan.sets, "set")} of each exercise
        {plan.easier_every_weeks ? `; an easier week every ${plan.easier_every_weeks} weeks` : ""}
        {called ? (
          <>
            ; class <a href={`/class/${encodeURIComponent(plan.class!)}`}>{called}</a>
          </>
        ) : (
          ""
        )}
        .
      </p>
    </>
  );
}

interface TypedBlock {
  block: string;
  version: number;
  called: string;
  from_day: string;
  until_day: string;
  sessions: string;
  weekdays: string[];
  class: string;
  sets: string;
  easier: string;
}

function typedOf(block: Block | undefined): TypedBlock {
  const today = todayHere();
  return {
    block: block?.block ?? newIdentifier(),
    version: (block?.version ?? 0) + 1,
    called: block?.called ?? "Block 1",
    from_day: block?.from_day ?? today,
    until_day: block?.until_day ?? addDays(today, 8 * 7 - 1),
    sessions: String(block?.plan.sessions_a_week ?? 2),
    weekdays: (block?.plan.weekdays ?? []).map(String),
    class: block?.plan.class ?? "",
    sets: String(block?.plan.sets ?? 1),
    easier: block ? String(block.plan.easier_every_weeks ?? "") : "4",
  };
}

function Plan({
  person,
  block,
  classes,
  again,
}: {
  person: Person;
  block: Block | undefined;
  classes: ClassBrief[];
  again: () => void;
}) {
  const draft = useDraft(`block:${person.person}:${block?.block ?? "new"}:${block?.version ?? 0}`, () => typedOf(block));
  const given = draft.value;
  const set = (part: Partial<TypedBlock>) => draft.set((old) => ({ ...old, ...part }));
  const whole = (text: string, low: number, high: number) => {
    const value = numberOf(text);
    return value !== null && Number.isInteger(value) && value >= low && value <= high;
  };
  const check = () => [
    ...(given.until_day > given.from_day ? [] : [{ pointer: "/until_day", detail: "The last day must come after the first." }]),
    ...(whole(given.sessions, 1, 7)
      ? []
      : [{ pointer: "/plan/sessions_a_week", detail: "Times a week: a whole number from 1 to 7." }]),
    ...(whole(given.sets, 1, 6) ? [] : [{ pointer: "/plan/sets", detail: "Sets: a whole number from 1 to 6." }]),
    ...(given.easier.trim() === "" || whole(given.easier, 2, 12)
      ? []
      : [{ pointer: "/plan/easier_every_weeks", detail: "An easier week every 2 to 12 weeks, or left empty." }]),
  ];
  const send = async () => {
    const next: Block = {
      block: given.block,
      version: given.version,
      called: given.called.trim(),
      from_day: given.from_day,
      until_day: given.until_day,
      retired: false,
      plan: {
        sessions_a_week: numberOf(given.sessions)!,
        weekdays: given.weekdays.map(Number).sort(),
        class: given.class || null,
        sets: numberOf(given.sets)!,
        easier_every_weeks: numberOf(given.easier),
      },
    };
    await ask<Block>("POST", personPath(person.person, "/blocks"), next);
    draft.drop();
    note("The training block is kept.");
    again();
  };
  return (
    <Form action={block ? "Keep this version" : "Keep the block"} check={check} send={send}>
      <Text pointer="/called" label="Name" value={given.called} set={(called) => set({ called })} width={24} />
      <Text pointer="/from_day" label="First day" type="date" value={given.from_day} set={(from_day) => set({ from_day })} />
      <Text pointer="/until_day" label="Last day" type="date" value={given.until_day} set={(until_day) => set({ until_day })} />
      <Text
        pointer="/plan/sessions_a_week"
        label="Times a week"
        value={given.sessions}
        set={(sessions) => set({ sessions })}
        inputMode="numeric"
        width={4}
      />
      <Ticks
        pointer="/plan/weekdays"
        label="On"
        help="With a day of rest between. None ticked: any."
        value={given.weekdays}
        set={(weekdays) => set({ weekdays })}
        options={weekdayWords.map((words, index) => ({ value: String(index + 1), words }))}
      />
      <Select
        pointer="/plan/class"
        label="Class"
        value={given.class}
        set={(id) => set({ class: id })}
        options={[
          { value: "", words: "none in particular" },
          ...classes.filter((one) => !one.retired).map((one) => ({ value: one.class, words: one.called })),
        ]}
      />
      <Text
        pointer="/plan/sets"
        label="Sets of each exercise"
        value={given.sets}
        set={(sets) => set({ sets })}
        inputMode="numeric"
        width={4}
      />
      <Text
        pointer="/plan/easier_every_weeks"
        label="An easier week every … weeks"
        help="Empty: never."
        value={given.easier}
        set={(easier) => set({ easier })}
        inputMode="numeric"
        width={4}
      />
    </Form>
  );
}

function Blocks({ person }: { person: Person }) {
  const asked = useAsked<Block[]>(personPath(person.person, "/blocks"));
  const classes = useAsked<ClassBrief[]>("/api/classes");
  const mayWrite = useMayWrite();
  const [changing, setChanging] = useState(false);
  const today = todayHere();
  const all = (asked.value ?? []).filter((one) => !one.retired).sort((a, b) => b.from_day.localeCompare(a.from_day));
  const now = all.find((one) => one.until_day >= today);
  const past = all.filter((one) => one !== now);
  return (
    <>
      <Waiting asked={asked} what="the block" />
      {asked.value && (
        <Section title="Now">
          {now ? (
            <BlockWords block={now} classes={classes.value ?? []} />
          ) : (
            <p>No training block: {person.called} is expected by their own rhythm.</p>
          )}
          {mayWrite && !changing && (
            <p>
              <button type="button" onClick={() => setChanging(true)}>
                {now ? "Change the block" : "Plan a block"}
              </button>
            </p>
          )}
          {changing && classes.value && (
            <Plan
              key={now?.version ?? 0}
              person={person}
              block={now}
              classes={classes.value}
              again={() => {
                setChanging(false);
                asked.again();
              }}
            />
          )}
        </Section>
      )}
      {past.length > 0 && (
        <Section title="Before">
          {past.map((block) => (
            <BlockWords key={block.block} block={block} classes={classes.value ?? []} />
          ))}
        </Section>
      )}
    </>
  );
}

export function BlockPage({ person }: { person: string }) {
  return (
    <PersonFrame person={person} room="Training block">
      {(found) => <Blocks person={found} />}
    </PersonFrame>
  );
}
