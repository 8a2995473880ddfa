// results.ts: how a set's end is written on a paper page, and read back: "72f", "90c", "55r8", "40s".
// Knows the notation. Leaves to others: the grid (paper.tsx), whether the record fits the diary (the server).
//
//   seconds, then a letter: f failure, c completed, r stopped in reserve, s symptom, o other
//   after r, if said: the seconds felt to be left
//   seconds alone: completed, if the window has closed by then
//   c alone: completed at the window's close
import type { Ended } from "../api-types";
import { endedWords } from "../desk/words";

export interface Result {
  ended: Ended;
  seconds: number;
  reserve_s: number | null;
}
export type Read =
  { kind: "empty" } | { kind: "read"; result: Result } | { kind: "unfinished"; words: string } | { kind: "wrong"; words: string };

const letters: Record<string, Ended> = { f: "failure", c: "completed", r: "reserve", s: "symptom", o: "other" };
export const letterOf: Record<Ended, string> = { failure: "f", completed: "c", reserve: "r", symptom: "s", other: "o" };
const longest_s = 900; // beyond it a slip of the key is likelier than a set (judgement)

export function readResult(text: string, window_to_s: number): Read {
  const plain = text.trim().toLowerCase().replace(",", ".");
  if (plain === "") return { kind: "empty" };
  if (plain === "c") return { kind: "read", result: { ended: "completed", seconds: window_to_s, reserve_s: null } };
  const parts = /^(\d{1,4}(?:\.\d?)?)\s*([a-z]?)\s*(\d{0,3})$/.exec(plain);
  if (!parts) return { kind: "wrong", words: "Seconds, then f, c, r, s or o." };
  const seconds = Number(parts[1]),
    letter = parts[2]!,
    rest = parts[3]!;
  if (letter && !letters[letter]) return { kind: "wrong", words: `There is no end called ${letter}: f, c, r, s or o.` };
  if (rest && letter !== "r") return { kind: "wrong", words: "Only after r come the seconds felt to be left." };
  if (seconds <= 0) return { kind: letter ? "wrong" : "unfinished", words: "More than 0 seconds." };
  if (seconds > longest_s) return { kind: "wrong", words: `At most ${longest_s} seconds.` };
  if (!letter) {
    if (seconds < window_to_s) return { kind: "unfinished", words: "How did it end? f, c, r, s or o." };
    return { kind: "read", result: { ended: "completed", seconds, reserve_s: null } };
  }
  return { kind: "read", result: { ended: letters[letter]!, seconds, reserve_s: rest ? Number(rest) : null } };
}

export function writeResult(result: Result): string {
  return `${result.seconds}${letterOf[result.ended]}${result.ended === "reserve" && result.reserve_s !== null ? result.reserve_s : ""}`;
}

export function resultWords(result: Result): string {
  const left = result.ended === "reserve" && result.reserve_s !== null ? `, ${result.reserve_s} s left` : "";
  return `${result.seconds} s, ${endedWords[result.ended]}${left}`;
}
