// words.ts: how days, numbers, odds and the contract's codes are said, in English. What is estimated is said with its interval.
import type { Attention, Day, Ended, FitCell, ImplementKind, Instant, Odds, Position, Role, Screening, Side } from "../api-types";

const dayForm = new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short", timeZone: "UTC" });
const dayYearForm = new Intl.DateTimeFormat("en-GB", {
  weekday: "short",
  day: "numeric",
  month: "short",
  year: "numeric",
  timeZone: "UTC",
});

/** "Tue 24 Nov", with the year where it is another one than `today`'s. */
export function dayWords(day: Day | null, today: Day = todayHere()): string {
  if (!day) return "never";
  const at = new Date(`${day}T00:00:00Z`);
  if (Number.isNaN(at.getTime())) return day;
  return (day.slice(0, 4) === today.slice(0, 4) ? dayForm : dayYearForm).format(at).replace(",", "");
}
export function instantWords(at: Instant, zone?: string): string {
  return new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeStyle: "short", ...(zone ? { timeZone: zone } : {}) }).format(
    new Date(at),
  );
}
let studioToday: Day | null = null;
/** The day in the studio's zone, as the server said; before it did, this machine's. */
export function todayHere(): Day {
  if (studioToday) return studioToday;
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
export function setToday(day: Day) {
  studioToday = day;
}
export function daysBetween(from: Day, to: Day): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
}
export function addDays(day: Day, count: number): Day {
  return new Date(Date.parse(`${day}T00:00:00Z`) + count * 86_400_000).toISOString().slice(0, 10);
}
/** "today", "yesterday", "in 3 days". */
export function farWords(day: Day, today: Day = todayHere()): string {
  const days = daysBetween(today, day);
  if (days === 0) return "today";
  if (days === -1) return "yesterday";
  if (days === 1) return "tomorrow";
  return days < 0 ? `${-days} days ago` : `in ${days} days`;
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}
export function listWords(parts: string[]): string {
  return parts.length < 2 ? (parts[0] ?? "") : `${parts.slice(0, -1).join(", ")} and ${parts[parts.length - 1]}`;
}

/** "56", "<1", ">99": chances in 100. */
export function inHundred(share: number): string {
  if (share > 0 && share < 0.005) return "<1";
  if (share < 1 && share > 0.995) return ">99";
  return String(Math.round(share * 100));
}
export function percent(share: number): string {
  return `${inHundred(share)} %`;
}
/** "85 s (69-117)": the middle, and what 8 of 10 such sets fall in. */
export function likelyWords(odds: Odds): string {
  if (odds.p50_s === null) return odds.p10_s === null ? "no end in sight" : `over ${Math.round(odds.p10_s)} s`;
  const low = odds.p10_s === null ? "?" : Math.round(odds.p10_s);
  return odds.p90_s === null
    ? `${Math.round(odds.p50_s)} s (${low} or more)`
    : `${Math.round(odds.p50_s)} s (${low}–${Math.round(odds.p90_s)})`;
}

export const sideWords: Record<Side, string> = { both: "both sides", left: "left", right: "right" };
/** ", left" after an exercise's name; nothing for both. */
export function sideTail(side: Side): string {
  return side === "both" ? "" : `, ${side}`;
}
export const endedWords: Record<Ended, string> = {
  failure: "failure",
  completed: "completed",
  reserve: "stopped in reserve",
  symptom: "stopped for a symptom",
  other: "other",
};
/** The same where there is little room. */
export const endedShort: Record<Ended, string> = {
  failure: "failure",
  completed: "completed",
  reserve: "reserve",
  symptom: "symptom",
  other: "other",
};
export const kindWords: Record<ImplementKind, string> = {
  body: "body weight",
  band: "band",
  loop: "loop",
  dumbbell: "dumbbell",
  cuff: "cuff weight",
};
export const positionWords: Record<Position, string> = { seated: "seated", standing: "standing", lying: "lying" };
export const roleWords: Record<Role, string> = {
  coach: "coach",
  assistant: "assistant",
  participant: "participant",
  helper: "helper of a participant",
  clinician: "clinician",
};
export const attentionWords: Record<Attention["kind"], string> = {
  symptom: "Stopped for a symptom",
  decline: "Sudden decline",
  too_much: "Too much",
  missed_weeks: "Missed weeks",
  ladder_used_up: "Ladder used up",
  advice_waiting: "Advice waits for a yes",
  not_screened: "Not screened yet",
  no_kit: "No kit yet",
};
export const verdictWords: Record<Screening["verdict"], string> = {
  clear: "Nothing found that speaks against training",
  with_care: "May train, with care",
  ask_first: "Ask the clinician first",
  not_asked: "The screening is not complete",
};
/** What a finding of the screening asks for. */
export function actionWords(action: string): string {
  return (
    (
      {
        ask_first: "Ask the clinician first.",
        with_care: "May train, with care.",
        note: "To be kept in mind.",
        clear: "Nothing to do.",
      } as Record<string, string>
    )[action] ?? action
  );
}
export const fitWords: Record<FitCell["state"], string> = {
  fits: "fits",
  easier_variant: "easier variant",
  harder_variant: "harder variant",
  nothing_fits: "nothing fits",
  off_limits: "off limits",
};
/** A unit in UCUM as people write it: mm[Hg] is mmHg, {score} a score, 1 nothing. */
export function unitWords(ucum: string): string {
  return ucum === "1" ? "" : ucum.replace(/[[\]{}]/g, "");
}
export function minutesWords(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
