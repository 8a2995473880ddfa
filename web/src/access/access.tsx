// access.tsx: who looked at what, and when.
import { useState } from "preact/hooks";
import type { AccessEntry, PersonBrief } from "../api-types";
import { pathOf, useAsked } from "../desk/api";
import { Table, Title, Waiting } from "../desk/parts";
import { useMe } from "../desk/session";
import { instantWords } from "../desk/words";
import { StudioRooms } from "../settings/rooms";

export function Access() {
  const me = useMe();
  const people = useAsked<PersonBrief[]>("/api/people");
  const [person, setPerson] = useState("");
  const [count, setCount] = useState(100);
  const asked = useAsked<AccessEntry[]>(pathOf("/api/access", { person, count }));
  const name = (id: string | null) => (id === null ? "–" : (people.value?.find((one) => one.person === id)?.called ?? id));
  return (
    <>
      <Title name="Who looked">Studio</Title>
      <StudioRooms />
      <h2>Who looked</h2>
      <p>
        <label class="inline">
          At{" "}
          <select value={person} onChange={(event) => setPerson(event.currentTarget.value)}>
            <option value="">everybody and everything</option>
            {people.value?.map((one) => (
              <option key={one.person} value={one.person}>
                {one.called}
              </option>
            ))}
          </select>
        </label>
      </p>
      <Waiting asked={asked} what="the log" />
      {asked.value && asked.value.length === 0 && <p>Nothing noted.</p>}
      {asked.value && asked.value.length > 0 && (
        <Table
          caption="Access, newest first"
          columns={[{ head: "When" }, { head: "Who" }, { head: "Did" }, { head: "What" }, { head: "Of" }]}
          rows={asked.value.map((one, index) => ({
            key: `${one.at}${index}`,
            cells: [instantWords(one.at, me.studio.zone), one.account_called ?? "–", one.action, one.what, name(one.person)],
          }))}
        />
      )}
      {asked.value && asked.value.length >= count && (
        <p>
          <button type="button" onClick={() => setCount(count * 3)}>
            Older ones
          </button>
        </p>
      )}
    </>
  );
}
