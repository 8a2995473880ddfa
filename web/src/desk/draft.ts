// draft.ts: what was typed and not yet sent, kept in this tab until it is: a reload, a lost session or a wrong key loses nothing.
import { useCallback, useState } from "preact/hooks";

const prefix = "thew-draft:";

export function readDraft<T>(key: string): T | null {
  try {
    const text = sessionStorage.getItem(prefix + key);
    return text === null ? null : (JSON.parse(text) as T);
  } catch {
    return null;
  }
}
export function writeDraft(key: string, value: unknown) {
  try {
    if (value === null) sessionStorage.removeItem(prefix + key);
    else sessionStorage.setItem(prefix + key, JSON.stringify(value));
  } catch {
    // Storage is full or forbidden: the page works on, without this help.
  }
}
/** When somebody signs out, nothing of theirs stays behind. */
export function forgetDrafts() {
  for (const key of Object.keys(sessionStorage)) if (key.startsWith(prefix)) sessionStorage.removeItem(key);
}

export interface Draft<T> {
  value: T;
  /** Whether it was found from before. */
  found: boolean;
  set: (next: T | ((old: T) => T)) => void;
  /** It was sent, or is not wanted. */
  drop: () => void;
}

/** State that survives a reload. */
export function useDraft<T>(key: string, start: () => T): Draft<T> {
  const [state, setState] = useState(() => {
    const kept = readDraft<T>(key);
    return { value: kept ?? start(), found: kept !== null };
  });
  const set = useCallback(
    (next: T | ((old: T) => T)) => {
      setState((old) => {
        const value = typeof next === "function" ? (next as (old: T) => T)(old.value) : next;
        writeDraft(key, value);
        return { ...old, value };
      });
    },
    [key],
  );
  const drop = useCallback(() => {
    writeDraft(key, null);
    setState({ value: start(), found: false });
  }, [key]);
  return { ...state, set, drop };
}
