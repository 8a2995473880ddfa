// notice.tsx: what was just done, said once and left standing, with the way back.
import { useEffect, useState } from "preact/hooks";

export interface Notice {
  words: string;
  undo?: { label: string; run: () => Promise<void> | void };
}

let current: Notice | null = null;
let tell: (notice: Notice | null) => void = () => {};

/** Say it; it stays until it is closed, undone or followed by another. */
export function note(notice: Notice | string | null) {
  current = typeof notice === "string" ? { words: notice } : notice;
  tell(current);
}

export function Notices() {
  const [notice, set] = useState(current);
  useEffect(() => {
    tell = set;
  }, []);
  const undo = async () => {
    const doing = notice?.undo;
    if (!doing) return;
    try {
      await doing.run();
    } catch (thrown) {
      note(`Could not be undone: ${thrown instanceof Error ? thrown.message : "try again"}`);
    }
  };
  const close = () => {
    note(null);
    document.querySelector<HTMLElement>("main h1")?.focus(); // the button that had the focus is gone
  };
  return (
    <div class="notices" role="status" aria-live="polite">
      {notice && (
        <div class="notice">
          <p>{notice.words}</p>
          {notice.undo && (
            <button type="button" onClick={undo}>
              {notice.undo.label}
            </button>
          )}
          <button type="button" onClick={close}>
            Close
          </button>
        </div>
      )}
    </div>
  );
}

let say: (words: string) => void = () => {};
/** Only said, not shown: results of what one is doing, for screen readers. */
export function announce(words: string) {
  say(words);
}
export function Announcer() {
  const [words, set] = useState("");
  useEffect(() => {
    say = (next) => {
      set("");
      setTimeout(() => set(next), 30);
    };
  }, []);
  return (
    <div class="unseen" aria-live="polite" aria-atomic="true">
      {words}
    </div>
  );
}
