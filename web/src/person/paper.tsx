// paper.tsx: a paper page typed in, by keyboard alone: seconds and a letter, Enter, the next set.
// Knows the grid, its keys, its draft. Leaves to others: a row (paper_row.tsx), the notation (results.ts), what can be taken (takes.ts).
//
// A row's record has its identifier from the beginning, and keeps it in the draft: saving twice is harmless, and nothing is lost by a
// reload or a network that fails half way.
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Day, Item, NewSet, Person, PersonAdvice } from "../api-types";
import { ask, newIdentifier, pathOf, personPath, useAsked, useCatalogue, useSending } from "../desk/api";
import { useDraft } from "../desk/draft";
import { announce, note } from "../desk/notice";
import { Trouble, Waiting } from "../desk/parts";
import { go } from "../desk/router";
import { numberOf } from "../desk/units";
import { plural, todayHere } from "../desk/words";
import { Careful, PersonFrame } from "./frame";
import { advisedFor, Line, rowFault, rowOf, windowEnd, type Known, type PaperRow } from "./paper_row";
import { readResult, resultWords, type Read } from "./results";
import { takeKey, takesOf, type Take } from "./takes";

interface Page {
  day: Day;
  rows: PaperRow[];
}

function setOf(row: PaperRow, read: Read & { kind: "read" }, person: string, day: Day): NewSet {
  const [variant, implement, setting] = JSON.parse(row.take) as [string, string | null, string | null];
  return {
    record: row.record,
    person,
    day,
    at: null,
    replaces: null,
    withdrawn: false,
    note: row.note.trim(),
    exercise: row.exercise,
    variant,
    side: row.side,
    implement,
    setting,
    ended: read.result.ended,
    seconds: read.result.seconds,
    reserve_s: read.result.reserve_s,
    exertion: numberOf(row.effort),
  };
}

/** Take back sets that were kept: for each a record that replaces it and says it was withdrawn. */
export async function withdraw(sets: NewSet[]): Promise<void> {
  await ask("POST", "/api/sets", {
    sets: sets.map((one) => ({ ...one, record: newIdentifier(), replaces: one.record, withdrawn: true })),
  });
}

function Grid({ person, known }: { person: Person; known: Known }) {
  const start = (): Page => ({ day: todayHere(), rows: known.advice.advised.map(rowOf) });
  const draft = useDraft(`paper:${person.person}`, start);
  const sending = useSending();
  const { day, rows } = draft.value;
  const list = useRef<HTMLOListElement>(null);
  const saving = useRef<HTMLButtonElement>(null);
  const takes = useMemo(() => new Map<string, Take[]>(), [known]);
  const takesFor = (row: PaperRow) => {
    const key = `${row.exercise}|${row.side}`;
    if (!takes.has(key)) takes.set(key, takesOf(row.exercise, advisedFor(row, known), known.catalogue, known.kit));
    return takes.get(key)!;
  };
  const setRows = (change: (old: PaperRow[]) => PaperRow[]) => draft.set((old) => ({ ...old, rows: change(old.rows) }));
  const setRow = (index: number, part: Partial<PaperRow>) =>
    setRows((old) =>
      old.map((row, i) => {
        if (i !== index) return row;
        const next = { ...row, ...part };
        if (part.take === "") {
          const advised = advisedFor(next, known);
          const first = takesFor(next)[0];
          next.take = advised ? takeKey(advised) : first ? takeKey(first) : "";
        }
        return next;
      }),
    );
  const focusRow = (index: number) => {
    const input = list.current?.querySelector<HTMLInputElement>(`#paper-${index}`);
    input?.focus();
    input?.select();
    return Boolean(input);
  };
  useEffect(() => {
    focusRow(
      Math.max(
        0,
        rows.findIndex((row) => row.result === ""),
      ),
    );
  }, []);

  const reads = rows.map((row) => readResult(row.result, windowEnd(row, known)));
  const filled = reads.filter((read) => read.kind === "read").length;
  const faultAt = (index: number): string | null => {
    const told = sending.problem?.errors.find((fault) =>
      fault.pointer.startsWith(`/sets/${sent.current.indexOf(rows[index]!.record)}/`),
    );
    return told?.detail ?? null;
  };
  const sent = useRef<string[]>([]);

  const save = async () => {
    const bad = rows.findIndex(
      (row, index) =>
        (reads[index]!.kind !== "empty" && reads[index]!.kind !== "read") ||
        (reads[index]!.kind === "read" && (rowFault(row) !== null || row.take === "")),
    );
    if (bad >= 0) {
      announce(`Set ${bad + 1} needs a look.`);
      focusRow(bad);
      return;
    }
    const sets = rows.flatMap((row, index) => {
      const read = reads[index]!;
      return read.kind === "read" ? [setOf(row, read, person.person, day)] : [];
    });
    if (sets.length === 0) {
      announce("There is nothing to save yet.");
      focusRow(0);
      return;
    }
    sent.current = sets.map((one) => one.record);
    const kept = await sending.run(async () => {
      await ask("POST", "/api/sets", { sets });
    });
    if (!kept) return;
    const before = draft.value;
    draft.drop();
    note({
      words: `${plural(sets.length, "set")} of ${person.called} kept.`,
      undo: {
        label: "Undo",
        run: async () => {
          await withdraw(sets);
          // What was typed comes back, as new records: those that were withdrawn stay so.
          sessionStorage.setItem(
            `thew-draft:paper:${person.person}`,
            JSON.stringify({ ...before, rows: before.rows.map((row) => ({ ...row, record: newIdentifier() })) }),
          );
          note(`${plural(sets.length, "set")} withdrawn. What you typed is back on the page.`);
          go(`/person/${encodeURIComponent(person.person)}/page`);
        },
      },
    });
    go(`/person/${encodeURIComponent(person.person)}/diary`);
  };

  const keys = (index: number) => (event: KeyboardEvent) => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      void save();
      return;
    }
    const step =
      event.key === "ArrowDown"
        ? 1
        : event.key === "ArrowUp" || (event.key === "Enter" && event.shiftKey)
          ? -1
          : event.key === "Enter"
            ? 1
            : 0;
    if (step === 0) return;
    event.preventDefault();
    const read = reads[index]!;
    if (event.key === "Enter" && step > 0) {
      if (read.kind === "wrong" || read.kind === "unfinished") {
        announce(read.words);
        focusRow(index);
        return;
      }
      if (read.kind === "read") announce(resultWords(read.result));
    }
    if (!focusRow(index + step) && step > 0) saving.current?.focus();
  };
  const addRow = () => {
    const last = rows[rows.length - 1];
    const exercise = last?.exercise ?? known.catalogue.exercises[0]!.exercise;
    const fresh: PaperRow = {
      record: newIdentifier(),
      exercise,
      side: last?.side ?? "both",
      take: last?.take ?? "",
      result: "",
      effort: "",
      note: "",
    };
    if (!fresh.take) fresh.take = takeKey(takesFor(fresh)[0] ?? { variant: exercise, implement: null, setting: null });
    setRows((old) => [...old, fresh]);
    requestAnimationFrame(() => focusRow(rows.length));
  };
  const again = () => {
    setRows((old) => [...old, ...known.advice.advised.map(rowOf)]);
    requestAnimationFrame(() => focusRow(rows.length));
  };
  const today = todayHere();
  return (
    <form
      class="paper"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}>
      {sending.problem && <Trouble problem={sending.problem} />}
      <p class="row">
        <label class="inline">
          Day{" "}
          <input
            type="date"
            value={day}
            max={today}
            onInput={(event) => draft.set((old) => ({ ...old, day: event.currentTarget.value || today }))}
          />
        </label>
        {draft.found && (
          <>
            <span>What you typed before is still here.</span>{" "}
            <button type="button" onClick={draft.drop}>
              Begin anew
            </button>
          </>
        )}
      </p>
      <p id="paper-help">
        Type the seconds and a letter, then Enter: <b>72f</b> failure, <b>90c</b> completed, <b>55r8</b> stopped with 8 s in
        reserve, <b>40s</b> symptom, <b>30o</b> other. Leave empty what was not done. Arrow keys go up and down; Ctrl+Enter saves.
      </p>
      <ol class="paper-rows" ref={list}>
        {rows.map((row, index) => (
          <Line
            key={row.record}
            row={row}
            index={index}
            known={known}
            takes={takesFor(row)}
            set={(part) => setRow(index, part)}
            keys={keys(index)}
            fault={faultAt(index)}
            remove={() => {
              setRows((old) => old.filter((_, i) => i !== index));
              requestAnimationFrame(() => focusRow(Math.max(0, index - 1)));
            }}
          />
        ))}
      </ol>
      {rows.length === 0 && <p>No rows yet: nothing is advised for {person.called} so far.</p>}
      <div class="actions">
        <button type="submit" class="main" ref={saving} aria-disabled={sending.sending}>
          {filled === 0 ? "Save" : `Save ${plural(filled, "set")}`}
        </button>
        <button type="button" onClick={addRow}>
          Add a row
        </button>
        {known.advice.advised.length > 0 && (
          <button type="button" onClick={again}>
            Another round of the same
          </button>
        )}
      </div>
    </form>
  );
}

export function Paper({ person }: { person: string }) {
  const advice = useAsked<PersonAdvice>(personPath(person, "/advice"));
  const kit = useAsked<Item[]>(pathOf("/api/kit", { person }));
  const catalogue = useCatalogue();
  // Nothing is advised where the screening says to ask a clinician first; what was done all the same is to be kept.
  const none = advice.problem?.status === 409;
  const known = useMemo((): Known | null => {
    const advised: PersonAdvice | null = none
      ? { person, day: todayHere(), endpoint: "reserve", declined: false, notes: [], advised: [] }
      : advice.value;
    return advised && kit.value && catalogue.value ? { advice: advised, kit: kit.value, catalogue: catalogue.value } : null;
  }, [advice.value, none, kit.value, catalogue.value]);
  return (
    <PersonFrame person={person} room="Paper page">
      {(found) => (
        <>
          <Careful person={found} />
          <h2>Paper page</h2>
          {known ? (
            <Grid person={found} known={known} />
          ) : (
            <>
              <Waiting asked={advice} what="the advice" />
              <Waiting asked={kit} what="the kit" />
              <Waiting asked={catalogue} what="the exercises" />
            </>
          )}
        </>
      )}
    </PersonFrame>
  );
}
