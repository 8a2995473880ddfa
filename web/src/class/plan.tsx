// plan.tsx: the order of a class: its timeline, each exercise, moved by keys or by dragging, and what the order breaks.
import { useRef, useState } from "preact/hooks";
import type { Catalogue, Plan, PlanSlot } from "../api-types";
import { announce } from "../desk/notice";
import { Bar } from "../desk/parts";
import { inHundred, listWords, minutesWords, plural, positionWords } from "../desk/words";

export function slotsOf(plan: Plan): PlanSlot[] {
  return plan.slots.map(({ exercise, variant, sets, rest_s }) => ({ exercise, variant, sets, rest_s }));
}

/** Time from left to right: work is filled, rest is open. The list below says the same. */
function Timeline({ plan }: { plan: Plan }) {
  const whole = Math.max(plan.minutes * 60, ...plan.slots.map((slot) => slot.ends_s), 1);
  return (
    <div class="timeline" aria-hidden="true">
      {plan.slots.map((slot, index) => (
        <span
          key={slot.exercise + index}
          class={plan.broken.some((one) => one.slot === index) ? `slot ${slot.position} broken` : `slot ${slot.position}`}
          style={{ left: `${(slot.starts_s / whole) * 100}%`, width: `${((slot.ends_s - slot.starts_s) / whole) * 100}%` }}>
          {index + 1}
        </span>
      ))}
    </div>
  );
}

export function Covered({ plan, catalogue }: { plan: Plan; catalogue: Catalogue }) {
  const name = (goal: string) => catalogue.goals.find((one) => one.goal === goal)?.name ?? goal;
  return (
    <>
      {plan.covered.length > 0 && (
        <ul class="covered" aria-label="Goals covered">
          {plan.covered.map((one) => (
            <li key={one.goal}>
              <span>{name(one.goal)}</span> <Bar share={one.share} /> <span>{inHundred(one.share)} %</span>
            </li>
          ))}
        </ul>
      )}
      <p>
        {plan.uncovered.length > 0 ? (
          <>
            <strong>Not covered:</strong> {listWords(plan.uncovered.map(name))}.
          </>
        ) : (
          "Every goal asked for is covered."
        )}
      </p>
    </>
  );
}

export function PlanOrder({
  plan,
  changed,
  keep,
  leaveOut,
  fixed,
  mayChange,
}: {
  plan: Plan;
  changed: (slots: PlanSlot[], words: string) => void;
  keep: (exercise: string) => void;
  leaveOut: (exercise: string) => void;
  fixed: string[];
  mayChange: boolean;
}) {
  const list = useRef<HTMLOListElement>(null);
  const [dragged, setDragged] = useState<number | null>(null);
  const [over, setOver] = useState<number | null>(null);
  const move = (from: number, to: number, focus: "up" | "down" | null) => {
    if (to < 0 || to >= plan.slots.length || from === to) return;
    const slots = slotsOf(plan);
    const [moved] = slots.splice(from, 1);
    slots.splice(to, 0, moved!);
    changed(slots, `${plan.slots[from]!.exercise_name} is now number ${to + 1} of ${slots.length}.`);
    if (focus)
      requestAnimationFrame(() => {
        const row = list.current?.children[to];
        const wanted = row?.querySelector<HTMLButtonElement>(`[data-move="${focus}"]`);
        (wanted && !wanted.disabled ? wanted : row?.querySelector<HTMLButtonElement>("[data-move]:not(:disabled)"))?.focus();
      });
  };
  const keys = (index: number) => (event: KeyboardEvent) => {
    if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown")) return;
    event.preventDefault();
    const up = event.key === "ArrowUp";
    if ((up && index === 0) || (!up && index === plan.slots.length - 1))
      announce(up ? "It is the first already." : "It is the last already.");
    else move(index, index + (up ? -1 : 1), up ? "up" : "down");
  };
  const take = (index: number) => {
    const slots = slotsOf(plan);
    slots.splice(index, 1);
    changed(slots, `${plan.slots[index]!.exercise_name} is taken out.`);
    requestAnimationFrame(() =>
      list.current?.children[Math.min(index, slots.length - 1)]
        ?.querySelector<HTMLButtonElement>("[data-move]:not(:disabled)")
        ?.focus(),
    );
  };
  return (
    <>
      <Timeline plan={plan} />
      {plan.broken.length > 0 && (
        <div class="problem" role="alert">
          <p class="strong">This order breaks {plural(plan.broken.length, "rule")}</p>
          <ul>
            {plan.broken.map((one) => (
              <li key={one.words + one.slot}>
                {one.slot === null ? "" : `Number ${one.slot + 1}: `}
                {one.words}
              </li>
            ))}
          </ul>
        </div>
      )}
      {mayChange && <p class="quiet">Change the order with the buttons, with Alt and the arrow keys, or by dragging.</p>}
      <ol class="slots" ref={list}>
        {plan.slots.map((slot, index) => (
          <li
            key={slot.exercise + slot.variant}
            class={`slot-row${over === index && dragged !== index ? " over" : ""}${plan.broken.some((one) => one.slot === index) ? " broken" : ""}`}
            draggable={mayChange}
            onKeyDown={mayChange ? keys(index) : undefined}
            onDragStart={(event) => {
              setDragged(index);
              event.dataTransfer!.effectAllowed = "move";
              event.dataTransfer!.setData("text/plain", slot.exercise_name);
            }}
            onDragOver={(event) => {
              if (dragged !== null) {
                event.preventDefault();
                setOver(index);
              }
            }}
            onDragEnd={() => {
              setDragged(null);
              setOver(null);
            }}
            onDrop={(event) => {
              event.preventDefault();
              if (dragged !== null) move(dragged, index, null);
              setDragged(null);
              setOver(null);
            }}>
            <span class="when">{minutesWords(slot.starts_s)}</span>
            <div>
              <p class="strong">
                {index + 1}. {slot.variant_name}
              </p>
              <p>
                {positionWords[slot.position]}
                {slot.sides > 1 ? ", each side" : ""}, {plural(slot.sets, "set")}, rest {slot.rest_s} s, until{" "}
                {minutesWords(slot.ends_s)}
              </p>
              {slot.notes.length > 0 && <p class="quiet">{slot.notes.join(" ")}</p>}
            </div>
            {mayChange && (
              <span class="slot-buttons">
                <button
                  type="button"
                  class="small"
                  data-move="up"
                  disabled={index === 0}
                  aria-label={`Move ${slot.variant_name} earlier`}
                  onClick={() => move(index, index - 1, "up")}>
                  ↑
                </button>
                <button
                  type="button"
                  class="small"
                  data-move="down"
                  disabled={index === plan.slots.length - 1}
                  aria-label={`Move ${slot.variant_name} later`}
                  onClick={() => move(index, index + 1, "down")}>
                  ↓
                </button>
                <button type="button" class="small" onClick={() => take(index)}>
                  Take out<span class="unseen"> {slot.variant_name}</span>
                </button>
                <button
                  type="button"
                  class="small"
                  aria-pressed={fixed.includes(slot.exercise)}
                  onClick={() => keep(slot.exercise)}>
                  Always<span class="unseen"> have {slot.variant_name} in it</span>
                </button>
                <button type="button" class="small" onClick={() => leaveOut(slot.exercise)}>
                  Never<span class="unseen"> {slot.variant_name}</span>
                </button>
              </span>
            )}
          </li>
        ))}
      </ol>
    </>
  );
}
