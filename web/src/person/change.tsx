// change.tsx: what is known of a person, as fields: for taking somebody on, and for changing it later.
// Knows the fields, what may stand in them, and the contract's shape behind them. Leaves to others: in which steps they are asked.
import type { Catalogue, Day, Person, PersonChange, Position } from "../api-types";
import type { Fault } from "../desk/api";
import { Area, Choice, Select, Text, Tick, Ticks } from "../desk/form";
import { centimetresOf, metresOf, numberOf, typed } from "../desk/units";
import { positionWords } from "../desk/words";

/** As typed. */
export interface Typed {
  called: string;
  sex: string;
  birth_year: string;
  height_cm: string;
  mass_kg: string;
  condition: string;
  endpoint: string;
  weaker_side: string;
  heat_sensitive: boolean;
  note: string;
  since_day: string;
  left_day: string;
  goals: string[];
  exercises: string[];
  limits: { kind: "movement" | "position"; what: string; reason: string; until_day: string }[];
}

export function blank(today: Day): Typed {
  return {
    called: "",
    sex: "",
    birth_year: "",
    height_cm: "",
    mass_kg: "",
    condition: "ms",
    endpoint: "",
    weaker_side: "",
    heat_sensitive: true,
    note: "",
    since_day: today,
    left_day: "",
    goals: [],
    exercises: [],
    limits: [],
  };
}
export function typedOf(person: Person): Typed {
  return {
    called: person.called,
    sex: person.sex ?? "",
    birth_year: person.birth_year === null ? "" : String(person.birth_year),
    height_cm: person.height_m === null ? "" : typed(centimetresOf(person.height_m), 1),
    mass_kg: typed(person.mass_kg, 1),
    condition: person.condition ?? "",
    endpoint: person.endpoint ?? "",
    weaker_side: person.weaker_side ?? "",
    heat_sensitive: person.heat_sensitive,
    note: person.note,
    since_day: person.since_day ?? "",
    left_day: person.left_day ?? "",
    goals: person.goals,
    exercises: person.exercises,
    limits: person.limits.map((limit) => ({ ...limit, until_day: limit.until_day ?? "" })),
  };
}
export function changeOf(from: Typed): PersonChange {
  const height = numberOf(from.height_cm),
    year = numberOf(from.birth_year);
  return {
    called: from.called.trim(),
    sex: (from.sex || null) as PersonChange["sex"],
    birth_year: year,
    height_m: height === null ? null : metresOf(height),
    mass_kg: numberOf(from.mass_kg),
    condition: (from.condition || null) as PersonChange["condition"],
    endpoint: (from.endpoint || null) as PersonChange["endpoint"],
    weaker_side: (from.weaker_side || null) as PersonChange["weaker_side"],
    heat_sensitive: from.heat_sensitive,
    note: from.note,
    since_day: from.since_day || null,
    left_day: from.left_day || null,
    goals: from.goals,
    exercises: from.exercises,
    limits: from.limits.map((limit) => ({ ...limit, until_day: limit.until_day || null })),
  };
}

/** A number that may be left out, but not be nonsense. */
function numberFault(pointer: string, text: string, low: number, high: number, what: string): Fault[] {
  if (text.trim() === "") return [];
  const value = numberOf(text);
  return value !== null && value >= low && value <= high
    ? []
    : [{ pointer, detail: `${what} must be a number from ${low} to ${high}, or left empty.` }];
}

export function whoFaults(from: Typed): Fault[] {
  return from.called.trim() ? [] : [{ pointer: "/called", detail: "Say what the person is called." }];
}
export function bodyFaults(from: Typed): Fault[] {
  return [
    ...numberFault("/birth_year", from.birth_year, 1900, new Date().getFullYear(), "The year of birth"),
    ...numberFault("/height_m", from.height_cm, 100, 250, "The height in cm"),
    ...numberFault("/mass_kg", from.mass_kg, 25, 300, "The body mass in kg"),
  ];
}
export function limitFaults(from: Typed): Fault[] {
  return from.limits.flatMap((limit, index) =>
    limit.what ? [] : [{ pointer: `/limits/${index}/what`, detail: "Choose what is off limits, or take this line away." }],
  );
}

interface Parts {
  from: Typed;
  set: (next: Typed) => void;
  catalogue: Catalogue;
}

export function WhoFields({ from, set }: Omit<Parts, "catalogue">) {
  return (
    <>
      <Text
        pointer="/called"
        label="Called"
        help="As you call them; it need not be the full name."
        value={from.called}
        set={(called) => set({ ...from, called })}
        width={24}
      />
      <Text
        pointer="/since_day"
        label="With you since"
        type="date"
        value={from.since_day}
        set={(since_day) => set({ ...from, since_day })}
      />
      <Area
        pointer="/note"
        label="Notes"
        help="Only what you need for training; who trains may read it."
        value={from.note}
        set={(note) => set({ ...from, note })}
      />
    </>
  );
}

export function BodyFields({ from, set }: Omit<Parts, "catalogue">) {
  return (
    <>
      <p class="quiet">What is left empty is assumed, and the first advice is less sure for it.</p>
      <Choice
        pointer="/sex"
        label="Sex, for the reference strengths"
        value={from.sex}
        set={(sex) => set({ ...from, sex })}
        options={[
          { value: "female", words: "female" },
          { value: "male", words: "male" },
          { value: "", words: "not said" },
        ]}
      />
      <Text
        pointer="/birth_year"
        label="Year of birth"
        value={from.birth_year}
        set={(birth_year) => set({ ...from, birth_year })}
        inputMode="numeric"
        width={6}
      />
      <Text
        pointer="/height_m"
        label="Height"
        unit="cm"
        value={from.height_cm}
        set={(height_cm) => set({ ...from, height_cm })}
        inputMode="decimal"
        width={6}
      />
      <Text
        pointer="/mass_kg"
        label="Body mass"
        unit="kg"
        value={from.mass_kg}
        set={(mass_kg) => set({ ...from, mass_kg })}
        inputMode="decimal"
        width={6}
      />
      <Choice
        pointer="/condition"
        label="Condition"
        value={from.condition}
        set={(condition) => set({ ...from, condition })}
        options={[
          { value: "ms", words: "multiple sclerosis, or similar" },
          { value: "none", words: "none that weakens" },
          { value: "", words: "not said" },
        ]}
      />
      <Choice
        pointer="/weaker_side"
        label="Weaker side"
        help="Ask; it need not be the side they write with. It goes first, with its own loads."
        value={from.weaker_side}
        set={(weaker_side) => set({ ...from, weaker_side })}
        options={[
          { value: "left", words: "left" },
          { value: "right", words: "right" },
          { value: "", words: "neither, or not known" },
        ]}
      />
      <Tick
        pointer="/heat_sensitive"
        label="Sensitive to heat"
        help="Six to eight in ten people with MS are: leave it ticked unless they say they are not."
        value={from.heat_sensitive}
        set={(heat_sensitive) => set({ ...from, heat_sensitive })}
      />
      <Choice
        pointer="/endpoint"
        label="Sets go to"
        value={from.endpoint}
        set={(endpoint) => set({ ...from, endpoint })}
        options={[
          { value: "", words: "as the screening says" },
          { value: "failure", words: "momentary failure" },
          { value: "reserve", words: "a stop in reserve" },
        ]}
      />
    </>
  );
}

export function GoalFields({ from, set, catalogue }: Parts) {
  return (
    <>
      <Ticks
        pointer="/goals"
        label="What they want to be able to do"
        columns
        value={from.goals}
        set={(goals) => set({ ...from, goals })}
        options={catalogue.goals.map((goal) => ({ value: goal.goal, words: goal.name }))}
      />
      <Ticks
        pointer="/exercises"
        label="Exercises to advise on"
        columns
        help="None ticked: those in the diary."
        value={from.exercises}
        set={(exercises) => set({ ...from, exercises })}
        options={catalogue.exercises.map((one) => {
          const serves = one.goals.filter((goal) => from.goals.includes(goal)).length;
          return {
            value: one.exercise,
            words: one.name,
            ...(serves > 0 ? { help: serves === 1 ? "serves a goal of theirs" : `serves ${serves} goals of theirs` } : {}),
          };
        })}
      />
    </>
  );
}

export function LimitFields({ from, set, catalogue }: Parts) {
  const change = (index: number, part: Partial<Typed["limits"][number]>) =>
    set({ ...from, limits: from.limits.map((limit, i) => (i === index ? { ...limit, ...part } : limit)) });
  const choose = { value: "", words: "choose" };
  const options = (kind: "movement" | "position") =>
    kind === "position"
      ? [
          choose,
          ...(Object.keys(positionWords) as Position[]).map((position) => ({ value: position, words: positionWords[position] })),
        ]
      : [
          choose,
          ...catalogue.exercises.flatMap((one) => one.variants.map((variant) => ({ value: variant.variant, words: variant.name }))),
        ];
  return (
    <>
      <p class="quiet">Positions and movements that this person must not do, and until when. What a clinician said comes first.</p>
      {from.limits.length === 0 && <p>Nothing is off limits.</p>}
      {from.limits.map((limit, index) => (
        <fieldset key={index} class="group">
          <legend>Limit {index + 1}</legend>
          <Choice
            pointer={`/limits/${index}/kind`}
            label="What kind"
            value={limit.kind}
            set={(kind) => change(index, { kind: kind as "movement" | "position", what: "" })}
            options={[
              { value: "position", words: "a position" },
              { value: "movement", words: "a movement" },
            ]}
          />
          <Select
            pointer={`/limits/${index}/what`}
            label="Off limits"
            value={limit.what}
            set={(what) => change(index, { what })}
            options={options(limit.kind)}
          />
          <Text
            pointer={`/limits/${index}/reason`}
            label="Reason"
            value={limit.reason}
            set={(reason) => change(index, { reason })}
          />
          <Text
            pointer={`/limits/${index}/until_day`}
            label="Until (empty: for good)"
            type="date"
            value={limit.until_day}
            set={(until_day) => change(index, { until_day })}
          />
          <button type="button" onClick={() => set({ ...from, limits: from.limits.filter((_, i) => i !== index) })}>
            Take limit {index + 1} away
          </button>
        </fieldset>
      ))}
      <button
        type="button"
        onClick={() => set({ ...from, limits: [...from.limits, { kind: "position", what: "", reason: "", until_day: "" }] })}>
        Add a limit
      </button>
    </>
  );
}
