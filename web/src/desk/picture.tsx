// picture.tsx: the server's drawings as part of the page.
// Knows how to take in an SVG so that nothing in it can run, follow the page's theme, and fit the room there is.
// Leaves to others: what is drawn (draw/, on the server).
import { useEffect, useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import { askText } from "./api";
import { followTheme } from "./theme";

// Drawings carry one and the same style sheet. A page whose policy allows no style in it may still make one as an object.
const looks = new Map<string, CSSStyleSheet>();
function adoptLook(text: string) {
  if (looks.has(text)) return;
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(text);
  looks.set(text, sheet);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  followTheme(sheet);
}

const forbidden =
  "script, foreignObject, iframe, object, embed, audio, video, image, use, a, animate, set, animateTransform, animateMotion, style";

/** The drawing as an element of this page: its own ids, no style, nothing that acts. Null if it is no drawing. */
export function drawingOf(text: string, prefix: string): SVGElement | null {
  // Taken out before it is read as XML: a style sheet in it would be refused, with a complaint, already there.
  const bare = text.replace(/<style>([^<]*)<\/style>/g, (_, look: string) => {
    adoptLook(look);
    return "";
  });
  const svg = new DOMParser().parseFromString(bare, "image/svg+xml").documentElement;
  if (svg.nodeName !== "svg") return null;
  for (const element of svg.querySelectorAll(forbidden)) element.remove();
  for (const element of [svg, ...svg.querySelectorAll("*")])
    for (const { name, value } of [...element.attributes]) {
      if (/^on/i.test(name) || /href$/i.test(name) || name === "style") element.removeAttribute(name);
      else if (name === "id") element.setAttribute(name, `${prefix}-${value}`);
      else if (name.startsWith("aria-") && name.endsWith("by"))
        element.setAttribute(
          name,
          value
            .split(/\s+/)
            .map((one) => `${prefix}-${one}`)
            .join(" "),
        );
      else if (value.includes("url(#")) element.setAttribute(name, value.replaceAll("url(#", `url(#${prefix}-`));
    }
  return document.importNode(svg, true) as unknown as SVGElement;
}

/** How wide the drawing's place is, in steps, so that not every pixel of a window asks anew. */
function useWidth(most: number): [{ current: HTMLDivElement | null }, number] {
  const place = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = place.current!;
    const measure = () => setWidth(Math.max(280, Math.min(most, Math.floor(element.clientWidth / 20) * 20)));
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return [place, width];
}

/** A drawing that the server makes for the width there is. */
export function Picture({ path, most = 900 }: { path: (width: number) => string; most?: number }) {
  const [place, width] = useWidth(most);
  const [text, setText] = useState<string | null>(null);
  const [failed, setFailed] = useState(false);
  const address = width > 0 ? path(width) : null;
  useEffect(() => {
    if (address === null) return;
    const ending = new AbortController();
    askText(address, ending.signal).then(
      (found) => {
        if (!ending.signal.aborted) {
          setText(found);
          setFailed(false);
        }
      },
      () => {
        if (!ending.signal.aborted) setFailed(true);
      },
    );
    return () => ending.abort();
  }, [address]);
  return (
    <div ref={place} class="picture">
      {failed ? <p class="quiet">The picture could not be fetched.</p> : text && <Drawing text={text} />}
    </div>
  );
}

/** A drawing that is there already. */
export function Drawing({ text }: { text: string }) {
  const prefix = useId().replace(/[^A-Za-z0-9-]/g, "");
  const place = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const svg = drawingOf(text, prefix);
    place.current!.replaceChildren(...(svg ? [svg] : []));
  }, [text]);
  return <div ref={place} />;
}
