import assert from "node:assert/strict";
import test from "node:test";
import { sentencesOf, sharedSentences, withoutSentences } from "./reasons";

const symptom = "A set was stopped for a symptom: no rise above 10 % until sets go well again.";
const clinician = "New or worse symptoms for a day or more, without fever or heat: ask the clinician first.";

test("a reason is its sentences; a stop within one is none", () => {
  assert.deepEqual(sentencesOf(`${symptom} ${clinician}`), [symptom, clinician]);
  assert.deepEqual(sentencesOf("Aim for 70.5 s on the 2.5 kg."), ["Aim for 70.5 s on the 2.5 kg."]);
  assert.deepEqual(sentencesOf(""), []);
});

test("what every reason says is shared", () => {
  const reasons = [`${symptom} ${clinician} If it is completed: band 3 next.`, `${symptom} ${clinician}`];
  assert.deepEqual(sharedSentences(reasons), [symptom, clinician]);
  assert.equal(withoutSentences(reasons[0]!, [symptom, clinician]), "If it is completed: band 3 next.");
  assert.equal(withoutSentences(reasons[1]!, [symptom, clinician]), "");
});

test("what only some say is not, nor what one says alone", () => {
  assert.deepEqual(sharedSentences([symptom, clinician]), []);
  assert.deepEqual(sharedSentences([symptom]), []);
  assert.deepEqual(sharedSentences([]), []);
});
