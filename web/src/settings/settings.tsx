// settings.tsx: the studio's name, zone, window and limits; one's own password.
import { useState } from "preact/hooks";
import type { Studio, StudioChange } from "../api-types";
import { ask, useAsked, type Asked } from "../desk/api";
import { useDraft } from "../desk/draft";
import { Form, Select, Text } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Title, Waiting } from "../desk/parts";
import { Secret } from "../desk/secret";
import { useIsCoach } from "../desk/session";
import { numberOf } from "../desk/units";
import { plural } from "../desk/words";
import { passwordLength, passwordWords } from "../welcome/welcome";
import { StudioRooms } from "./rooms";

function typedOf(studio: Studio) {
  const { settings } = studio;
  return {
    called: studio.called,
    zone: studio.zone,
    language: studio.language,
    heat: String(settings.heat_caution_c),
    from: String(settings.window_from_s),
    to: String(settings.window_to_s),
    floor: String(settings.floor_s),
  };
}
const zones: string[] = (Intl as { supportedValuesOf?: (what: string) => string[] }).supportedValuesOf?.("timeZone") ?? [];

function Change({ studio, asked }: { studio: Studio; asked: Asked<Studio> }) {
  const draft = useDraft("settings", () => typedOf(studio));
  const given = draft.value;
  const set = (part: Partial<typeof given>) => draft.set((old) => ({ ...old, ...part }));
  const number = { heat: numberOf(given.heat), from: numberOf(given.from), to: numberOf(given.to), floor: numberOf(given.floor) };
  const inside = (value: number | null, low: number, high: number) => value !== null && value >= low && value <= high;
  const check = () => [
    ...(given.called.trim() ? [] : [{ pointer: "/called", detail: "The studio needs a name." }]),
    ...(inside(number.from, 20, 300)
      ? []
      : [{ pointer: "/settings/window_from_s", detail: "The window opens after 20 to 300 seconds." }]),
    ...(inside(number.to, (number.from ?? 20) + 5, 400)
      ? []
      : [{ pointer: "/settings/window_to_s", detail: "The window closes at least 5 seconds after it opens, and by 400." }]),
    ...(inside(number.floor, 5, number.from ?? 300)
      ? []
      : [{ pointer: "/settings/floor_s", detail: "The floor lies between 5 seconds and the window's start." }]),
    ...(inside(number.heat, 15, 45)
      ? []
      : [{ pointer: "/settings/heat_caution_c", detail: "The heat limit is a heat index from 15 to 45 °C." }]),
  ];
  const send = async () => {
    const change: StudioChange = {
      called: given.called.trim(),
      zone: given.zone.trim(),
      language: given.language,
      settings: { heat_caution_c: number.heat!, window_from_s: number.from!, window_to_s: number.to!, floor_s: number.floor! },
    };
    asked.set(await ask<Studio>("PUT", "/api/studio", change));
    draft.drop();
    note("Saved.");
  };
  return (
    <Form action="Save" check={check} send={send}>
      <Section title="The studio">
        <Text pointer="/called" label="Name" value={given.called} set={(called) => set({ called })} width={24} />
        {zones.length > 0 ? (
          <Select
            pointer="/zone"
            label="Time zone"
            help="Where its days begin."
            value={given.zone}
            set={(zone) => set({ zone })}
            options={[...new Set([given.zone, ...zones])].map((zone) => ({ value: zone, words: zone.replaceAll("_", " ") }))}
          />
        ) : (
          <Text
            pointer="/zone"
            label="Time zone"
            help="As in the tz database: Europe/Berlin."
            value={given.zone}
            set={(zone) => set({ zone })}
            width={24}
          />
        )}
        <Select
          pointer="/language"
          label="Language of what participants read"
          value={given.language}
          set={(language) => set({ language })}
          options={[...new Set([given.language, "en"])].map((one) => ({
            value: one,
            words: new Intl.DisplayNames("en", { type: "language" }).of(one) ?? one,
          }))}
        />
      </Section>
      <Section title="Sets">
        <p>
          A set should reach momentary failure inside the window, and never before the floor. Changing these changes all advice from
          now on.
        </p>
        <div class="row top">
          <Text
            pointer="/settings/window_from_s"
            label="Window opens at"
            unit="s"
            value={given.from}
            set={(from) => set({ from })}
            inputMode="numeric"
            width={5}
          />
          <Text
            pointer="/settings/window_to_s"
            label="Window closes at"
            unit="s"
            value={given.to}
            set={(to) => set({ to })}
            inputMode="numeric"
            width={5}
          />
          <Text
            pointer="/settings/floor_s"
            label="Floor"
            unit="s"
            value={given.floor}
            set={(floor) => set({ floor })}
            inputMode="numeric"
            width={5}
          />
        </div>
        <Text
          pointer="/settings/heat_caution_c"
          label="Take care from a heat index of"
          unit="°C"
          help="Temperature and humidity together, for who is sensitive to heat."
          value={given.heat}
          set={(heat) => set({ heat })}
          inputMode="decimal"
          width={5}
        />
      </Section>
    </Form>
  );
}

function Password() {
  const [old, setOld] = useState("");
  const [next, setNext] = useState("");
  const check = () => [
    ...(old ? [] : [{ pointer: "/old", detail: "Type the password you have now." }]),
    ...([...next].length >= passwordLength
      ? []
      : [{ pointer: "/new", detail: `The new password needs at least ${passwordLength} characters.` }]),
  ];
  const send = async () => {
    await ask("POST", "/api/password", { old, new: next });
    setOld("");
    setNext("");
    note("The password is changed. You are signed out everywhere else.");
  };
  return (
    <Section title="Your password">
      <details>
        <summary>Change it</summary>
        <Form action="Change the password" check={check} send={send}>
          <Secret pointer="/old" label="Password now" value={old} set={setOld} autocomplete="current-password" />
          <Secret
            pointer="/new"
            label="New password"
            help={<span aria-live="polite">{passwordWords(next)}</span>}
            value={next}
            set={setNext}
            autocomplete="new-password"
          />
        </Form>
      </details>
    </Section>
  );
}

export function SettingsPage() {
  const asked = useAsked<Studio>("/api/studio");
  const isCoach = useIsCoach();
  const studio = asked.value;
  return (
    <>
      <Title name="Settings">Studio</Title>
      <StudioRooms />
      <Waiting asked={asked} what="the settings" />
      {studio && isCoach && <Change studio={studio} asked={asked} />}
      <Password />
      {studio && (
        <Section title="What is kept">
          <p>
            {plural(studio.counts.people, "person", "people")}, {plural(studio.counts.sets, "set")},{" "}
            {plural(studio.counts.items, "piece")} of kit, {plural(studio.counts.classes, "class", "classes")}.
          </p>
          <p class="quiet">
            thew {studio.version}, engine {studio.engine}.{" "}
            <a href="/licences.txt" target="_blank" rel="noopener">
              Licences of what it is made with
            </a>
          </p>
        </Section>
      )}
    </>
  );
}
