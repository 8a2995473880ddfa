// details.tsx: what is known of a person, to be changed; leaving; taking everything out; removing.
import { useState } from "preact/hooks";
import type { Person } from "../api-types";
import { ask, personPath, useCatalogue, type Asked } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Form, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Waiting } from "../desk/parts";
import { go } from "../desk/router";
import { useIsCoach } from "../desk/session";
import { BodyFields, bodyFaults, changeOf, GoalFields, LimitFields, limitFaults, typedOf, WhoFields, whoFaults } from "./change";
import { PersonFrame } from "./frame";

function Change({ person, asked }: { person: Person; asked: Asked<Person> }) {
  const catalogue = useCatalogue();
  const draft = useDraft(`details:${person.person}`, () => typedOf(person));
  const from = draft.value;
  const send = async () => {
    const saved = await ask<Person>("PUT", personPath(person.person), changeOf(from));
    draft.drop();
    asked.set(saved);
    note({
      words: "Saved.",
      undo: {
        label: "Undo",
        run: async () => {
          asked.set(await ask<Person>("PUT", personPath(person.person), changeOf(typedOf(person))));
          note("As it was before.");
        },
      },
    });
  };
  if (!catalogue.value) return <Waiting asked={catalogue} what="the exercises" />;
  const all = { from, set: draft.set, catalogue: catalogue.value };
  return (
    <Form
      action="Save"
      check={() => [...whoFaults(from), ...bodyFaults(from), ...limitFaults(from)]}
      send={send}
      more={
        draft.found && (
          <button type="button" onClick={draft.drop}>
            Back to what is saved
          </button>
        )
      }>
      <Section title="Who">
        <WhoFields {...all} />
        <Text
          pointer="/left_day"
          label="Left on (empty: still here)"
          type="date"
          value={from.left_day}
          set={(left_day) => draft.set({ ...from, left_day })}
        />
      </Section>
      <Section title="Body">
        <BodyFields {...all} />
      </Section>
      <Section title="Goals">
        <GoalFields {...all} />
      </Section>
      <Section title="Limits">
        <LimitFields {...all} />
      </Section>
    </Form>
  );
}

/** Removing needs the name, typed, and an export since the last record: the server holds to both. */
function Remove({ person }: { person: Person }) {
  const [called, setCalled] = useState("");
  const send = async () => {
    await ask("DELETE", personPath(person.person), { called });
    note(`${person.called} and everything kept about them is removed.`);
    go("/people");
  };
  return (
    <details>
      <summary>Remove {person.called}</summary>
      <p>
        Removes the person and every record of theirs, for good. Export first; without an export since the last record it is
        refused.
      </p>
      <Form
        action="Remove for good"
        send={send}
        check={() =>
          called === person.called ? [] : [{ pointer: "/called", detail: `Type "${person.called}", as it stands above.` }]
        }>
        <Text pointer="/called" label={`What they are called, typed again`} value={called} set={setCalled} width={24} />
      </Form>
    </details>
  );
}

export function Details({ person }: { person: string }) {
  const isCoach = useIsCoach();
  return (
    <PersonFrame person={person} room="Details">
      {(found, asked) => (
        <>
          <Change person={found} asked={asked} />
          <Section title="All that is kept">
            <p>
              <a class="button" href={personPath(person, "/export")} download>
                Export everything about {found.called}
              </a>
            </p>
            <p class="quiet">A ZIP file with CSV and JSON. That you did is noted in the access log.</p>
            {isCoach && <Remove person={found} />}
          </Section>
        </>
      )}
    </PersonFrame>
  );
}
