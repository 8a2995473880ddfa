// What is written on a paper page, and what it means.
import assert from "node:assert/strict";
import { test } from "node:test";
import { readResult, resultWords, writeResult, type Read } from "./results";

const read = (ended: string, seconds: number, reserve_s: number | null = null) => ({
  kind: "read",
  result: { ended, seconds, reserve_s },
});
const rows: [why: string, text: string, expected: unknown][] = [
  ["nothing was done", "  ", { kind: "empty" }],
  ["a failure", "72f", read("failure", 72)],
  ["capitals and a space, as thumbs write", "72 F", read("failure", 72)],
  ["half a second, with a comma", "72,5f", read("failure", 72.5)],
  ["the window closed", "90c", read("completed", 90)],
  ["the window closed: the letter says when", "c", read("completed", 90)],
  ["the window had closed by then, so no letter is needed", "90", read("completed", 90)],
  ["stopped in reserve, not said how much", "55r", read("reserve", 55)],
  ["stopped with 8 s left", "55r8", read("reserve", 55, 8)],
  ["stopped for a symptom", "40s", read("symptom", 40)],
  ["another reason", "30o", read("other", 30)],
];
for (const [why, text, expected] of rows)
  test(`${JSON.stringify(text)}: ${why}`, () => assert.deepEqual(readResult(text, 90), expected));

const refused: [why: string, text: string, kind: Read["kind"]][] = [
  ["before the window closed a time alone does not say how it ended", "72", "unfinished"],
  ["no such letter", "72x", "wrong"],
  ["a letter first", "f72", "wrong"],
  ["what is left belongs to r alone", "72f8", "wrong"],
  ["no time at all", "0f", "wrong"],
  ["longer than any set", "9000f", "wrong"],
  ["negative", "-5f", "wrong"],
];
for (const [why, text, kind] of refused)
  test(`${JSON.stringify(text)} is not taken: ${why}`, () => {
    const found = readResult(text, 90);
    assert.equal(found.kind, kind);
    assert.ok("words" in found && found.words.length > 0);
  });

test("the window's end is the studio's own", () => assert.deepEqual(readResult("c", 75), read("completed", 75)));
test("what was read is written the same way", () => {
  for (const text of ["72f", "90c", "55r", "55r8", "40s", "30o", "72.5f"]) {
    const found = readResult(text, 90);
    assert.equal(found.kind === "read" && writeResult(found.result), text);
  }
});
test("in words", () =>
  assert.equal(resultWords({ ended: "reserve", seconds: 55, reserve_s: 8 }), "55 s, stopped in reserve, 8 s left"));
