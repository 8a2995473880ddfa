// welcome.tsx: a one-time link is used up: /welcome#SECRET. The secret stands behind the #, so that no server's log ever holds it.
import { useEffect, useState } from "preact/hooks";
import type { Me, Role } from "../api-types";
import { ask, useAsked } from "../desk/api";
import { Form, Text } from "../desk/form";
import { Title, Waiting } from "../desk/parts";
import { go } from "../desk/router";
import { Secret } from "../desk/secret";
import { roleWords } from "../desk/words";

/** The least that the server takes. Length is what makes a password strong; nothing else is asked for (NIST SP 800-63B). */
export const passwordLength = 10;

export function passwordWords(password: string): string {
  const length = [...password].length;
  if (length === 0) return `At least ${passwordLength} characters; four or five words are easy to keep in mind.`;
  if (length < passwordLength) return `${length} of at least ${passwordLength} characters.`;
  return length < 20 ? `${length} characters: good.` : `${length} characters: very good.`;
}

export function Welcome({ enter }: { enter: (me: Me) => void }) {
  const [secret] = useState(() => location.hash.slice(1));
  const invitation = useAsked<{ role: Role; called: string; login: string | null }>(
    secret ? `/api/invitation/${encodeURIComponent(secret)}` : null,
  );
  const [login, setLogin] = useState("");
  const [called, setCalled] = useState("");
  const [password, setPassword] = useState("");
  const asked = invitation.value;
  useEffect(() => {
    if (!asked) return;
    setLogin(asked.login ?? "");
    setCalled(asked.called);
  }, [asked]);

  const gone = !secret || invitation.problem?.status === 404;
  const check = () => [
    ...(called.trim() ? [] : [{ pointer: "/called", detail: "Type what you want to be called." }]),
    ...(login.trim() ? [] : [{ pointer: "/login", detail: "Choose a login name." }]),
    ...([...password].length >= passwordLength
      ? []
      : [{ pointer: "/password", detail: `The password needs at least ${passwordLength} characters.` }]),
  ];
  const send = async () => {
    enter(await ask<Me>("POST", "/api/invitation", { secret, login: login.trim(), password, called: called.trim() }));
    go("/", "replace");
  };
  return (
    <>
      <Title name="Welcome">{gone ? "This link does not work any more" : "Welcome"}</Title>
      {gone && (
        <p>
          A one-time link works once, and for a limited time. Ask whoever gave it to you for a new one. If you have chosen a
          password already, <a href="/login">sign in</a>.
        </p>
      )}
      {!gone && !asked && <Waiting asked={invitation} what="what the link is for" />}
      {asked && (
        <Form action="Begin" check={check} send={send}>
          <p>You were invited as {roleWords[asked.role]}. Choose how you will sign in from now on.</p>
          <Text pointer="/called" label="What you are called" value={called} set={setCalled} autocomplete="name" width={24} />
          <Text pointer="/login" label="Login name" value={login} set={setLogin} autocomplete="username" width={20} />
          <Secret
            pointer="/password"
            label="Password"
            help={<span aria-live="polite">{passwordWords(password)}</span>}
            value={password}
            set={setPassword}
            autocomplete="new-password"
          />
        </Form>
      )}
    </>
  );
}
