// fits.tsx: people by exercises: what each would do in this class.
import { useState } from "preact/hooks";
import type { FitCell, Fits, PersonBrief } from "../api-types";
import { pathOf, useAsked } from "../desk/api";
import { Ticks } from "../desk/form";
import { Waiting } from "../desk/parts";
import { fitWords, inHundred } from "../desk/words";

const signs: Record<FitCell["state"], string> = {
  fits: "",
  easier_variant: "▽ ",
  harder_variant: "△ ",
  nothing_fits: "– ",
  off_limits: "✕ ",
};

function Cell({ cell }: { cell: FitCell }) {
  return (
    <td class={`fit ${cell.state}`} title={cell.words}>
      {cell.state !== "fits" && (
        <span class="strong">
          <span aria-hidden="true">{signs[cell.state]}</span>
          {fitWords[cell.state]}
          <br />
        </span>
      )}
      {cell.side_labels.length > 0
        ? cell.side_labels.map((one) => (
            <span key={one.side} class="side">
              {one.side === "both" ? "" : `${one.side}: `}
              {one.label}{" "}
              <small>
                ({inHundred(one.window)} in 100, aim {Math.round(one.goal_s)} s)
              </small>
            </span>
          ))
        : cell.label || cell.words}
    </td>
  );
}

export function FitsTable({ id }: { id: string }) {
  const people = useAsked<PersonBrief[]>("/api/people");
  const here = (people.value ?? []).filter((one) => !one.left_day);
  const [chosen, setChosen] = useState<string[] | null>(null);
  const wanted = chosen ?? here.slice(0, 30).map((one) => one.person);
  const asked = useAsked<Fits>(
    wanted.length > 0 ? pathOf(`/api/classes/${encodeURIComponent(id)}/fits`, { people: wanted.join(",") }) : null,
  );
  const fits = asked.value;
  return (
    <>
      <Waiting asked={people} what="the people" />
      {people.value && here.length === 0 && <p>Add people first: then this says what each would take.</p>}
      {here.length > 0 && (
        <details>
          <summary>
            Who is in it ({wanted.length} of {here.length})
          </summary>
          <Ticks
            pointer="/people"
            label="People"
            columns
            value={wanted}
            set={setChosen}
            options={here.map((one) => ({ value: one.person, words: one.called }))}
          />
        </details>
      )}
      {wanted.length > 0 && <Waiting asked={asked} what="the fits" />}
      {fits && (
        <div class="scroll" role="region" aria-label="Each person's fit" tabIndex={0}>
          <table class="matrix">
            <caption class="unseen">What each person would take in each exercise</caption>
            <thead>
              <tr>
                <th scope="col">Person</th>
                {fits.slots.map((slot) => (
                  <th key={slot.exercise + slot.variant} scope="col">
                    {slot.name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {fits.people.map((person) => (
                <tr key={person.person}>
                  <th scope="row">
                    <a href={`/person/${encodeURIComponent(person.person)}`}>{person.called}</a>
                  </th>
                  {person.cells.map((cell, index) => (
                    <Cell key={index} cell={cell} />
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
