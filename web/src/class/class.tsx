// class.tsx: one class: wishes, the plan made from them, changed by hand and judged at once, kept as a version.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Catalogue, Class, NewClass, Plan, PlanSlot } from "../api-types";
import { ask, newIdentifier, useAsked, useCatalogue, useSending } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Form, Text } from "../desk/form";
import { announce, note } from "../desk/notice";
import { Section, Title, Trouble, Waiting } from "../desk/parts";
import { go } from "../desk/router";
import { useMayWrite } from "../desk/session";
import { plural } from "../desk/words";
import { FitsTable } from "./fits";
import { Covered, PlanOrder, slotsOf } from "./plan";
import { startWishes, typedWishes, WishFields, wishesOf, wishFaults, type TypedWishes } from "./wishes";

interface Work {
  class: string;
  version: number;
  called: string;
  wishes: TypedWishes;
  plan: Plan | null;
}

function planWords(plan: Plan): string {
  return plan.words || `${plural(plan.slots.length, "exercise")} in ${Math.round(plan.minutes)} minutes.`;
}

function Composing({
  start,
  kept,
  catalogue,
  saved,
  again,
}: {
  start: () => Work;
  kept: Class | null;
  catalogue: Catalogue;
  saved: (kept: Class) => void;
  again: () => void;
}) {
  const draft = useDraft<Work>(kept ? `class:${kept.class}:${kept.version}` : "class-new", start);
  const { wishes, plan, called } = draft.value;
  const mayWrite = useMayWrite();
  const judging = useSending();
  const turn = useRef(0);
  const set = (part: Partial<Work>) => draft.set((old) => ({ ...old, ...part }));
  const setWishes = (part: Partial<TypedWishes>) => draft.set((old) => ({ ...old, wishes: { ...old.wishes, ...part } }));
  const planHeading = useRef<HTMLParagraphElement>(null);

  const compose = async () => {
    const made = await ask<Plan>("POST", "/api/compose", wishesOf(wishes));
    set({ plan: made });
    announce(planWords(made));
    requestAnimationFrame(() => planHeading.current?.focus());
  };
  // The order is shown as moved at once; the judgement follows, and only that of the latest order counts.
  const changed = async (slots: PlanSlot[], words: string) => {
    const mine = ++turn.current;
    const shown = slots.map((slot) => plan!.slots.find((one) => one.exercise === slot.exercise && one.variant === slot.variant)!);
    set({ plan: { ...plan!, slots: shown, broken: [] } });
    announce(words);
    try {
      const judged = await ask<Plan>("POST", "/api/compose/check", { wishes: wishesOf(wishes), order: slots });
      if (mine !== turn.current) return;
      set({ plan: judged });
      judging.clear();
      announce(`${words} ${judged.broken.length > 0 ? judged.broken.map((one) => one.words).join(" ") : "No rule is broken."}`);
    } catch (thrown) {
      if (mine === turn.current) void judging.run(() => Promise.reject(thrown));
    }
  };
  const toggle = (list: "fixed" | "excluded", exercise: string) => {
    const has = wishes[list].includes(exercise);
    const other = list === "fixed" ? "excluded" : "fixed";
    setWishes({
      [list]: has ? wishes[list].filter((one) => one !== exercise) : [...wishes[list], exercise],
      [other]: wishes[other].filter((one) => one !== exercise),
    });
    const name = catalogue.exercises.find((one) => one.exercise === exercise)?.name ?? exercise;
    announce(
      list === "fixed"
        ? `${name} ${has ? "need not be in it." : "will always be in it."}`
        : `${name} will be left out. Compose again to see.`,
    );
  };
  const keep = async () => {
    const sent: NewClass = {
      class: draft.value.class,
      version: draft.value.version,
      called: called.trim(),
      wishes: wishesOf(wishes),
      slots: slotsOf(plan!),
      retired: false,
    };
    const made = await ask<Class>("POST", "/api/classes", sent);
    draft.drop();
    note(`${made.called}, version ${made.version}, is kept.`);
    saved(made);
  };
  const wishing = (
    <Form
      action={plan ? "Compose again" : "Compose"}
      check={() => wishFaults(wishes)}
      send={compose}
      label="What the class should be">
      <Section title="What for">
        <WishFields from={wishes} set={setWishes} catalogue={catalogue} />
      </Section>
    </Form>
  );
  return (
    <>
      {mayWrite && !kept && wishing}
      {plan && (
        <>
          <Section title="The plan" wide>
            <p class="big" tabIndex={-1} ref={planHeading}>
              {planWords(plan)}
            </p>
            {!plan.optimal && plan.gap > 0 && plan.broken.length === 0 && (
              <p class="quiet">A better one may exist: at most {Math.round(plan.gap * 100)} % better.</p>
            )}
            {judging.problem && <Trouble problem={judging.problem} />}
            <PlanOrder
              plan={plan}
              changed={changed}
              mayChange={mayWrite}
              fixed={wishes.fixed}
              keep={(exercise) => toggle("fixed", exercise)}
              leaveOut={(exercise) => toggle("excluded", exercise)}
            />
          </Section>
          <Section title="Goals">
            <Covered plan={plan} catalogue={catalogue} />
          </Section>
          {mayWrite && (!kept || draft.found) && (
            <Section title="Keep it">
              {kept && <p>Version {kept.version} is what is kept; this differs from it.</p>}
              <Form
                action={kept ? `Keep as version ${draft.value.version}` : "Keep the class"}
                send={keep}
                check={() => (called.trim() ? [] : [{ pointer: "/called", detail: "Give the class a name." }])}
                more={
                  kept && (
                    <button type="button" onClick={draft.drop}>
                      Back to version {kept.version}
                    </button>
                  )
                }>
                <Text
                  pointer="/called"
                  label="Name of the class"
                  value={called}
                  set={(words) => set({ called: words })}
                  width={28}
                />
              </Form>
            </Section>
          )}
        </>
      )}
      {kept && <Kept kept={kept} again={again} />}
      {mayWrite && kept && (
        <details>
          <summary>Change what it is for, and compose again</summary>
          {wishing}
        </details>
      )}
    </>
  );
}

function Kept({ kept, again }: { kept: Class; again: () => void }) {
  const mayWrite = useMayWrite();
  const sending = useSending();
  const putAway = (retired: boolean) =>
    sending.run(async () => {
      const { class: id, called, wishes, slots } = kept;
      await ask<Class>("POST", "/api/classes", {
        class: id,
        version: kept.version + 1,
        called,
        wishes,
        slots,
        retired,
      } satisfies NewClass);
      again();
      note(retired ? `${called} is put away.` : `${called} is in use again.`);
    });
  return (
    <Section title="Each person's fit" wide>
      <FitsTable key={kept.version} id={kept.class} />
      {sending.problem && <Trouble problem={sending.problem} />}
      {mayWrite && (
        <p>
          <button type="button" onClick={() => putAway(!kept.retired)}>
            {kept.retired ? "Use this class again" : "Put this class away"}
          </button>
        </p>
      )}
    </Section>
  );
}

export function ClassPage({ id }: { id: string }) {
  const isNew = id === "new";
  const asked = useAsked<Class>(isNew ? null : `/api/classes/${encodeURIComponent(id)}`);
  const catalogue = useCatalogue();
  const kept = asked.value;
  const [fresh] = useState(newIdentifier);
  const name = isNew ? "Compose a class" : (kept?.called ?? "Class");
  useEffect(() => {
    if (kept) document.title = `${kept.called} · thew`;
  }, [kept]);
  return (
    <>
      <Title name={name}>{name}</Title>
      {!isNew && <Waiting asked={asked} what="the class" />}
      {!catalogue.value && <Waiting asked={catalogue} what="the goals" />}
      {kept && (
        <p class="brief">
          version {kept.version} · {plural(kept.slots.length, "exercise")} · {Math.round(kept.plan.minutes)} minutes
          {kept.retired ? " · put away" : ""}
        </p>
      )}
      {catalogue.value && (isNew || kept) && (
        <Composing
          key={kept ? `${kept.class}${kept.version}` : "new"}
          kept={kept}
          catalogue={catalogue.value}
          again={asked.again}
          start={() =>
            kept
              ? {
                  class: kept.class,
                  version: kept.version + 1,
                  called: kept.called,
                  wishes: typedWishes(kept.wishes),
                  plan: kept.plan,
                }
              : { class: fresh, version: 1, called: "", wishes: startWishes(), plan: null }
          }
          saved={(made) => (isNew ? go(`/class/${encodeURIComponent(made.class)}`, "replace") : asked.set(made))}
        />
      )}
    </>
  );
}
