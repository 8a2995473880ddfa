// login.tsx: coming in with a login name and a password.
import { useState } from "preact/hooks";
import type { Me } from "../api-types";
import { ask } from "../desk/api";
import { Form, Text } from "../desk/form";
import { Secret } from "../desk/secret";
import { Title } from "../desk/parts";

export function Login({ enter }: { enter: (me: Me) => void }) {
  const [login, setLogin] = useState("");
  const [password, setPassword] = useState("");
  const check = () => [
    ...(login.trim() ? [] : [{ pointer: "/login", detail: "Type your login name." }]),
    ...(password ? [] : [{ pointer: "/password", detail: "Type your password." }]),
  ];
  const send = async () => enter(await ask<Me>("POST", "/api/login", { login: login.trim(), password }));
  return (
    <>
      <Title name="Sign in">Sign in</Title>
      <Form action="Sign in" check={check} send={send}>
        <Text pointer="/login" label="Login name" value={login} set={setLogin} autocomplete="username" width={20} />
        <Secret pointer="/password" label="Password" value={password} set={setPassword} autocomplete="current-password" />
      </Form>
      <p class="quiet">Forgotten it? Whoever coaches in this studio can make you a new one-time link.</p>
    </>
  );
}
