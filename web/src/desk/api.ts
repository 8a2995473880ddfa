// api.ts: asking the server.
// Knows the way there and back: the session's token, problem details (RFC 9457), a network that fails. Leaves to others: what is
// asked (the pages), what the answers mean (../api-types.ts).
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { Catalogue, Me, Problem } from "../api-types";

export type Fault = { pointer: string; detail: string };

/** The server, or the way to it, said no. */
export class Refusal extends Error {
  constructor(readonly problem: Problem) {
    super(problem.detail || problem.title);
  }
}

export function problemOf(status: number, title: string, detail: string, errors: Fault[] = []): Problem {
  return { type: "about:blank", status, title, detail, errors };
}

/** Whether the detail says anything beyond title and faults. */
export function saysMore(problem: Problem): boolean {
  return (
    problem.detail !== "" && problem.detail !== problem.title && !problem.errors.some((fault) => fault.detail === problem.detail)
  );
}

/** What any thrown thing is, as something that can be shown. */
export function asProblem(thrown: unknown): Problem {
  if (thrown instanceof Refusal) return thrown.problem;
  console.error(thrown);
  return problemOf(
    0,
    "This page made a mistake",
    "Something here did not go as it should. Load the page again; what you typed is kept.",
  );
}

let token = "";
let signedOut = () => {};

/** Whose session it is from here on. */
export function setSession(me: Me | null) {
  token = me?.csrf_token ?? "";
}
/** What happens when the server no longer knows the session. */
export function whenSignedOut(then: () => void) {
  signedOut = then;
}

const unreachable = problemOf(
  0,
  "The studio cannot be reached",
  "Look at the network connection, then try again. What you typed is still here.",
);

async function problemFrom(response: Response): Promise<Problem> {
  if (response.headers.get("Content-Type")?.startsWith("application/problem+json")) {
    const given = await response.json().catch(() => ({}));
    return { ...problemOf(response.status, "That did not work", ""), ...given, errors: given.errors ?? [] };
  }
  if (response.status >= 500)
    return problemOf(
      response.status,
      "The studio had a fault",
      "Nothing was changed. Try again in a moment; what you typed is still here.",
    );
  return problemOf(response.status, "That did not work", `The studio answered with ${response.status}.`);
}

async function send(method: string, path: string, body: unknown, signal: AbortSignal | null): Promise<Response> {
  const headers: Record<string, string> = {};
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (method !== "GET" && token) headers["X-CSRF-Token"] = token;
  let response: Response;
  try {
    response = await fetch(path, {
      method,
      headers,
      body: body === undefined ? null : JSON.stringify(body),
      credentials: "same-origin",
      signal,
    });
  } catch (thrown) {
    if (signal?.aborted) throw thrown;
    throw new Refusal(unreachable);
  }
  if (response.ok) return response;
  const problem = await problemFrom(response);
  if (response.status === 401 && path !== "/api/login" && path !== "/api/me") signedOut();
  throw new Refusal(problem);
}

export async function ask<T>(
  method: "GET" | "POST" | "PUT" | "DELETE",
  path: string,
  body?: unknown,
  signal: AbortSignal | null = null,
): Promise<T> {
  const response = await send(method, path, body, signal);
  if (response.status === 204) return undefined as T;
  try {
    return (await response.json()) as T;
  } catch (thrown) {
    if (signal?.aborted) throw thrown;
    throw new Refusal(unreachable); // it broke off on the way
  }
}

export async function askText(path: string, signal: AbortSignal | null = null): Promise<string> {
  return (await send("GET", path, undefined, signal)).text();
}

export interface Asked<T> {
  value: T | null;
  problem: Problem | null;
  /** Ask again; what is shown stays until the answer is there. */
  again: () => void;
  /** Put something newer in its place. */
  set: (value: T) => void;
}

/** What stands at a path; null asks nothing. */
export function useAsked<T>(path: string | null): Asked<T> {
  const [state, setState] = useState<{ path: string | null; value: T | null; problem: Problem | null }>({
    path,
    value: null,
    problem: null,
  });
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    if (path === null) return;
    const ending = new AbortController();
    ask<T>("GET", path, undefined, ending.signal).then(
      (value) => ending.signal.aborted || setState({ path, value, problem: null }),
      (thrown) =>
        ending.signal.aborted ||
        setState((old) => ({ path, value: old.path === path ? old.value : null, problem: asProblem(thrown) })),
    );
    return () => ending.abort();
  }, [path, turn]);
  const again = useCallback(() => setTurn((t) => t + 1), []);
  const set = useCallback((value: T) => setState({ path, value, problem: null }), [path]);
  const current = state.path === path;
  return { value: current ? state.value : null, problem: current ? state.problem : null, again, set };
}

/** The catalogue changes with the program only: asked once. */
let catalogueAsked: Promise<Catalogue> | null = null;
export function useCatalogue(): Asked<Catalogue> {
  const [value, set] = useState<Catalogue | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let gone = false;
    catalogueAsked ??= ask<Catalogue>("GET", "/api/catalogue");
    catalogueAsked.then(
      (found) => {
        if (!gone) {
          set(found);
          setProblem(null);
        }
      },
      (thrown) => {
        catalogueAsked = null;
        if (!gone) setProblem(asProblem(thrown));
      },
    );
    return () => {
      gone = true;
    };
  }, [turn]);
  return { value, problem, again: () => setTurn((t) => t + 1), set };
}

/** Something that is sent on request, once at a time. */
export function useSending(): {
  sending: boolean;
  problem: Problem | null;
  clear: () => void;
  run: (what: () => Promise<void>) => Promise<boolean>;
} {
  const [sending, setSending] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const busy = useRef(false);
  const run = useCallback(async (what: () => Promise<void>) => {
    if (busy.current) return false;
    busy.current = true;
    setSending(true);
    try {
      await what();
      setProblem(null);
      return true;
    } catch (thrown) {
      setProblem(asProblem(thrown));
      return false;
    } finally {
      busy.current = false;
      setSending(false);
    }
  }, []);
  const clear = useCallback(() => setProblem(null), []);
  return { sending, problem, clear, run };
}

/** A new identifier (RFC 9562 version 4). crypto.randomUUID is absent on plain HTTP, as on a studio's own network. */
export function newIdentifier(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** A path with what is asked, escaped; what is null or empty is left out. */
export function pathOf(path: string, asked: Record<string, string | number | null> = {}): string {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(asked)) if (value !== null && value !== "") search.set(name, String(value));
  return search.size ? `${path}?${search}` : path;
}
/** A person's own place in the API. */
export function personPath(person: string, rest = ""): string {
  return `/api/people/${encodeURIComponent(person)}${rest}`;
}
