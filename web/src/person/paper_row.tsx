// paper_row.tsx: one set on a paper page, filled in before from the advice.
import type { Advised, Catalogue, Ended, Item, PersonAdvice, Side } from "../api-types";
import { newIdentifier } from "../desk/api";
import { numberOf } from "../desk/units";
import { endedShort, sideTail } from "../desk/words";
import { letterOf, readResult, resultWords, writeResult } from "./results";
import { takeKey, type Take } from "./takes";

export interface PaperRow {
  record: string;
  exercise: string;
  side: Side;
  take: string;
  result: string;
  effort: string;
  note: string;
}
const sidesOf = (unilateral: boolean): Side[] => (unilateral ? ["left", "right"] : ["both"]);

export function rowOf(advised: Advised): PaperRow {
  const chosen = advised.ladder.find((rung) => rung.chosen) ?? advised;
  return {
    record: newIdentifier(),
    exercise: advised.exercise,
    side: advised.side,
    take: takeKey(chosen),
    result: "",
    effort: "",
    note: "",
  };
}

export interface Known {
  advice: PersonAdvice;
  catalogue: Catalogue;
  kit: Item[];
}
export function advisedFor(row: PaperRow, known: Known): Advised | undefined {
  return known.advice.advised.find((one) => one.exercise === row.exercise && one.side === row.side);
}
export function windowEnd(row: PaperRow, known: Known): number {
  return (advisedFor(row, known) ?? known.advice.advised[0])?.window_to_s ?? 90;
}
function rowName(row: PaperRow, known: Known): string {
  const name = known.catalogue.exercises.find((one) => one.exercise === row.exercise)?.name ?? row.exercise;
  return name + sideTail(row.side);
}

/** What is wrong with a row besides its result. */
export function rowFault(row: PaperRow): string | null {
  const effort = numberOf(row.effort);
  if (row.effort.trim() && (effort === null || effort < 0 || effort > 10)) return "Effort is a number from 0 to 10.";
  return null;
}

export function Line({
  row,
  index,
  known,
  takes,
  set,
  keys,
  fault,
  remove,
}: {
  row: PaperRow;
  index: number;
  known: Known;
  takes: Take[];
  set: (part: Partial<PaperRow>) => void;
  keys: (event: KeyboardEvent) => void;
  fault: string | null;
  remove: () => void;
}) {
  const read = readResult(row.result, windowEnd(row, known));
  const wrong = fault ?? (read.kind === "wrong" ? read.words : rowFault(row));
  const says = wrong ?? (read.kind === "read" ? resultWords(read.result) : read.kind === "unfinished" ? read.words : "");
  const asks = read.kind === "read" && read.result.ended === "symptom" && !row.note;
  const id = `paper-${index}`;
  const name = `Set ${index + 1}`;
  const whats = [
    ...known.advice.advised.map((one) => ({
      exercise: one.exercise,
      side: one.side,
      words: one.exercise_name + sideTail(one.side),
    })),
    ...known.catalogue.exercises
      .flatMap((one) =>
        sidesOf(one.variants.some((variant) => variant.unilateral)).map((side) => ({
          exercise: one.exercise,
          side,
          words: one.name + sideTail(side),
        })),
      )
      .filter((one) => !known.advice.advised.some((other) => other.exercise === one.exercise && other.side === one.side)),
  ];
  return (
    <li class={wrong ? "paper-row wrong" : read.kind === "read" ? "paper-row filled" : "paper-row"}>
      <span class="paper-number" aria-hidden="true">
        {index + 1}
      </span>
      <label>
        <span>Exercise</span>
        <select
          aria-label={`${name}, exercise`}
          value={`${row.exercise}|${row.side}`}
          onChange={(event) => {
            const [exercise, side] = event.currentTarget.value.split("|");
            set({ exercise: exercise!, side: side as Side, take: "" });
          }}>
          {whats.map((one) => (
            <option key={`${one.exercise}|${one.side}`} value={`${one.exercise}|${one.side}`}>
              {one.words}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Took</span>
        <select aria-label={`${name}, took`} value={row.take} onChange={(event) => set({ take: event.currentTarget.value })}>
          {takes.map((take) => (
            <option key={takeKey(take)} value={takeKey(take)}>
              {take.label}
            </option>
          ))}
          {takes.length === 0 && <option value="">nothing that fits in the kit</option>}
        </select>
      </label>
      <label>
        <span>Seconds, end</span>
        <input
          class="result"
          id={id}
          aria-label={`${name}, ${rowName(row, known)}: seconds and how it ended`}
          aria-describedby={`${id}-says`}
          aria-invalid={wrong ? "true" : undefined}
          value={row.result}
          autocomplete="off"
          spellcheck={false}
          autocapitalize="off"
          onKeyDown={keys}
          onInput={(event) => set({ result: event.currentTarget.value })}
        />
      </label>
      <label class="touch">
        <span>Ended</span>
        <select
          aria-label={`${name}, ended`}
          tabIndex={-1}
          value={read.kind === "read" ? read.result.ended : ""}
          onChange={(event) => {
            const ended = event.currentTarget.value as Ended;
            const seconds = read.kind === "read" ? read.result.seconds : (numberOf(row.result.replace(/[a-z].*$/i, "")) ?? 0);
            set({ result: writeResult({ ended, seconds: seconds || windowEnd(row, known), reserve_s: null }) });
          }}>
          <option value="">–</option>
          {(Object.keys(letterOf) as Ended[]).map((ended) => (
            <option key={ended} value={ended}>
              {endedShort[ended]}
            </option>
          ))}
        </select>
      </label>
      <label class="effort">
        <span>Effort 0–10</span>
        <input
          aria-label={`${name}, effort from 0 to 10`}
          value={row.effort}
          inputMode="numeric"
          autocomplete="off"
          onKeyDown={keys}
          onInput={(event) => set({ effort: event.currentTarget.value })}
        />
      </label>
      <label class="paper-note">
        <span>Note</span>
        <input
          aria-label={`${name}, note`}
          value={row.note}
          autocomplete="off"
          onKeyDown={keys}
          onInput={(event) => set({ note: event.currentTarget.value })}
        />
      </label>
      <button type="button" class="small" onClick={remove} aria-label={`Take ${name.toLowerCase()} away`}>
        ×
      </button>
      <p class={wrong ? "says fault" : read.kind === "read" && !asks ? "says plainly" : "says"} id={`${id}-says`}>
        {says}
        {asks && ". Which symptom? Write it in the note."}
      </p>
    </li>
  );
}
