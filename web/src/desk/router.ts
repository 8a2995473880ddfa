// router.ts: which page is shown.
// Knows addresses and the browser's history. Leaves to others: what a page is.
import { useEffect, useState } from "preact/hooks";

type Listener = () => void;
const listeners = new Set<Listener>();
let steps = 0; // pages gone to since the program began: the first one does not take the focus

function tell() {
  steps += 1;
  for (const listener of [...listeners]) listener();
}

export function stepsTaken(): number {
  return steps;
}

/** Go to a page of the desk. */
export function go(address: string, how: "push" | "replace" = "push") {
  if (how === "push") history.pushState(null, "", address);
  else history.replaceState(null, "", address);
  window.scrollTo(0, 0);
  tell();
}

/** Where we are. */
export function usePlace(): { path: string; search: URLSearchParams } {
  const [, redraw] = useState(0);
  useEffect(() => {
    const listener = () => redraw((n) => n + 1);
    listeners.add(listener);
    return () => {
      listeners.delete(listener);
    };
  }, []);
  return { path: location.pathname, search: new URLSearchParams(location.search) };
}

// Links stay plain links (copied, opened in a new tab, read out as such); a plain click on one of ours does not load the page
// again.
function followed(event: MouseEvent) {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = (event.target as Element | null)?.closest?.("a[href]") as HTMLAnchorElement | null;
  if (!link || link.target || link.hasAttribute("download") || link.origin !== location.origin) return;
  if (link.pathname.startsWith("/api/") || link.getAttribute("href")!.startsWith("#")) return;
  event.preventDefault();
  go(link.pathname + link.search + link.hash);
}

export function startRouter() {
  addEventListener("popstate", tell);
  document.addEventListener("click", followed);
}

/** The parts of a path that match a pattern ("/person/:person/diary"), or null. */
export function match(pattern: string, path: string): Record<string, string> | null {
  const wanted = pattern.split("/"),
    given = path.replace(/(.)\/$/, "$1").split("/");
  if (wanted.length !== given.length) return null;
  const found: Record<string, string> = {};
  for (let i = 0; i < wanted.length; i++) {
    const want = wanted[i]!,
      have = given[i]!;
    if (!want.startsWith(":")) {
      if (want !== have) return null;
      continue;
    }
    try {
      found[want.slice(1)] = decodeURIComponent(have);
    } catch {
      return null;
    }
  }
  return found;
}
