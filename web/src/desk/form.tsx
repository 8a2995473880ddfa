// form.tsx: forms: labelled fields, faults beside them, a summary that takes the focus.
// Knows how a form is said and shown. Leaves to others: what is asked (the pages), what is wrong (the server, or
// a page's own check).
//
// A field is known by its JSON Pointer ("/called", "/readings/0/force_n"), so that the server's faults and our own find their
// places.
import { createContext, type ComponentChildren, type InputHTMLAttributes } from "preact";
import { useContext, useEffect, useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Problem } from "../api-types";
import { asProblem, problemOf, saysMore, type Fault } from "./api";

interface Shown {
  faults: Fault[];
  id: string;
  known: Set<string>;
}
const FormContext = createContext<Shown>({ faults: [], id: "", known: new Set() });

function fieldId(form: string, pointer: string): string {
  return `${form}${pointer.replaceAll("/", "-")}`;
}

export interface FormProps {
  /** What the button says. */
  action: string;
  /** Faults that can be seen here; sending waits until there is none. */
  check?: () => Fault[];
  send: () => Promise<void>;
  /** Beside the button. */
  more?: ComponentChildren;
  children: ComponentChildren;
  label?: string;
  class?: string;
  /** It opens where somebody pressed a button: the first field takes the focus, and whoever opened it has it back afterwards. */
  takesFocus?: boolean;
}

export function Form({ action, check, send, more, children, label, class: className, takesFocus }: FormProps) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const [sending, setSending] = useState(false);
  const [turn, setTurn] = useState(0);
  const known = useRef(new Set<string>());
  const id = useId();
  const element = useRef<HTMLFormElement>(null);
  useLayoutEffect(() => {
    if (!takesFocus) return;
    const opener = document.activeElement as HTMLElement | null;
    element.current?.querySelector<HTMLElement>("input, select, textarea")?.focus();
    return () => {
      requestAnimationFrame(() => {
        if (document.activeElement === document.body && opener?.isConnected) opener.focus();
      });
    };
  }, []);
  const submit = async (event: Event) => {
    event.preventDefault();
    if (sending) return;
    const faults = check?.() ?? [];
    if (faults.length > 0) {
      setProblem(problemOf(422, faults.length === 1 ? "One thing to look at" : `${faults.length} things to look at`, "", faults));
      setTurn(turn + 1);
      return;
    }
    setSending(true);
    try {
      await send();
      setProblem(null);
    } catch (thrown) {
      setProblem(asProblem(thrown));
      setTurn(turn + 1);
    } finally {
      setSending(false);
    }
  };
  const shown: Shown = { faults: problem?.errors ?? [], id, known: known.current };
  return (
    <FormContext.Provider value={shown}>
      <form ref={element} onSubmit={submit} noValidate aria-label={label} class={className}>
        {problem && <Summary problem={problem} form={id} known={known.current} turn={turn} />}
        {children}
        <div class="actions">
          <button type="submit" class="main" aria-disabled={sending}>
            {sending ? "Sending…" : action}
          </button>
          {more}
        </div>
      </form>
    </FormContext.Provider>
  );
}

/** What went wrong, with links to the fields. Takes the focus when it appears and each time it is new. */
function Summary({ problem, form, known, turn }: { problem: Problem; form: string; known: Set<string>; turn: number }) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => box.current?.focus(), [turn]);
  const to = (pointer: string) => (event: Event) => {
    event.preventDefault();
    document.getElementById(fieldId(form, pointer))?.focus();
  };
  return (
    <div class="problem" role="alert" tabIndex={-1} ref={box}>
      <p class="strong">{problem.title}</p>
      {saysMore(problem) && <p>{problem.detail}</p>}
      {problem.errors.length > 0 && (
        <ul>
          {problem.errors.map((fault) => (
            <li key={fault.pointer + fault.detail}>
              {known.has(fault.pointer) ? (
                <a href={`#${fieldId(form, fault.pointer)}`} onClick={to(fault.pointer)}>
                  {fault.detail}
                </a>
              ) : (
                fault.detail
              )}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** For a control: its id, whether it is at fault, what describes it. */
export function useField(pointer: string, hasHelp: boolean) {
  const form = useContext(FormContext);
  const id = fieldId(form.id, pointer);
  useEffect(() => {
    form.known.add(pointer);
    return () => {
      form.known.delete(pointer);
    };
  }, [pointer, form.known]);
  const faults = form.faults.filter((fault) => fault.pointer === pointer);
  const describedBy = [hasHelp ? `${id}-help` : "", faults.length > 0 ? `${id}-fault` : ""].filter(Boolean).join(" ");
  return {
    id,
    faults,
    attributes: {
      id,
      ...(describedBy ? { "aria-describedby": describedBy } : {}),
      ...(faults.length > 0 ? { "aria-invalid": "true" as const } : {}),
    },
  };
}

export function Faults({ id, faults }: { id: string; faults: Fault[] }) {
  return faults.length === 0 ? null : (
    <p class="fault" id={`${id}-fault`}>
      <span aria-hidden="true">▲ </span>
      {faults.map((fault) => fault.detail).join(" ")}
    </p>
  );
}

interface Common {
  pointer: string;
  label: string;
  help?: ComponentChildren;
}

function Around({
  id,
  label,
  help,
  faults,
  children,
  class: className,
}: {
  id: string;
  label: string;
  help?: ComponentChildren;
  faults: Fault[];
  children: ComponentChildren;
  class?: string;
}) {
  return (
    <div class={`field ${className ?? ""}`}>
      <label for={id}>{label}</label>
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
      {children}
      <Faults id={id} faults={faults} />
    </div>
  );
}

export interface TextProps extends Common {
  value: string;
  set: (value: string) => void;
  type?: "text" | "password" | "date" | "search";
  unit?: string;
  /** Characters the value will mostly have: how wide the field is. */
  width?: number;
  inputMode?: "decimal" | "numeric";
  autocomplete?: string;
}

export function Text({ pointer, label, help, value, set, type = "text", unit, width, inputMode, autocomplete = "off" }: TextProps) {
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <Around id={id} label={unit ? `${label} (${unit})` : label} help={help} faults={faults}>
      <input
        {...({ ...attributes, type, inputMode } as InputHTMLAttributes<HTMLInputElement>)}
        value={value}
        autocomplete={autocomplete}
        spellcheck={false}
        style={width ? { width: `calc(${width}ch + 1.5rem)` } : {}}
        onInput={(event) => set(event.currentTarget.value)}
      />
    </Around>
  );
}

export function Area({
  pointer,
  label,
  help,
  value,
  set,
  rows = 3,
}: Common & { value: string; set: (value: string) => void; rows?: number }) {
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <Around id={id} label={label} help={help} faults={faults}>
      <textarea {...attributes} rows={rows} value={value} onInput={(event) => set(event.currentTarget.value)} />
    </Around>
  );
}

export interface Option {
  value: string;
  words: string;
  help?: string;
}

export function Select({
  pointer,
  label,
  help,
  value,
  set,
  options,
}: Common & { value: string; set: (value: string) => void; options: Option[] }) {
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <Around id={id} label={label} help={help} faults={faults}>
      <select {...attributes} value={value} onChange={(event) => set(event.currentTarget.value)}>
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.words}
          </option>
        ))}
      </select>
    </Around>
  );
}

/** A choice among few, all to be seen. */
export function Choice({
  pointer,
  label,
  help,
  value,
  set,
  options,
  hideLabel,
}: Common & { value: string | null; set: (value: string) => void; options: Option[]; hideLabel?: boolean }) {
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <fieldset class="field" aria-describedby={attributes["aria-describedby"]}>
      <legend class={hideLabel ? "unseen" : ""}>{label}</legend>
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
      <div class="choices">
        {options.map((option, index) => (
          <label key={option.value} class="choice">
            <input
              type="radio"
              name={id}
              id={index === 0 ? id : undefined}
              checked={value === option.value}
              aria-invalid={attributes["aria-invalid"]}
              onChange={() => set(option.value)}
            />
            <span>
              {option.words}
              {option.help && <small>{option.help}</small>}
            </span>
          </label>
        ))}
      </div>
      <Faults id={id} faults={faults} />
    </fieldset>
  );
}

export function Tick({ label, help, value, set, pointer }: Common & { value: boolean; set: (value: boolean) => void }) {
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <div class="field">
      <label class="choice">
        <input type="checkbox" {...attributes} checked={value} onChange={(event) => set(event.currentTarget.checked)} />
        <span>{label}</span>
      </label>
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
      <Faults id={id} faults={faults} />
    </div>
  );
}

/** Several of many. */
export function Ticks({
  pointer,
  label,
  help,
  value,
  set,
  options,
  columns,
}: Common & { value: string[]; set: (value: string[]) => void; options: Option[]; columns?: boolean }) {
  const { id, faults } = useField(pointer, Boolean(help));
  const toggle = (one: string) => (event: { currentTarget: HTMLInputElement }) =>
    set(event.currentTarget.checked ? [...value, one] : value.filter((other) => other !== one));
  return (
    <fieldset class="field" aria-describedby={help ? `${id}-help` : undefined}>
      <legend>{label}</legend>
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
      <div class={columns ? "choices columns" : "choices"}>
        {options.map((option, index) => (
          <label key={option.value} class="choice">
            <input
              type="checkbox"
              id={index === 0 ? id : undefined}
              checked={value.includes(option.value)}
              onChange={toggle(option.value)}
            />
            <span>
              {option.words}
              {option.help && <small>{option.help}</small>}
            </span>
          </label>
        ))}
      </div>
      <Faults id={id} faults={faults} />
    </fieldset>
  );
}
