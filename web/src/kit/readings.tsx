// readings.tsx: measuring a band: lengths and what the scale shows; its curve appears as one types.
import { useEffect, useState } from "preact/hooks";
import type { Curve, CurveQuestion } from "../api-types";
import { ask, asProblem, newIdentifier, type Fault } from "../desk/api";
import { Choice, Text } from "../desk/form";
import { Drawing } from "../desk/picture";
import { forceIn, metresOf, newtonsOf, numberOf, typed, type ForceUnit } from "../desk/units";

export interface TypedReading {
  reading: string;
  length_cm: string;
  force: string;
}
export interface TypedReadings {
  unit: ForceUnit;
  rows: TypedReading[];
}

export function emptyReadings(): TypedReadings {
  return { unit: "kgf", rows: [0, 1].map(() => ({ reading: newIdentifier(), length_cm: "", force: "" })) };
}

/** Rows that are whole, in SI. */
export function readingsOf(given: TypedReadings): { reading: string; length_m: number; force_n: number }[] {
  return given.rows.flatMap((row) => {
    const length = numberOf(row.length_cm),
      force = numberOf(row.force);
    return length === null || force === null
      ? []
      : [{ reading: row.reading, length_m: metresOf(length), force_n: newtonsOf(force, given.unit) }];
  });
}

export function readingFaults(given: TypedReadings, rest_cm: number | null): Fault[] {
  return given.rows.flatMap((row, index) => {
    const faults: Fault[] = [];
    if (row.length_cm.trim() === "" && row.force.trim() === "") return faults;
    const length = numberOf(row.length_cm),
      force = numberOf(row.force);
    if (length === null)
      faults.push({ pointer: `/readings/${index}/length_m`, detail: `Reading ${index + 1}: type the length in cm.` });
    else if (rest_cm !== null && length <= rest_cm)
      faults.push({
        pointer: `/readings/${index}/length_m`,
        detail: `Reading ${index + 1}: the length must be more than the flat length of ${rest_cm} cm.`,
      });
    if (force === null || force <= 0)
      faults.push({
        pointer: `/readings/${index}/force_n`,
        detail: `Reading ${index + 1}: type what the scale showed, more than 0.`,
      });
    return faults;
  });
}

export function Readings({
  given,
  set,
  rest_cm,
  known,
}: {
  given: TypedReadings;
  set: (next: TypedReadings) => void;
  rest_cm: number | null;
  known: { length_m: number; force_n: number }[];
}) {
  const change = (index: number, part: Partial<TypedReading>) =>
    set({ ...given, rows: given.rows.map((row, i) => (i === index ? { ...row, ...part } : row)) });
  const changeUnit = (unit: ForceUnit) =>
    set({
      unit,
      rows: given.rows.map((row) => {
        const force = numberOf(row.force);
        return force === null ? row : { ...row, force: typed(forceIn(newtonsOf(force, given.unit), unit), 2) };
      }),
    });
  const half = rest_cm === null ? null : Math.round(rest_cm * 1.5),
    double = rest_cm === null ? null : Math.round(rest_cm * 2);
  return (
    <>
      <ol class="plain">
        <li>Stretch the band slowly three times to about double its length.</li>
        <li>Hook the scale to one end; hold the other fast. Face turned aside.</li>
        <li>
          Pull to one and a half times the flat length{half === null ? "" : ` (${half} cm)`}, read the scale; then to double
          {double === null ? "" : ` (${double} cm)`}, read again.
        </li>
      </ol>
      <Choice
        pointer="/unit"
        label="The scale shows"
        value={given.unit}
        set={(unit) => changeUnit(unit as ForceUnit)}
        options={[
          { value: "kgf", words: "kilograms (kgf)" },
          { value: "N", words: "newtons (N)" },
        ]}
      />
      {given.rows.map((row, index) => (
        <fieldset key={row.reading} class="reading">
          <legend>Reading {index + 1}</legend>
          <Text
            pointer={`/readings/${index}/length_m`}
            label={`Length ${index + 1}`}
            unit="cm"
            value={row.length_cm}
            set={(length_cm) => change(index, { length_cm })}
            inputMode="decimal"
            width={7}
          />
          <Text
            pointer={`/readings/${index}/force_n`}
            label={`Scale ${index + 1}`}
            unit={given.unit}
            value={row.force}
            set={(force) => change(index, { force })}
            inputMode="decimal"
            width={7}
          />
          {given.rows.length > 1 && (
            <button
              type="button"
              class="small"
              onClick={() => set({ ...given, rows: given.rows.filter((_, i) => i !== index) })}
              aria-label={`Take reading ${index + 1} away`}>
              ×
            </button>
          )}
        </fieldset>
      ))}
      <p>
        <button
          type="button"
          onClick={() => set({ ...given, rows: [...given.rows, { reading: newIdentifier(), length_cm: "", force: "" }] })}>
          One more reading
        </button>
      </p>
      <LiveCurve rest_m={rest_cm === null ? null : metresOf(rest_cm)} readings={[...known, ...readingsOf(given)]} />
    </>
  );
}

/** The curve of what is typed so far; nothing is kept. */
function LiveCurve({ rest_m, readings }: { rest_m: number | null; readings: { length_m: number; force_n: number }[] }) {
  const [curve, setCurve] = useState<Curve | null>(null);
  const [words, setWords] = useState("");
  const usable =
    rest_m === null
      ? []
      : readings.filter((one) => one.length_m > rest_m && one.force_n > 0).map(({ length_m, force_n }) => ({ length_m, force_n }));
  const asked = rest_m !== null && usable.length > 0 ? JSON.stringify([rest_m, usable]) : "";
  useEffect(() => {
    if (!asked) {
      setCurve(null);
      return;
    }
    const ending = new AbortController();
    const timer = setTimeout(() => {
      const width = Math.max(280, Math.min(800, document.querySelector("main")!.clientWidth - 40));
      const question: CurveQuestion = { rest_length_m: rest_m!, readings: usable, width };
      ask<Curve>("POST", "/api/curve", question, ending.signal).then(
        (found) => {
          setCurve(found);
          setWords(curveWords(found));
        },
        (thrown) => {
          if (!ending.signal.aborted) {
            setCurve(null);
            setWords(asProblem(thrown).detail || asProblem(thrown).title);
          }
        },
      );
    }, 300);
    return () => {
      clearTimeout(timer);
      ending.abort();
    };
  }, [asked]);
  if (!asked) return <p class="quiet">The curve appears here as soon as there are a flat length and a reading.</p>;
  return (
    <div class="live-curve">
      <p role="status">{words}</p>
      {curve && <Drawing text={curve.svg} />}
    </div>
  );
}

export function curveWords(curve: Curve): string {
  const parts = [
    curve.at_double_n === null
      ? ""
      : `At double length it pulls with ${typed(forceIn(curve.at_double_n, "kgf"), 1)} kgf (${Math.round(curve.at_double_n)} N), give or take ${Math.round(curve.error_percent)} %.`,
    curve.news ?? "",
  ];
  return parts.filter(Boolean).join(" ");
}
