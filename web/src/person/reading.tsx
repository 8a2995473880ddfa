// reading.tsx: what a clinician reads of somebody who agreed to it: outcome measures, and strength over months. Nothing can be changed.
import type { PersonBrief } from "../api-types";
import { useAsked } from "../desk/api";
import { Title, Waiting } from "../desk/parts";
import { farWords, plural } from "../desk/words";
import { Outcomes } from "./measures";
import { Strengths } from "./strength";

export function Reading({ person }: { person: string }) {
  const asked = useAsked<PersonBrief[]>("/api/people");
  const found = asked.value?.find((one) => one.person === person);
  return (
    <>
      <Title name={found?.called ?? "Person"}>{found?.called ?? (asked.value ? "This person cannot be shown" : "Person")}</Title>
      <Waiting asked={asked} what="the person" />
      {asked.value && !found && <p>Either there is nobody of this name here, or your account does not see them.</p>}
      {found && (
        <>
          <p class="brief">
            {plural(found.sets, "set")}
            {found.last_day ? ` · last trained ${farWords(found.last_day)}` : ""}
          </p>
          <Outcomes person={found} />
          <Strengths person={person} />
        </>
      )}
    </>
  );
}
