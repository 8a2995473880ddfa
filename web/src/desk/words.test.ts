// Days, chances and times in words.
import assert from "node:assert/strict";
import { test } from "node:test";
import { match } from "./router";
import { addDays, dayWords, farWords, inHundred, likelyWords, listWords, minutesWords, unitWords } from "./words";

const odds = (p10_s: number | null, p50_s: number | null, p90_s: number | null) => ({
  floor: 0,
  early: 0,
  window: 0,
  beyond: 1,
  p10_s,
  p50_s,
  p90_s,
});

test("a day of this year, and of another", () => {
  assert.equal(dayWords("2026-11-24", "2026-11-25"), "Tue 24 Nov");
  assert.equal(dayWords("2025-11-24", "2026-11-25"), "Mon 24 Nov 2025");
  assert.equal(dayWords(null), "never");
});
test("how far a day is", () => {
  for (const [day, words] of [
    ["2026-11-25", "today"],
    ["2026-11-24", "yesterday"],
    ["2026-11-26", "tomorrow"],
    ["2026-11-20", "5 days ago"],
    ["2026-12-01", "in 6 days"],
  ] as const)
    assert.equal(farWords(day, "2026-11-25"), words);
});
test("days are added over the end of winter time without losing one", () => assert.equal(addDays("2026-03-28", 2), "2026-03-30"));
test("a small chance is not none, a large one not certain", () => {
  assert.deepEqual([0, 0.001, 0.004, 0.5604, 0.996, 0.9999, 1].map(inHundred), ["0", "<1", "<1", "56", ">99", ">99", "100"]);
});
test("a time carries its interval, also where it has no end", () => {
  assert.equal(likelyWords(odds(69.4, 85.4, 117.4)), "85 s (69–117)");
  assert.equal(likelyWords(odds(69.4, 85.4, null)), "85 s (69 or more)");
  assert.equal(likelyWords(odds(200, null, null)), "over 200 s");
  assert.equal(likelyWords(odds(null, null, null)), "no end in sight");
});
test("units of UCUM, as people write them", () =>
  assert.deepEqual(["mm[Hg]", "s", "{score}", "1"].map(unitWords), ["mmHg", "s", "score", ""]));
test("lists and minutes", () => {
  assert.equal(listWords(["a", "b", "c"]), "a, b and c");
  assert.equal(minutesWords(290), "4:50");
});
test("addresses", () => {
  assert.deepEqual(match("/person/:person/diary", "/person/a%20b/diary"), { person: "a b" });
  assert.deepEqual(match("/people", "/people/"), {});
  assert.equal(match("/person/:person", "/people/x"), null);
  assert.equal(match("/person/:person", "/person/%E0%A4%A"), null, "what is no address is no page");
});
