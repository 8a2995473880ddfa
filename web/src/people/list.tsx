// list.tsx: everybody, found by name, in the order one asks for.
import { useState } from "preact/hooks";
import type { PersonBrief } from "../api-types";
import { useAsked } from "../desk/api";
import { Table, Title, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { farWords, plural } from "../desk/words";

type Order = "called" | "last" | "waiting";
const orders: Record<Order, { words: string; compare: (a: PersonBrief, b: PersonBrief) => number }> = {
  called: { words: "name", compare: (a, b) => a.called.localeCompare(b.called) },
  last: { words: "longest without a set", compare: (a, b) => (a.last_day ?? "").localeCompare(b.last_day ?? "") },
  waiting: { words: "most advice waiting", compare: (a, b) => b.waiting - a.waiting },
};

function stateWords(person: PersonBrief): string {
  if (person.left_day) return `left ${farWords(person.left_day)}`;
  const parts = [
    person.declined ? "▲ sudden decline" : "",
    person.screened ? "" : "not screened yet",
    person.endpoint === "reserve" ? "stops in reserve" : "",
  ].filter(Boolean);
  return parts.join(", ") || "–";
}

export function PeopleList() {
  const asked = useAsked<PersonBrief[]>("/api/people");
  const mayWrite = useMayWrite();
  const [wanted, setWanted] = useState("");
  const [order, setOrder] = useState<Order>("called");
  const [left, setLeft] = useState(false);
  const plain = (text: string) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const all = asked.value ?? [];
  const shown = all
    .filter((one) => (left || !one.left_day) && plain(one.called).includes(plain(wanted.trim())))
    .sort((a, b) => orders[order].compare(a, b) || a.called.localeCompare(b.called));
  return (
    <>
      <Title name="People">People</Title>
      {mayWrite && (
        <p>
          <a class="button main" href="/people/new">
            Add a person
          </a>
        </p>
      )}
      <Waiting asked={asked} what="the people" />
      {asked.value && all.length === 0 && (
        <p>
          Nobody is here yet. Add the first person, or <a href="/files">bring in a list</a> as a CSV file.
        </p>
      )}
      {all.length > 0 && (
        <>
          <div class="row" role="search">
            <label class="inline">
              Find <input type="search" value={wanted} onInput={(event) => setWanted(event.currentTarget.value)} />
            </label>
            <label class="inline">
              Order by{" "}
              <select value={order} onChange={(event) => setOrder(event.currentTarget.value as Order)}>
                {Object.entries(orders).map(([key, { words }]) => (
                  <option key={key} value={key}>
                    {words}
                  </option>
                ))}
              </select>
            </label>
            <label class="choice">
              <input type="checkbox" checked={left} onChange={(event) => setLeft(event.currentTarget.checked)} />
              <span>also those who left</span>
            </label>
          </div>
          <p role="status" class="quiet">
            {plural(shown.length, "person", "people")}
            {shown.length < all.length ? ` of ${all.length}` : ""}
          </p>
          {shown.length > 0 && (
            <Table
              caption="People"
              hideCaption
              columns={[
                { head: "Called" },
                { head: "Last trained" },
                { head: "Sets", number: true },
                { head: "Advice waiting", number: true },
                { head: "State" },
              ]}
              rows={shown.map((one) => ({
                key: one.person,
                cells: [
                  <a href={`/person/${encodeURIComponent(one.person)}`}>{one.called}</a>,
                  one.last_day ? farWords(one.last_day) : "never",
                  one.sets,
                  one.waiting,
                  stateWords(one),
                ],
              }))}
            />
          )}
        </>
      )}
    </>
  );
}
