// What people type becomes SI, and comes back as they typed it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { centimetresOf, forceIn, metresOf, newtonsOf, numberOf, typed } from "./units";

const numbers: [why: string, text: string, expected: number | null][] = [
  ["a point", "1.5", 1.5],
  ["a comma", "1,5", 1.5],
  ["spaces around", " 12 ", 12],
  ["nothing before the point", ".5", 0.5],
  ["below zero", "-3", -3],
  ["empty is no number, and not zero", "", null],
  ["a unit is not a number", "3 kg", null],
  ["an exponent is a slip of the key", "1e3", null],
  ["thousands are not guessed at", "1.000,5", null],
];
for (const [why, text, expected] of numbers) test(`${JSON.stringify(text)}: ${why}`, () => assert.equal(numberOf(text), expected));

test("1 kgf is 9.80665 N, exactly (3rd CGPM, 1901)", () => assert.equal(newtonsOf(1, "kgf"), 9.80665));
test("newtons stay newtons", () => assert.equal(newtonsOf(41.2, "N"), 41.2));
test("centimetres and metres, without the tails of binary fractions", () => {
  assert.equal(metresOf(113.3), 1.133);
  assert.equal(centimetresOf(1.133), 113.3);
  assert.equal(centimetresOf(0.29), 29);
});
test("there and back, for every tenth from 0.1 to 30 kgf", () => {
  for (let tenths = 1; tenths <= 300; tenths++)
    assert.equal(typed(forceIn(newtonsOf(tenths / 10, "kgf"), "kgf"), 2), String(tenths / 10));
});
