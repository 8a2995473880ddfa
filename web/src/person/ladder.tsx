// ladder.tsx: the loads a person has for an exercise, lightest first, with their odds: a table whose bars say what its numbers say.
import { useState } from "preact/hooks";
import type { Advised, LadderRung } from "../api-types";
import { Bar, Table } from "../desk/parts";
import { inHundred, likelyWords, sideTail } from "../desk/words";

export function nameOf(advised: Advised): string {
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
