// list.tsx: what there is to train with, whose it is, and what state it is in.
import { useState } from "preact/hooks";
import type { Item } from "../api-types";
import { useAsked } from "../desk/api";
import { Section, Table, Title, Waiting } from "../desk/parts";
import { useMayWrite } from "../desk/session";
import { centimetresOf, forceIn, typed } from "../desk/units";
import { dayWords, kindWords } from "../desk/words";

/** What an item resists with, in a few words. */
export function strengthWords(item: Item): string {
  if (item.mass_kg !== null) return `${typed(item.mass_kg, 2)} kg`;
  if (item.readings.length === 0) return "not measured";
  const double = item.curve?.at_double_n ?? null;
  if (double === null || !item.curve) return `${item.readings.length} readings`;
  return `${typed(forceIn(double, "kgf"), 1)} kgf at double length, give or take ${Math.round(item.curve.error_percent)} %`;
}

function Items({ items }: { items: Item[] }) {
  return (
    <Table
      caption="Kit"
      hideCaption
      columns={[{ head: "Label" }, { head: "Kind" }, { head: "Flat length" }, { head: "Resists with" }, { head: "State" }]}
      rows={items.map((item) => ({
        key: item.item,
        class: item.retired_day ? "past" : "",
        cells: [
          <a href={`/kit/${encodeURIComponent(item.item)}`}>{item.label}</a>,
          kindWords[item.kind],
          item.rest_length_m === null ? "–" : `${typed(centimetresOf(item.rest_length_m), 1)} cm`,
          strengthWords(item),
          item.retired_day ? `retired ${dayWords(item.retired_day)}` : (item.wear ?? "–"),
        ],
      }))}
    />
  );
}

export function KitList() {
  const asked = useAsked<Item[]>("/api/kit");
  const mayWrite = useMayWrite();
  const [retired, setRetired] = useState(false);
  const all = asked.value ?? [];
  const owners = new Map<string, Item[]>();
  for (const item of all.filter((one) => retired || !one.retired_day))
    owners.set(item.person ?? "", [...(owners.get(item.person ?? "") ?? []), item]);
  const ordered = [...owners].sort(([a, first], [b, second]) =>
    a === "" ? -1 : b === "" ? 1 : (first[0]?.owner_called ?? "").localeCompare(second[0]?.owner_called ?? ""),
  );
  return (
    <>
      <Title name="Kit">Kit</Title>
      {mayWrite && (
        <p>
          <a class="button main" href="/kit/new">
            Add to the kit
          </a>
        </p>
      )}
      <Waiting asked={asked} what="the kit" />
      {asked.value && all.length === 0 && (
        <p>
          Nothing here yet. Begin with a band: lay it flat, measure its length, then pull it with a luggage scale at two lengths.
        </p>
      )}
      {all.some((one) => one.retired_day) && (
        <p>
          <label class="choice">
            <input type="checkbox" checked={retired} onChange={(event) => setRetired(event.currentTarget.checked)} />
            <span>also what is retired</span>
          </label>
        </p>
      )}
      {ordered.map(([owner, items]) => (
        <Section key={owner} title={owner === "" ? "Everybody's" : `${items[0]?.owner_called ?? owner}'s`} wide>
          <Items items={items} />
        </Section>
      ))}
    </>
  );
}
