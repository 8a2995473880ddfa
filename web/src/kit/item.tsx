// item.tsx: one band, loop, dumbbell or cuff: added, measured, looked after, retired.
import { useState } from "preact/hooks";
import type { Item, NewItem, NewReading, PersonBrief } from "../api-types";
import { ask, newIdentifier, pathOf, useAsked, type Asked, type Fault } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Area, Choice, Form, Select, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Table, Title, Waiting } from "../desk/parts";
import { Picture } from "../desk/picture";
import { go, usePlace } from "../desk/router";
import { useMayWrite } from "../desk/session";
import { centimetresOf, forceIn, metresOf, numberOf, typed } from "../desk/units";
import { dayWords, kindWords, todayHere } from "../desk/words";
import { curveWords, emptyReadings, readingFaults, Readings, readingsOf } from "./readings";

type Kind = NewItem["kind"];
const kinds: Kind[] = ["band", "loop", "dumbbell", "cuff"];
const stretches = (kind: Kind) => kind === "band" || kind === "loop";

interface TypedItem {
  item: string;
  person: string;
  label: string;
  kind: Kind;
  mass_kg: string;
  rest_cm: string;
  step: string;
  words: string;
}

function typedOf(item: Item): TypedItem {
  return {
    item: item.item,
    person: item.person ?? "",
    label: item.label,
    kind: item.kind,
    mass_kg: typed(item.mass_kg),
    rest_cm: item.rest_length_m === null ? "" : typed(centimetresOf(item.rest_length_m), 1),
    step: item.step === null ? "" : String(item.step),
    words: item.note,
  };
}
function newItemOf(from: TypedItem, retired_day: string | null): NewItem {
  const rest = numberOf(from.rest_cm);
  return {
    item: from.item,
    person: from.person || null,
    label: from.label.trim(),
    kind: from.kind,
    mass_kg: stretches(from.kind) ? null : numberOf(from.mass_kg),
    rest_length_m: stretches(from.kind) && rest !== null ? metresOf(rest) : null,
    step: stretches(from.kind) ? numberOf(from.step) : null,
    note: from.words.trim(),
    retired_day,
  };
}
function faultsOf(from: TypedItem): Fault[] {
  const mass = numberOf(from.mass_kg),
    rest = numberOf(from.rest_cm),
    step = numberOf(from.step);
  return [
    ...(from.label.trim() ? [] : [{ pointer: "/label", detail: "Give it a label: what you call it." }]),
    ...(stretches(from.kind) || (mass !== null && mass > 0 && mass <= 100)
      ? []
      : [{ pointer: "/mass_kg", detail: "Type its mass in kg, more than 0." }]),
    ...(!stretches(from.kind) || (rest !== null && rest >= 5 && rest <= 1000)
      ? []
      : [{ pointer: "/rest_length_m", detail: "Type its flat length in cm, from 5 to 1000." }]),
    ...(from.step.trim() === "" || (step !== null && Number.isInteger(step) && step > 0)
      ? []
      : [{ pointer: "/step", detail: "The place is a whole number: 1 for the lightest." }]),
  ];
}

function ItemFields({
  from,
  set,
  people,
  isNew,
}: {
  from: TypedItem;
  set: (part: Partial<TypedItem>) => void;
  people: PersonBrief[];
  isNew: boolean;
}) {
  return (
    <>
      {isNew && (
        <Choice
          pointer="/kind"
          label="What is it?"
          value={from.kind}
          set={(kind) => set({ kind: kind as Kind })}
          options={kinds.map((kind) => ({ value: kind, words: kindWords[kind] }))}
        />
      )}
      <Text
        pointer="/label"
        label="Label"
        help="Your own word for it. Write it on the band; colours fade and differ."
        value={from.label}
        set={(label) => set({ label })}
        width={18}
      />
      <Select
        pointer="/person"
        label="Whose is it?"
        value={from.person}
        set={(person) => set({ person })}
        options={[
          { value: "", words: "everybody's, the studio's" },
          ...people.filter((one) => !one.left_day).map((one) => ({ value: one.person, words: `${one.called}'s` })),
        ]}
      />
      {stretches(from.kind) ? (
        <>
          <Text
            pointer="/rest_length_m"
            label={from.kind === "loop" ? "Length laid flat, fold to fold" : "Flat length"}
            unit="cm"
            value={from.rest_cm}
            set={(rest_cm) => set({ rest_cm })}
            inputMode="decimal"
            width={7}
          />
          <Text
            pointer="/step"
            label="Place among your own (may stay empty)"
            help="1 for the lightest. Helps while it is not measured."
            value={from.step}
            set={(step) => set({ step })}
            inputMode="numeric"
            width={4}
          />
        </>
      ) : (
        <Text
          pointer="/mass_kg"
          label="Mass"
          unit="kg"
          value={from.mass_kg}
          set={(mass_kg) => set({ mass_kg })}
          inputMode="decimal"
          width={7}
        />
      )}
      <Area pointer="/note" label="Note" value={from.words} set={(words) => set({ words })} rows={2} />
    </>
  );
}

async function sendReadings(item: string, readings: { reading: string; length_m: number; force_n: number }[]): Promise<Item> {
  const sent: NewReading[] = readings.map((one) => ({ ...one, measured_day: todayHere(), note: "" }));
  return ask<Item>("POST", `/api/kit/${encodeURIComponent(item)}/readings`, { readings: sent });
}

export function NewItemPage() {
  const { search } = usePlace();
  const people = useAsked<PersonBrief[]>("/api/people");
  const draft = useDraft("kit-new", () => ({
    from: {
      item: newIdentifier(),
      person: search.get("person") ?? "",
      label: "",
      kind: "band",
      mass_kg: "",
      rest_cm: "",
      step: "",
      words: "",
    } as TypedItem,
    readings: emptyReadings(),
  }));
  const { from, readings } = draft.value;
  const set = (part: Partial<TypedItem>) => draft.set((old) => ({ ...old, from: { ...old.from, ...part } }));
  const rest = numberOf(from.rest_cm);
  const check = () => [...faultsOf(from), ...(stretches(from.kind) ? readingFaults(readings, rest) : [])];
  const send = async () => {
    await ask<Item>("POST", "/api/kit", newItemOf(from, null));
    const taken = stretches(from.kind) ? readingsOf(readings) : [];
    if (taken.length > 0) await sendReadings(from.item, taken);
    draft.drop();
    note(`${from.label.trim()} is in the kit.`);
    go(`/kit/${encodeURIComponent(from.item)}`);
  };
  return (
    <>
      <Title name="Add to the kit">Add to the kit</Title>
      {draft.found && (
        <p>
          You had begun this.{" "}
          <button type="button" onClick={draft.drop}>
            Begin anew
          </button>
        </p>
      )}
      <Form action="Add to the kit" check={check} send={send}>
        <Section title="What">
          <ItemFields from={from} set={set} people={people.value ?? []} isNew />
        </Section>
        {stretches(from.kind) && (
          <Section title="Measure it" aside={<p class="quiet">May wait, but advice is far surer with it.</p>}>
            <Readings given={readings} set={(next) => draft.set((old) => ({ ...old, readings: next }))} rest_cm={rest} known={[]} />
          </Section>
        )}
      </Form>
    </>
  );
}

function Measure({ item, asked }: { item: Item; asked: Asked<Item[]> }) {
  const draft = useDraft(`readings:${item.item}`, emptyReadings);
  const rest = item.rest_length_m === null ? null : centimetresOf(item.rest_length_m);
  const send = async () => {
    await sendReadings(item.item, readingsOf(draft.value));
    draft.drop();
    asked.again();
    note("The readings are kept.");
  };
  const check = () => [
    ...readingFaults(draft.value, rest),
    ...(readingsOf(draft.value).length > 0 ? [] : [{ pointer: "/readings/0/length_m", detail: "Type at least one reading." }]),
  ];
  return (
    <details open={item.readings.length === 0}>
      <summary>{item.readings.length === 0 ? "Measure it" : "Measure it again"}</summary>
      <Form action="Keep the readings" check={check} send={send}>
        <Readings given={draft.value} set={draft.set} rest_cm={rest} known={[]} />
      </Form>
    </details>
  );
}

function Band({ item, asked }: { item: Item; asked: Asked<Item[]> }) {
  const mayWrite = useMayWrite();
  return (
    <Section title="Curve" wide>
      {item.wear && <p class="big">{item.wear}</p>}
      {item.curve && <p>{curveWords(item.curve)}</p>}
      {item.readings.length > 0 && (
        <Picture
          key={item.readings.length}
          most={800}
          path={(width) => pathOf(`/api/kit/${encodeURIComponent(item.item)}/curve.svg`, { width })}
        />
      )}
      {item.curve && (
        <details>
          <summary>The curve in numbers</summary>
          <Table
            caption="Force by length; the interval holds 8 of 10"
            columns={[
              { head: "Length" },
              { head: "Force", number: true },
              { head: "From", number: true },
              { head: "To", number: true },
            ]}
            rows={item.curve.points.map((point) => ({
              key: String(point.length_m),
              cells: [
                `${typed(centimetresOf(point.length_m), 0)} cm`,
                ...[point.force_n, point.low_n, point.high_n].map((force) => `${typed(forceIn(force, "kgf"), 1)} kgf`),
              ],
            }))}
          />
        </details>
      )}
      {item.readings.length > 0 && (
        <details>
          <summary>Readings</summary>
          <Table
            caption="Readings"
            columns={[{ head: "Day" }, { head: "Length", number: true }, { head: "Force", number: true }]}
            rows={item.readings.map((one) => ({
              key: one.reading,
              cells: [
                dayWords(one.measured_day),
                `${typed(centimetresOf(one.length_m), 1)} cm`,
                `${typed(forceIn(one.force_n, "kgf"), 2)} kgf (${typed(one.force_n, 1)} N)`,
              ],
            }))}
          />
        </details>
      )}
      {mayWrite && <Measure key={item.readings.length} item={item} asked={asked} />}
    </Section>
  );
}

function Change({ item, asked, people }: { item: Item; asked: Asked<Item[]>; people: PersonBrief[] }) {
  const [from, setFrom] = useState(() => typedOf(item));
  const put = async (next: NewItem, words: string) => {
    await ask<Item>("PUT", `/api/kit/${encodeURIComponent(item.item)}`, next);
    asked.again();
    note({
      words,
      undo: {
        label: "Undo",
        run: async () => {
          await ask<Item>("PUT", `/api/kit/${encodeURIComponent(item.item)}`, newItemOf(typedOf(item), item.retired_day));
          asked.again();
          note("As it was before.");
        },
      },
    });
  };
  const retire = async () => {
    try {
      await put(
        newItemOf(typedOf(item), item.retired_day ? null : todayHere()),
        item.retired_day ? `${item.label} is in use again.` : `${item.label} is retired: no advice takes it any more.`,
      );
    } catch (thrown) {
      note(thrown instanceof Error ? thrown.message : "That did not work.");
    }
  };
  return (
    <Section title="About it">
      <Form
        action="Save"
        check={() => faultsOf(from)}
        send={() => put(newItemOf(from, item.retired_day), "Saved.")}
        more={
          <button type="button" onClick={retire}>
            {item.retired_day ? "Use it again" : "Retire it"}
          </button>
        }>
        <ItemFields from={from} set={(part) => setFrom({ ...from, ...part })} people={people} isNew={false} />
      </Form>
    </Section>
  );
}

export function ItemPage({ item: id }: { item: string }) {
  const asked = useAsked<Item[]>("/api/kit");
  const people = useAsked<PersonBrief[]>("/api/people");
  const mayWrite = useMayWrite();
  const item = asked.value?.find((one) => one.item === id);
  return (
    <>
      <Title name={item?.label ?? "Kit"}>{item?.label ?? (asked.value ? "There is no such item" : "…")}</Title>
      <Waiting asked={asked} what="the kit" />
      {item && (
        <>
          <p class="brief">
            {kindWords[item.kind]} · {item.person ? `${item.owner_called}'s` : "everybody's"}
            {item.retired_day ? ` · retired ${dayWords(item.retired_day)}` : ""}
            {item.mass_kg === null ? "" : ` · ${typed(item.mass_kg, 2)} kg`}
          </p>
          {stretches(item.kind) && (
            <p>Before each set: look the whole band over. A nick, a hole, a pale line or a sticky patch: into the bin.</p>
          )}
          {stretches(item.kind) && <Band item={item} asked={asked} />}
          {mayWrite && people.value && (
            <Change key={`${item.item}${item.retired_day}`} item={item} asked={asked} people={people.value} />
          )}
        </>
      )}
    </>
  );
}
