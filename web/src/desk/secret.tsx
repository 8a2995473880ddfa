// secret.tsx: a password field that can be looked at.
import { useState } from "preact/hooks";
import type { ComponentChildren, InputHTMLAttributes } from "preact";
import { Faults, useField } from "./form";

export function Secret({
  pointer,
  label,
  help,
  value,
  set,
  autocomplete,
}: {
  pointer: string;
  label: string;
  help?: ComponentChildren;
  value: string;
  set: (value: string) => void;
  autocomplete: "current-password" | "new-password";
}) {
  const [seen, setSeen] = useState(false);
  const { id, faults, attributes } = useField(pointer, Boolean(help));
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
      <div class="with-button">
        <input
          {...({ ...attributes, type: seen ? "text" : "password" } as InputHTMLAttributes<HTMLInputElement>)}
          value={value}
          autocomplete={autocomplete}
          spellcheck={false}
          autocapitalize="off"
          onInput={(event) => set(event.currentTarget.value)}
        />
        <button type="button" aria-pressed={seen} onClick={() => setSeen(!seen)}>
          Show<span class="unseen"> the {label.toLowerCase()}</span>
        </button>
      </div>
      <Faults id={id} faults={faults} />
    </div>
  );
}
