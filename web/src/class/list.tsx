// list.tsx: the classes there are.
import { useState } from "preact/hooks";
import type { ClassBrief } from "../api-types";
import { useAsked, useCatalogue } from "../desk/api";
import { Table, Title, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { listWords } from "../desk/words";

export function ClassList() {
  const asked = useAsked<ClassBrief[]>("/api/classes");
  const catalogue = useCatalogue();
  const mayWrite = useMayWrite();
  const [retired, setRetired] = useState(false);
  const all = asked.value ?? [];
  const name = (goal: string) => catalogue.value?.goals.find((one) => one.goal === goal)?.name ?? goal;
  const shown = all.filter((one) => retired || !one.retired);
  return (
    <>
      <Title name="Classes">Classes</Title>
      {mayWrite && (
        <p>
          <a class="button main" href="/class/new">
            Compose a class
          </a>
        </p>
      )}
      <Waiting asked={asked} what="the classes" />
      {asked.value && all.length === 0 && (
        <p>
          No class yet. Say what it should be good for and how long it may take; thew composes one, and says what it leaves
          uncovered.
        </p>
      )}
      {all.some((one) => one.retired) && (
        <p>
          <label class="choice">
            <input type="checkbox" checked={retired} onChange={(event) => setRetired(event.currentTarget.checked)} />
            <span>also those put away</span>
          </label>
        </p>
      )}
      {shown.length > 0 && (
        <Table
          caption="Classes"
          hideCaption
          columns={[
            { head: "Name" },
            { head: "Minutes", number: true },
            { head: "Exercises", number: true },
            { head: "Good for" },
            { head: "Version", number: true },
          ]}
          rows={shown.map((one) => ({
            key: one.class,
            class: one.retired ? "past" : "",
            cells: [
              <a href={`/class/${encodeURIComponent(one.class)}`}>{one.called}</a>,
              Math.round(one.minutes),
              one.slots,
              listWords(one.goals.map(name)),
              one.version,
            ],
          }))}
        />
      )}
    </>
  );
}
