// files.tsx: CSV files in, tried first and told line by line; everything out.
import { useRef, useState } from "preact/hooks";
import type { Imported } from "../api-types";
import { ask, useSending } from "../desk/api";
import { announce, note } from "../desk/notice";
import { Section, Table, Title, Trouble } from "../desk/parts";
import { useIsCoach } from "../desk/session";
import { plural } from "../desk/words";
import { StudioRooms } from "../settings/rooms";

const names = ["people", "kit", "diary", "days"] as const;
type Name = (typeof names)[number];
const help: Record<Name, string> = {
  people: "who trains",
  kit: "bands with their readings, dumbbells, cuffs",
  diary: "sets, one a line",
  days: "check-ins",
};

function importedWords(found: Imported): string {
  const parts = [
    plural(found.people, "person", "people"),
    plural(found.items, "piece of kit", "pieces of kit"),
    plural(found.readings, "reading"),
    plural(found.sets, "set"),
    plural(found.check_ins, "check-in"),
  ];
  return `${parts.join(", ")}${found.repeated > 0 ? `; ${found.repeated} are there already` : ""}`;
}

function In() {
  const [texts, setTexts] = useState<Record<Name, { file: string; text: string } | null>>({
    people: null,
    kit: null,
    diary: null,
    days: null,
  });
  const [found, setFound] = useState<Imported | null>(null);
  const sending = useSending();
  const result = useRef<HTMLDivElement>(null);
  const any = names.some((name) => texts[name]);
  const wrong = found?.faults.filter((fault) => !fault.warning).length ?? 0;
  const take = (name: Name) => async (event: Event) => {
    const file = (event.currentTarget as HTMLInputElement).files?.[0] ?? null;
    const text = file ? { file: file.name, text: await file.text() } : null;
    setTexts((old) => ({ ...old, [name]: text }));
    setFound(null);
  };
  const send = (dry: boolean) =>
    sending.run(async () => {
      const body = { ...Object.fromEntries(names.map((name) => [name, texts[name]?.text ?? null])), dry };
      let answer: Imported;
      try {
        answer = await ask<Imported>("POST", "/api/import", body);
      } catch (thrown) {
        const problem = (thrown as { problem?: { status: number } & Partial<Imported> }).problem;
        if (problem?.status !== 422 || !problem.faults) throw thrown;
        answer = { people: 0, items: 0, readings: 0, sets: 0, check_ins: 0, repeated: 0, dry: true, faults: problem.faults };
      }
      setFound(answer);
      if (!answer.dry) note(`Brought in: ${importedWords(answer)}.`);
      announce(answer.faults.length > 0 ? plural(answer.faults.length, "finding") : "Nothing is wrong with the files.");
      requestAnimationFrame(() => result.current?.focus());
    });
  return (
    <Section title="In">
      <p>
        CSV files as <code>thew template</code> makes them. They are tried first; nothing is kept until you say so, and then all of
        it or none.
      </p>
      {names.map((name) => (
        <div class="field" key={name}>
          <label for={`file-${name}`}>{name}.csv</label>
          <p class="help" id={`file-${name}-help`}>
            {help[name]}
          </p>
          <input
            id={`file-${name}`}
            type="file"
            accept=".csv,text/csv"
            aria-describedby={`file-${name}-help`}
            onChange={take(name)}
          />
        </div>
      ))}
      {sending.problem && <Trouble problem={sending.problem} />}
      <div class="actions">
        <button
          type="button"
          class={found ? "" : "main"}
          aria-disabled={!any || sending.sending}
          onClick={() => (any ? send(true) : note("Choose a file first."))}>
          Try them
        </button>
        {found?.dry && wrong === 0 && (
          <button type="button" class="main" onClick={() => send(false)}>
            Bring them in
          </button>
        )}
      </div>
      {found && (
        <div tabIndex={-1} ref={result}>
          <p class="big">
            {found.dry
              ? wrong > 0
                ? `${plural(wrong, "fault")}: nothing would be kept.`
                : `Would bring in ${importedWords(found)}.`
              : `Brought in ${importedWords(found)}.`}
          </p>
          {found.faults.length > 0 && (
            <Table
              caption="Findings"
              columns={[{ head: "File" }, { head: "Line", number: true }, { head: "Character", number: true }, { head: "What" }]}
              rows={found.faults.map((fault, index) => ({
                key: String(index),
                cells: [fault.file, fault.line || "–", fault.column || "–", `${fault.warning ? "To look at: " : ""}${fault.words}`],
              }))}
            />
          )}
        </div>
      )}
    </Section>
  );
}

export function Files() {
  const isCoach = useIsCoach();
  return (
    <>
      <Title name="Files in and out">Studio</Title>
      <StudioRooms />
      <Section title="Out">
        <p>
          <a class="button main" href="/api/export.zip" download>
            Download everything
          </a>
        </p>
        <ul class="lines">
          {names.map((name) => (
            <li key={name}>
              <a href={`/api/export/${name}.csv`} download>
                {name}.csv
              </a>{" "}
              {help[name]}
            </li>
          ))}
        </ul>
        <p class="quiet">What is downloaded holds health data: keep it as you would keep paper. That it was downloaded is noted.</p>
      </Section>
      {isCoach && <In />}
    </>
  );
}
