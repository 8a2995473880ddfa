// screening.tsx: a question at a time; what was found is said plainly, with what to do. May be left and resumed in this tab.
import { useEffect, useRef } from "preact/hooks";
import type { Catalogue, Person, Screening, ScreeningQuestion } from "../api-types";
import { ask, personPath, useCatalogue, type Asked } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Area, Choice, Form, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Table, Waiting } from "../desk/parts";
import { numberOf } from "../desk/units";
import { useMayWrite } from "../desk/session";
import { actionWords, instantWords, unitWords, verdictWords } from "../desk/words";
import { PersonFrame } from "./frame";

type Given = Record<string, { answer: string; note: string }>;

function answerWords(question: ScreeningQuestion | undefined, answer: string): string {
  if (!question) return answer;
  if (question.kind === "choice") return question.choices.find((choice) => choice.choice === answer)?.words ?? answer;
  return question.kind === "number" && question.unit ? `${answer} ${unitWords(question.unit)}` : answer;
}

function Found({ screening, catalogue }: { screening: Screening; catalogue: Catalogue }) {
  const question = (id: string) => catalogue.screening.find((one) => one.question === id);
  return (
    <>
      <Section title="What it says">
        <p class="big">{verdictWords[screening.verdict]}.</p>
        {screening.endpoint_forced && (
          <p>
            <strong>Sets stop in reserve</strong>, before momentary failure, whatever was chosen otherwise.
          </p>
        )}
        {screening.findings.length > 0 && (
          <ul class="findings">
            {screening.findings.map((finding) => (
              <li key={finding.rule}>
                <p>
                  <strong>{finding.words}</strong>
                </p>
                <p>{actionWords(finding.action)}</p>
              </li>
            ))}
          </ul>
        )}
        <p class="quiet">This is no diagnosis. A clinician's word comes first, and local rules and licensed practice with it.</p>
      </Section>
      {screening.answers.length > 0 && (
        <Section title="Answers">
          <Table
            caption="Answers of the screening"
            hideCaption
            columns={[{ head: "Question" }, { head: "Answer" }, { head: "Note" }, { head: "Asked" }]}
            rows={screening.answers.map((one) => ({
              key: one.question,
              cells: [
                question(one.question)?.words ?? one.question,
                answerWords(question(one.question), one.answer),
                one.note || "–",
                instantWords(one.answered_at),
              ],
            }))}
          />
        </Section>
      )}
    </>
  );
}

function Question({
  question,
  given,
  set,
}: {
  question: ScreeningQuestion;
  given: { answer: string; note: string };
  set: (given: { answer: string; note: string }) => void;
}) {
  const pointer = `/${question.question}`;
  const answer = (value: string) => set({ ...given, answer: value });
  return (
    <>
      {question.kind === "number" ? (
        <Text
          pointer={pointer}
          label={question.words}
          help={question.help}
          {...(question.unit ? { unit: unitWords(question.unit) } : {})}
          value={given.answer}
          set={answer}
          inputMode="decimal"
          width={8}
        />
      ) : (
        <Choice
          pointer={pointer}
          label={question.words}
          help={question.help}
          value={given.answer}
          set={answer}
          options={
            question.kind === "yes_no"
              ? [
                  { value: "no", words: "no" },
                  { value: "yes", words: "yes" },
                ]
              : question.choices.map((choice) => ({ value: choice.choice, words: choice.words }))
          }
        />
      )}
      <Area
        pointer={`${pointer}-note`}
        label="Note (may stay empty)"
        value={given.note}
        set={(words) => set({ ...given, note: words })}
        rows={2}
      />
    </>
  );
}

function Asking({
  person,
  catalogue,
  asked,
  stop,
}: {
  person: Person;
  catalogue: Catalogue;
  asked: Asked<Person>;
  stop: () => void;
}) {
  const questions = catalogue.screening;
  const before: Given = Object.fromEntries(
    person.screening.answers.map((one) => [one.question, { answer: one.answer, note: one.note }]),
  );
  const draft = useDraft<{ at: number; given: Given }>(`screening:${person.person}`, () => ({ at: 0, given: before }));
  const { at, given } = draft.value;
  const place = useRef<HTMLDivElement>(null);
  // The answer itself takes the focus, so that arrow key and Enter are all it takes; a screen reader says the question with it.
  useEffect(
    () => (place.current?.querySelector<HTMLElement>("input:checked, input") ?? place.current?.querySelector("h2"))?.focus(),
    [at],
  );
  const done = at >= questions.length;
  const question = questions[Math.min(at, questions.length - 1)]!;
  const missing = questions.filter((one) => !given[one.question]?.answer);
  const check = () => {
    if (done || question.kind !== "number" || !given[question.question]?.answer) return [];
    return numberOf(given[question.question]!.answer) === null
      ? [{ pointer: `/${question.question}`, detail: "Type a number, or leave it empty and come back to it." }]
      : [];
  };
  const send = async () => {
    if (!done) {
      draft.set((old) => ({ ...old, at: old.at + 1 }));
      return;
    }
    const answers = questions
      .filter((one) => given[one.question]?.answer)
      .map((one) => {
        const { answer, note: words } = given[one.question]!;
        return { question: one.question, answer: one.kind === "number" ? String(numberOf(answer)) : answer, note: words };
      });
    await ask<Screening>("POST", personPath(person.person, "/screening"), { answers });
    draft.drop();
    asked.again();
    note("The screening is kept.");
    stop();
  };
  const goTo = (index: number) => draft.set((old) => ({ ...old, at: index }));
  return (
    <Form
      action={done ? "Keep these answers" : "Next"}
      check={check}
      send={send}
      more={
        <>
          {at > 0 && (
            <button type="button" onClick={() => goTo(at - 1)}>
              Back
            </button>
          )}
          <button type="button" onClick={stop}>
            Leave for later
          </button>
        </>
      }>
      <div ref={place}>
        <h2 tabIndex={-1}>{done ? "Before it is kept" : `Question ${at + 1} of ${questions.length}`}</h2>
        {!done && (
          <Question
            key={question.question}
            question={question}
            given={given[question.question] ?? { answer: "", note: "" }}
            set={(next) => draft.set((old) => ({ ...old, given: { ...old.given, [question.question]: next } }))}
          />
        )}
        {done && missing.length === 0 && <p>Every question has an answer.</p>}
        {done && missing.length > 0 && (
          <>
            <p>
              {missing.length === 1 ? "One question is" : `${missing.length} questions are`} without an answer. It may be kept so;
              until all are answered the screening counts as not finished.
            </p>
            <ul>
              {missing.map((one) => (
                <li key={one.question}>
                  <button type="button" class="link" onClick={() => goTo(questions.indexOf(one))}>
                    {one.words}
                  </button>
                </li>
              ))}
            </ul>
          </>
        )}
      </div>
    </Form>
  );
}

function Screen({ person, asked, catalogue }: { person: Person; asked: Asked<Person>; catalogue: Catalogue }) {
  const mayWrite = useMayWrite();
  const opening = useDraft(`screening-open:${person.person}`, () => mayWrite && person.screening.answers.length === 0);
  if (opening.value) return <Asking person={person} catalogue={catalogue} asked={asked} stop={() => opening.set(false)} />;
  const left = person.screening.missing.length;
  return (
    <>
      {mayWrite && (
        <p>
          <button type="button" class="main" onClick={() => opening.set(true)}>
            {person.screening.answers.length === 0
              ? "Begin the screening"
              : left > 0
                ? `Go on: ${left} without an answer`
                : "Ask again"}
          </button>
        </p>
      )}
      <Found screening={person.screening} catalogue={catalogue} />
    </>
  );
}

export function ScreeningPage({ person }: { person: string }) {
  const catalogue = useCatalogue();
  return (
    <PersonFrame person={person} room="Screening">
      {(found, asked) =>
        catalogue.value ? (
          catalogue.value.screening.length === 0 ? (
            <p>There are no screening questions in this studio's catalogue.</p>
          ) : (
            <Screen person={found} asked={asked} catalogue={catalogue.value} />
          )
        ) : (
          <Waiting asked={catalogue} what="the questions" />
        )
      }
    </PersonFrame>
  );
}
