// wishes.tsx: what a class should be good for, and within which bounds.
import type { Catalogue, ImplementKind, Position, Wishes } from "../api-types";
import type { Fault } from "../desk/api";
import { Text, Ticks } from "../desk/form";
import { numberOf } from "../desk/units";
import { kindWords, positionWords } from "../desk/words";

/** As typed. Weights: 0 not wanted to 3 most of all. */
export interface TypedWishes {
  goals: Record<string, number>;
  minutes: string;
  positions: string[];
  kinds: string[];
  sets: string;
  rest_s: string;
  fixed: string[];
  excluded: string[];
}
export function startWishes(): TypedWishes {
  return {
    goals: {},
    minutes: "30",
    positions: ["seated"],
    kinds: ["body", "band"],
    sets: "1",
    rest_s: "90",
    fixed: [],
    excluded: [],
  };
}
export function typedWishes(wishes: Wishes): TypedWishes {
  const most = Math.max(...wishes.goals.map((one) => one.weight), 0);
  return {
    ...wishes,
    goals: Object.fromEntries(
      wishes.goals.map((one) => [one.goal, most > 3 ? Math.max(1, Math.round((one.weight / most) * 3)) : one.weight]),
    ),
    minutes: String(wishes.minutes),
    sets: String(wishes.sets),
    rest_s: String(wishes.rest_s),
  };
}
export function wishesOf(from: TypedWishes): Wishes {
  return {
    goals: Object.entries(from.goals)
      .filter(([, weight]) => weight > 0)
      .map(([goal, weight]) => ({ goal, weight })),
    minutes: numberOf(from.minutes) ?? 0,
    positions: from.positions as Position[],
    kinds: from.kinds as ImplementKind[],
    sets: numberOf(from.sets) ?? 1,
    rest_s: numberOf(from.rest_s) ?? 90,
    fixed: from.fixed,
    excluded: from.excluded,
  };
}
export function wishFaults(from: TypedWishes): Fault[] {
  const minutes = numberOf(from.minutes),
    sets = numberOf(from.sets),
    rest = numberOf(from.rest_s);
  return [
    ...(Object.values(from.goals).some((weight) => weight > 0) ? [] : [{ pointer: "/goals", detail: "Choose at least one goal." }]),
    ...(minutes !== null && minutes >= 5 && minutes <= 120
      ? []
      : [{ pointer: "/minutes", detail: "Minutes: a number from 5 to 120." }]),
    ...(from.positions.length > 0 ? [] : [{ pointer: "/positions", detail: "Choose at least one position." }]),
    ...(from.kinds.length > 0 ? [] : [{ pointer: "/kinds", detail: "Choose at least one kind of resistance." }]),
    ...(sets !== null && Number.isInteger(sets) && sets >= 1 && sets <= 4
      ? []
      : [{ pointer: "/sets", detail: "Sets: a whole number from 1 to 4." }]),
    ...(rest !== null && rest >= 60 && rest <= 240 ? [] : [{ pointer: "/rest_s", detail: "Rest: from 60 to 240 seconds." }]),
  ];
}

const weights = ["no", "yes", "important", "most of all"];

export function WishFields({
  from,
  set,
  catalogue,
}: {
  from: TypedWishes;
  set: (part: Partial<TypedWishes>) => void;
  catalogue: Catalogue;
}) {
  const exercise = (id: string) => catalogue.exercises.find((one) => one.exercise === id)?.name ?? id;
  return (
    <>
      <fieldset class="field">
        <legend>Good for</legend>
        <div class="goals">
          {catalogue.goals.map((goal, index) => (
            <label key={goal.goal} class={from.goals[goal.goal] ? "goal wanted" : "goal"} title={goal.words}>
              <span>{goal.name}</span>
              <select
                id={index === 0 ? "first-goal" : undefined}
                value={from.goals[goal.goal] ?? 0}
                onChange={(event) => set({ goals: { ...from.goals, [goal.goal]: Number(event.currentTarget.value) } })}>
                {weights.map((words, weight) => (
                  <option key={words} value={weight}>
                    {words}
                  </option>
                ))}
              </select>
            </label>
          ))}
        </div>
      </fieldset>
      <Ticks
        pointer="/positions"
        label="Positions"
        value={from.positions}
        set={(positions) => set({ positions })}
        options={(Object.keys(positionWords) as Position[]).map((one) => ({ value: one, words: positionWords[one] }))}
      />
      <Ticks
        pointer="/kinds"
        label="Resistance"
        value={from.kinds}
        set={(kinds) => set({ kinds })}
        options={(Object.keys(kindWords) as ImplementKind[]).map((one) => ({ value: one, words: kindWords[one] }))}
      />
      <div class="row top">
        <Text
          pointer="/minutes"
          label="Minutes"
          value={from.minutes}
          set={(minutes) => set({ minutes })}
          inputMode="numeric"
          width={5}
        />
        <Text pointer="/sets" label="Sets of each" value={from.sets} set={(sets) => set({ sets })} inputMode="numeric" width={5} />
        <Text
          pointer="/rest_s"
          label="Rest (s)"
          value={from.rest_s}
          set={(rest_s) => set({ rest_s })}
          inputMode="numeric"
          width={5}
        />
      </div>
      {(["fixed", "excluded"] as const).map(
        (list) =>
          from[list].length > 0 && (
            <div key={list} class="field">
              <p class="strong">{list === "fixed" ? "Always in it" : "Left out"}</p>
              <ul class="tags">
                {from[list].map((id) => (
                  <li key={id}>
                    {exercise(id)}{" "}
                    <button
                      type="button"
                      class="small"
                      aria-label={`${exercise(id)}: no longer ${list === "fixed" ? "always in it" : "left out"}`}
                      onClick={() => set({ [list]: from[list].filter((one) => one !== id) })}>
                      ×
                    </button>
                  </li>
                ))}
              </ul>
            </div>
          ),
      )}
    </>
  );
}
