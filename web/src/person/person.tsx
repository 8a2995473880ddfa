// person.tsx: the next load of each exercise, why, and what else would be; the coach says yes, or something else.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Advised, Catalogue, Day, Item, LadderRung, Person, PersonAdvice } from "../api-types";
import { ask, newIdentifier, pathOf, personPath, useAsked, useCatalogue, useSending } from "../desk/api";
import { Form, Select, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Bar, OddsBar, OddsWords, Section, Table, Trouble, Waiting } from "../desk/parts";
import { Picture } from "../desk/picture";
import { useMayWrite } from "../desk/session";
import { dayWords, inHundred, kindWords, likelyWords, plural, sideTail } from "../desk/words";
import { Careful, PersonFrame } from "./frame";

function nameOf(advised: Advised): string {
  return advised.exercise_name + sideTail(advised.side);
}
function rungWords(rung: LadderRung): string {
  return (
    [rung.advised ? "advised" : "", rung.chosen ? "chosen" : "", rung.last ? "last time" : ""].filter(Boolean).join(", ") || "–"
  );
}

/** Rungs worth seeing at first: those with a chance, and what is around the advised one. */
function nearRungs(ladder: LadderRung[]): LadderRung[] {
  const marked = ladder.flatMap((rung, index) => (rung.advised || rung.last || rung.chosen ? [index] : []));
  return ladder.filter((rung, index) => rung.odds.window >= 0.05 || marked.some((at) => Math.abs(at - index) <= 1));
}

export function Ladder({ advised }: { advised: Advised }) {
  const [all, setAll] = useState(false);
  const near = nearRungs(advised.ladder);
  const shown = all ? advised.ladder : near;
  const { floor_s: floor, window_from_s: from, window_to_s: to } = advised;
  return (
    <>
      <Table
        caption={`Loads for ${nameOf(advised)}, lightest first: chances in 100`}
        columns={[
          { head: "Take" },
          { head: `Inside ${from}–${to}\u00a0s`, class: "with-bar" },
          { head: `Before ${floor}\u00a0s`, number: true },
          { head: `${floor}–${from}\u00a0s`, number: true },
          { head: `Going at ${to}\u00a0s`, number: true },
          { head: "Likely (8 in 10)", class: "whole" },
          { head: "Mark" },
        ]}
        rows={shown.map((rung) => ({
          key: `${rung.variant}|${rung.implement}|${rung.setting}`,
          class: rung.advised ? "advised" : "",
          cells: [
            rung.variant === advised.variant ? (
              rung.label
            ) : (
              <>
                {rung.label} <small>({rung.variant})</small>
              </>
            ),
            <>
              <Bar share={rung.odds.window} />
              <span class="bar-number">{inHundred(rung.odds.window)}</span>
            </>,
            inHundred(rung.odds.floor),
            inHundred(rung.odds.early),
            inHundred(rung.odds.beyond),
            likelyWords(rung.odds),
            rungWords(rung),
          ],
        }))}
      />
      {near.length < advised.ladder.length && (
        <button type="button" onClick={() => setAll(!all)}>
          {all ? "Only the near ones" : `All ${advised.ladder.length} loads`}
        </button>
      )}
    </>
  );
}

function HowItIsDone({ advised, catalogue }: { advised: Advised; catalogue: Catalogue | null }) {
  const variant = catalogue?.exercises
    .find((one) => one.exercise === advised.exercise)
    ?.variants.find((one) => one.variant === advised.variant);
  const odds = advised.odds;
  return (
    <>
      <Picture most={480} path={(width) => pathOf("/api/figure.svg", { variant: advised.variant, width })} />
      {variant && (
        <ol>
          {variant.set_up.map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
      )}
      {variant && (
        <p>
          {variant.breathing} {variant.cues.join(" ")}
        </p>
      )}
      <p>The set as expected: the shaded band is the window.</p>
      <Picture
        path={(width) =>
          pathOf("/api/set-line.svg", {
            exercise: advised.exercise,
            variant: advised.variant,
            p10: odds.p10_s,
            p50: odds.p50_s,
            p90: odds.p90_s,
            width,
          })
        }
      />
    </>
  );
}

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
function Answer({ advised, day, put }: { advised: Advised; day: Day; put: (next: Advised) => void }) {
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

type Panel = "loads" | "how";

function NextLoad({
  advised,
  day,
  person,
  catalogue,
  put,
}: {
  advised: Advised;
  day: Day;
  person: string;
  catalogue: Catalogue | null;
  put: (next: Advised) => void;
}) {
  const mayWrite = useMayWrite();
  const [panel, setPanel] = useState<Panel | null>(null);
  const what = [
    advised.if_completed && `If it is completed: ${advised.if_completed} next.`,
    advised.if_early && `If it ends early: ${advised.if_early} next.`,
  ]
    .filter(Boolean)
    .join(" ");
  const opener = (which: Panel, words: string) => (
    <button type="button" class="link" aria-expanded={panel === which} onClick={() => setPanel(panel === which ? null : which)}>
      {words}
      <span class="unseen"> for {nameOf(advised)}</span>
    </button>
  );
  return (
    <article aria-labelledby={advised.advice}>
      <div class="load">
        <div>
          <h3 id={advised.advice}>{nameOf(advised)}</h3>
          <p class="take">{advised.label}</p>
          <p>
            {advised.variant_name !== advised.exercise_name ? `${advised.variant_name}. ` : ""}
            {advised.setting_words}
          </p>
          <p>
            Aim for <strong>{Math.round(advised.goal_s)} s</strong>. Likely {likelyWords(advised.odds)}.{" "}
            <span class="quiet">
              {advised.sets === 0
                ? "No sets yet."
                : `${plural(advised.sets, "set")}, the last ${dayWords(advised.last_day)}; best rested from ${dayWords(advised.earliest)}.`}
            </span>
          </p>
        </div>
        <div>
          <OddsBar odds={advised.odds} />
          <OddsWords odds={advised.odds} floor={advised.floor_s} from={advised.window_from_s} to={advised.window_to_s} />
        </div>
      </div>
      <p>
        <strong>Why:</strong> {advised.reason} {!advised.reason.includes("next.") && what}
      </p>
      {advised.odds.floor > 0.1 && (
        <p class="fault">
          <span aria-hidden="true">▲ </span>
          {inHundred(advised.odds.floor)} in 100 such sets would end before {advised.floor_s} s: an overload.
        </p>
      )}
      {advised.outside_endurance && (
        <p class="quiet">This load lies where times to failure are not known well: take the odds as rough.</p>
      )}
      {mayWrite && <Answer advised={advised} day={day} put={put} />}
      <div class="openers">
        {opener("loads", "All loads")}
        {opener("how", "How it is done")}
        <a href={pathOf(`/person/${encodeURIComponent(person)}/strength`, { exercise: advised.exercise, side: advised.side })}>
          Strength over months<span class="unseen">: {nameOf(advised)}</span>
        </a>
      </div>
      {panel === "loads" && <Ladder advised={advised} />}
      {panel === "how" && <HowItIsDone advised={advised} catalogue={catalogue} />}
    </article>
  );
}

function Kit({ person }: { person: Person }) {
  const asked = useAsked<Item[]>(pathOf("/api/kit", { person: person.person }));
  const items = asked.value?.filter((item) => !item.retired_day) ?? [];
  return (
    <Section title="Kit">
      <Waiting asked={asked} what="the kit" />
      {asked.value && items.length === 0 && <p>No kit yet: advice can use body weight only.</p>}
      {items.length > 0 && (
        <ul class="lines">
          {items.map((item) => (
            <li key={item.item}>
              <a href={`/kit/${encodeURIComponent(item.item)}`}>{item.label}</a> {kindWords[item.kind]}
              {item.person ? "" : ", the studio's"}
              {item.wear ? ` · ${item.wear}` : ""}
            </li>
          ))}
        </ul>
      )}
      <p>
        <a class="button" href={pathOf("/kit/new", { person: person.person })}>
          Add kit
        </a>
      </p>
    </Section>
  );
}

function Loads({ person }: { person: Person }) {
  const asked = useAsked<PersonAdvice>(personPath(person.person, "/advice"));
  const catalogue = useCatalogue();
  const mayWrite = useMayWrite();
  const sending = useSending();
  const advice = asked.value;
  const put = (next: Advised) => {
    if (advice) asked.set({ ...advice, advised: advice.advised.map((one) => (one.advice === next.advice ? next : one)) });
  };
  const open = advice?.advised.filter((one) => one.became === "open") ?? [];
  const acceptAll = () =>
    sending.run(async () => {
      const taken: Advised[] = [];
      try {
        for (const one of open) taken.push(await ask<Advised>("POST", `/api/advice/${encodeURIComponent(one.advice)}/accept`, {}));
      } finally {
        asked.set({ ...advice!, advised: advice!.advised.map((one) => taken.find((other) => other.advice === one.advice) ?? one) });
      }
      const undo = async () => {
        for (const one of taken) await ask("DELETE", `/api/advice/${encodeURIComponent(one.advice)}/answer`);
        asked.again();
        note("All open again.");
      };
      note({ words: `${plural(taken.length, "load")} accepted.`, undo: { label: "Undo", run: undo } });
    });
  const cautions = [...new Set(advice?.advised.flatMap((one) => one.cautions) ?? [])];
  return (
    <>
      <Section
        title="Next loads"
        aside={
          advice && (
            <p class="quiet">
              for {dayWords(advice.day)}, {advice.endpoint === "reserve" ? "stopping in reserve" : "to momentary failure"}
            </p>
          )
        }
        wide>
        {asked.problem?.status === 409 ? (
          <p class="big">No loads are advised as things stand. {asked.problem.detail}</p>
        ) : (
          <Waiting asked={asked} what="the advice" />
        )}
        {advice && advice.advised.length === 0 && (
          <p>
            Nothing to advise yet. Choose exercises under{" "}
            <a href={`/person/${encodeURIComponent(person.person)}/details`}>Details</a>, and add kit below.
          </p>
        )}
        {mayWrite && open.length > 1 && (
          <p>
            <button type="button" onClick={acceptAll}>
              Accept all {open.length}
            </button>
          </p>
        )}
        {sending.problem && <Trouble problem={sending.problem} />}
        {advice?.advised.map((one) => (
          <NextLoad key={one.advice} advised={one} day={advice.day} person={person.person} catalogue={catalogue.value} put={put} />
        ))}
      </Section>
      {cautions.length > 0 && (
        <Section title="Before the sets">
          <ul>
            {cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </Section>
      )}
      {((advice?.notes.length ?? 0) > 0 || person.note) && (
        <Section title="Notes">
          {person.note && <p class="note">{person.note}</p>}
          {advice && advice.notes.length > 0 && (
            <ul>
              {advice.notes.map((words) => (
                <li key={words}>{words}</li>
              ))}
            </ul>
          )}
        </Section>
      )}
    </>
  );
}

export function PersonPage({ person }: { person: string }) {
  const mayWrite = useMayWrite();
  return (
    <PersonFrame person={person} room="Next loads">
      {(found) => (
        <>
          <Careful person={found} />
          <Loads person={found} />
          {mayWrite && <Kit person={found} />}
        </>
      )}
    </PersonFrame>
  );
}
