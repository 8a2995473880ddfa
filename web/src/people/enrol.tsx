// enrol.tsx: taking somebody on: four steps, then the screening. May be left and resumed in this tab.
import { useEffect, useRef } from "preact/hooks";
import type { Person } from "../api-types";
import { ask, newIdentifier, useCatalogue } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Form } from "../desk/form";
import { note } from "../desk/notice";
import { Steps, Title, Waiting } from "../desk/parts";
import { go } from "../desk/router";
import { useMe } from "../desk/session";
import {
  blank,
  BodyFields,
  bodyFaults,
  changeOf,
  GoalFields,
  LimitFields,
  limitFaults,
  WhoFields,
  whoFaults,
} from "../person/change";

const names = ["Who", "Body", "Goals", "Limits"];

export function Enrol() {
  const me = useMe();
  const catalogue = useCatalogue();
  const draft = useDraft("enrol", () => ({ person: newIdentifier(), step: 0, from: blank(me.studio.today) }));
  const { step, from, person } = draft.value;
  const heading = useRef<HTMLHeadingElement>(null);
  const first = useRef(true);
  useEffect(() => {
    if (!first.current) heading.current?.focus();
    first.current = false;
  }, [step]);
  const set = (next: typeof from) => draft.set((old) => ({ ...old, from: next }));
  const last = step === names.length - 1;
  const check = () => [whoFaults, bodyFaults, () => [], limitFaults][step]!(from);
  const send = async () => {
    if (!last) {
      draft.set((old) => ({ ...old, step: old.step + 1 }));
      return;
    }
    const made = await ask<Person>("POST", "/api/people", { person, ...changeOf(from) });
    draft.drop();
    note(`${made.called} is taken on. Now the screening.`);
    go(`/person/${encodeURIComponent(made.person)}/screening`);
  };
  const fields = () => {
    if (step === 0) return <WhoFields from={from} set={set} />;
    if (step === 1) return <BodyFields from={from} set={set} />;
    if (!catalogue.value) return <Waiting asked={catalogue} what="the exercises" />;
    return step === 2 ? (
      <GoalFields from={from} set={set} catalogue={catalogue.value} />
    ) : (
      <LimitFields from={from} set={set} catalogue={catalogue.value} />
    );
  };
  return (
    <>
      <Title name="Add a person">Add a person</Title>
      <Steps names={[...names, "Screening"]} at={step} />
      {draft.found && (
        <p>
          You had begun this: it goes on where you left off.{" "}
          <button type="button" onClick={draft.drop}>
            Begin anew
          </button>
        </p>
      )}
      <Form
        action={last ? "Add, and go to the screening" : "Next"}
        check={check}
        send={send}
        more={
          step > 0 && (
            <button type="button" onClick={() => draft.set((old) => ({ ...old, step: old.step - 1 }))}>
              Back
            </button>
          )
        }>
        <h2 tabIndex={-1} ref={heading}>
          {step + 1}. {names[step]}
        </h2>
        {fields()}
      </Form>
    </>
  );
}
