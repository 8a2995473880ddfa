// parts.tsx: what every page is made of: its title, sections, tables, bars, problems, notices.
import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Odds, Problem } from "../api-types";
import { stepsTaken } from "./router";
import { inHundred } from "./words";
import { saysMore, type Asked } from "./api";

/** The page's heading. Coming from another page it takes the focus, so that a screen reader says where one is. */
export function Title({ children, name }: { children: ComponentChildren; name: string }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (stepsTaken() > 0) heading.current?.focus({ preventScroll: true });
  }, []);
  useEffect(() => {
    document.title = `${name} · thew`;
  }, [name]);
  return (
    <h1 tabIndex={-1} ref={heading}>
      {children}
    </h1>
  );
}

/** A part of a page: its name in the margin where there is room, above it where there is not. */
export function Section({
  title,
  aside,
  children,
  wide,
}: {
  title: string;
  aside?: ComponentChildren;
  children: ComponentChildren;
  wide?: boolean;
}) {
  const id = useId();
  return (
    <section aria-labelledby={id} class={wide ? "wide" : ""}>
      <div class="margin">
        <h2 id={id}>{title}</h2>
        {aside}
      </div>
      <div class="body">{children}</div>
    </section>
  );
}

/** What is shown while an answer is waited for, or did not come. */
export function Waiting({ asked, what }: { asked: Pick<Asked<unknown>, "value" | "problem" | "again">; what: string }) {
  const [slow, setSlow] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setSlow(true), 400);
    return () => clearTimeout(timer);
  }, []);
  if (asked.problem) return <Trouble problem={asked.problem} again={asked.again} />;
  return asked.value === null && slow ? <p role="status">Fetching {what}…</p> : null;
}

export function Trouble({ problem, again }: { problem: Problem; again?: () => void }) {
  return (
    <div class="problem" role="alert">
      <p class="strong">{problem.title}</p>
      {saysMore(problem) && <p>{problem.detail}</p>}
      {problem.errors.length > 0 && (
        <ul>
          {problem.errors.map((fault) => (
            <li key={fault.pointer}>{fault.detail}</li>
          ))}
        </ul>
      )}
      {again && (
        <button type="button" onClick={again}>
          Try again
        </button>
      )}
    </div>
  );
}

export interface Column {
  head: string;
  number?: boolean;
  class?: string;
}
export interface Row {
  key: string;
  cells: ComponentChildren[];
  class?: string;
}

/** A table that stays one for screen readers where a narrow screen sets each row as a block: its roles are said, since CSS takes them. */
export function Table({
  caption,
  columns,
  rows,
  hideCaption,
}: {
  caption: string;
  columns: Column[];
  rows: Row[];
  hideCaption?: boolean;
}) {
  return (
    <table role="table" class="stack">
      <caption class={hideCaption ? "unseen" : ""}>{caption}</caption>
      <thead role="rowgroup">
        <tr role="row">
          {columns.map((column) => (
            <th key={column.head} role="columnheader" scope="col" class={column.number ? "number" : ""}>
              {column.head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody role="rowgroup">
        {rows.map((row) => (
          <tr key={row.key} role="row" class={row.class}>
            {row.cells.map((cell, index) => {
              const column = columns[index]!;
              const look = `${column.number ? "number" : ""} ${column.class ?? ""}`;
              return index === 0 ? (
                <th key={column.head} role="rowheader" scope="row" class={look}>
                  {cell}
                </th>
              ) : (
                <td key={column.head} role="cell" class={look} data-head={column.head}>
                  <div>{cell}</div>
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** A share of the whole as a bar. The number beside it says the same. */
export function Bar({ share, look = "blue" }: { share: number; look?: string }) {
  return (
    <span class="bar" aria-hidden="true">
      <span class={look} style={{ width: `${Math.min(100, Math.max(0, share * 100))}%` }} />
    </span>
  );
}

/** The four things a set may do, as parts of one bar: always in this order, and each in its own pattern. */
export function OddsBar({ odds }: { odds: Odds }) {
  const parts = [
    ["floor", odds.floor],
    ["early", odds.early],
    ["window", odds.window],
    ["beyond", odds.beyond],
  ] as const;
  return (
    <span class="odds" aria-hidden="true">
      {parts.map(([part, share]) => share > 0.004 && <span key={part} class={part} style={{ width: `${share * 100}%` }} />)}
    </span>
  );
}
export function OddsWords({ odds, floor, from, to }: { odds: Odds; floor: number; from: number; to: number }) {
  return (
    <ul class="odds-words">
      <li>
        <span class="key window" aria-hidden="true" />
        <strong>{inHundred(odds.window)}</strong> in 100 inside {from}–{to} s
      </li>
      <li>
        <span class="key early" aria-hidden="true" />
        {inHundred(odds.early)} from {floor} to {from} s
      </li>
      <li>
        <span class="key floor" aria-hidden="true" />
        {inHundred(odds.floor)} before {floor} s
      </li>
      <li>
        <span class="key beyond" aria-hidden="true" />
        {inHundred(odds.beyond)} still going at {to} s
      </li>
    </ul>
  );
}

/** Steps of a longer form, and where one is. */
export function Steps({ names, at }: { names: string[]; at: number }) {
  return (
    <ol class="steps" aria-label="Steps">
      {names.map((name, index) => (
        <li key={name} aria-current={index === at ? "step" : undefined} class={index < at ? "done" : ""}>
          {name}
          {index < at && <span class="unseen"> (done)</span>}
        </li>
      ))}
    </ol>
  );
}
