// answer.tsx: the coach's answer to an advice: yes, or another load with the reason; taken back as long as no set was done on it.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Advised, Day } from "../api-types";
import { ask, newIdentifier, useSending } from "../desk/api";
import { Form, Select, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Trouble } from "../desk/parts";
import { dayWords, inHundred } from "../desk/words";
import { nameOf } from "./ladder";

/** Another load than the advised one, with the reason: it is kept, and what comes next learns from it. */
function Override({ advised, done, cancel }: { advised: Advised; done: (next: Advised) => void; cancel: () => void }) {
  const [at, setAt] = useState(() =>
    String(
      Math.max(
        0,
        advised.ladder.findIndex((rung) => rung.advised),
      ),
    ),
  );
  const [reason, setReason] = useState("");
  const [override] = useState(newIdentifier);
  const send = async () => {
    const rung = advised.ladder[Number(at)]!;
    done(
      await ask<Advised>("POST", `/api/advice/${encodeURIComponent(advised.advice)}/override`, {
        override,
        variant: rung.variant,
        implement: rung.implement,
        setting: rung.setting,
        reason: reason.trim(),
      }),
    );
  };
  const check = () => [
    ...(advised.ladder[Number(at)]?.advised
      ? [{ pointer: "/setting", detail: "This is the advised load. Choose another, or accept it." }]
      : []),
    ...(reason.trim() ? [] : [{ pointer: "/reason", detail: "Say why, in a word or two." }]),
  ];
  return (
    <Form
      action="Keep my choice"
      check={check}
      send={send}
      label={`Another load for ${nameOf(advised)}`}
      class="inset"
      takesFocus
      more={
        <button type="button" onClick={cancel}>
          Leave as it is
        </button>
      }>
      <Select
        pointer="/setting"
        label="Take instead"
        value={at}
        set={setAt}
        options={advised.ladder.map((rung, index) => ({
          value: String(index),
          words: `${rung.label}: ${inHundred(rung.odds.window)} in 100 inside the window${rung.advised ? " (advised)" : ""}`,
        }))}
      />
      <Text pointer="/reason" label="Reason" value={reason} set={setReason} />
    </Form>
  );
}

/** What was answered so far, and what can be done about it. */
export function Answer({ advised, day, put }: { advised: Advised; day: Day; put: (next: Advised) => void }) {
  const [overriding, setOverriding] = useState(false);
  const sending = useSending();
  const place = useRef<HTMLDivElement>(null);
  const touched = useRef(false);
  const path = `/api/advice/${encodeURIComponent(advised.advice)}`;
  // Each answer takes away the button it was given with: the focus goes to the one that stands there now.
  useEffect(() => {
    if (touched.current && document.activeElement === document.body) place.current?.querySelector("button")?.focus();
  }, [advised.became, overriding]);
  const undo = async () => {
    put(await ask<Advised>("DELETE", `${path}/answer`));
    note(`${nameOf(advised)}: open again.`);
  };
  const accept = () =>
    sending.run(async () => {
      put(await ask<Advised>("POST", `${path}/accept`, {}));
      note({ words: `${nameOf(advised)}: ${advised.label} accepted.`, undo: { label: "Undo", run: undo } });
    });
  const overridden = (next: Advised) => {
    setOverriding(false);
    put(next);
    note({ words: `${nameOf(advised)}: ${next.override?.label ?? "your choice"} kept.`, undo: { label: "Undo", run: undo } });
  };
  return (
    <div
      ref={place}
      onFocusIn={() => {
        touched.current = true;
      }}>
      {sending.problem && <Trouble problem={sending.problem} />}
      {overriding ? (
        <Override advised={advised} done={overridden} cancel={() => setOverriding(false)} />
      ) : (
        <Answered advised={advised} day={day} accept={accept} undo={() => sending.run(undo)} override={() => setOverriding(true)} />
      )}
    </div>
  );
}

function Answered({
  advised,
  day,
  accept,
  undo,
  override,
}: {
  advised: Advised;
  day: Day;
  accept: () => void;
  undo: () => void;
  override: () => void;
}) {
  const chosen = advised.override?.label ?? "another load";
  const taken = advised.became === "taken";
  if (advised.became === "lapsed") return <p class="quiet">This advice has lapsed.</p>;
  if (advised.became === "open")
    return (
      <div class="actions">
        <button type="button" class="main" onClick={accept}>
          Accept
          <span class="unseen">
            {" "}
            {advised.label} for {nameOf(advised)}
          </span>
        </button>
        <button type="button" onClick={override}>
          Something else…<span class="unseen"> for {nameOf(advised)}</span>
        </button>
      </div>
    );
  // Once a set was done on it, an answer cannot be taken back.
  if (advised.last_day !== null && advised.last_day >= day)
    return (
      <p class="answer">
        <span aria-hidden="true">✓ </span>Done {dayWords(advised.last_day)}
        {taken ? ", as advised" : `, by your choice: ${chosen}`}.
      </p>
    );
  return (
    <div class="actions">
      <p class="answer">
        <span aria-hidden="true">✓ </span>
        {taken ? "Accepted." : `Your choice: ${chosen}. ${advised.override?.reason ?? ""}`}
      </p>
      <button type="button" onClick={undo}>
        Undo<span class="unseen"> for {nameOf(advised)}</span>
      </button>
    </div>
  );
}
