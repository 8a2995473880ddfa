// accounts.tsx: who may come in: invited by a one-time link, closed when they leave.
import { useState } from "preact/hooks";
import type { Account, NewAccount, PersonBrief, Role } from "../api-types";
import { ask, newIdentifier, useAsked, useSending } from "../desk/api";
import { Choice, Form, Select, Text, Ticks } from "../desk/form";
import { note } from "../desk/notice";
import { Section, Table, Title, Trouble, Waiting } from "../desk/parts";
import { useMe } from "../desk/session";
import { addDays, dayWords, instantWords, roleWords, todayHere } from "../desk/words";
import { StudioRooms } from "../settings/rooms";

interface Link {
  called: string;
  link: string;
  ends_at: string;
}

function LinkToCopy({ link, done }: { link: Link; done: () => void }) {
  const address = new URL(link.link, location.origin).href;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(address);
      note("The link is copied.");
    } catch {
      note("Copying is not allowed here: select the link and copy it by hand.");
    }
  };
  return (
    <div class="inset" role="group" aria-label={`One-time link for ${link.called}`}>
      <p>
        <strong>One-time link for {link.called}</strong>, until {instantWords(link.ends_at)}. It is shown this once; hand it over
        yourself.
      </p>
      <p>
        <label class="unseen" for="one-time-link">
          One-time link
        </label>
        <input id="one-time-link" readOnly value={address} onFocus={(event) => event.currentTarget.select()} />
      </p>
      <div class="actions">
        <button type="button" class="main" onClick={copy}>
          Copy
        </button>
        <button type="button" onClick={done}>
          Done
        </button>
      </div>
    </div>
  );
}

const roleHelp: Record<Role, string> = {
  coach: "everything",
  assistant: "everything but accounts, settings and removing",
  participant: "their own training only",
  helper: "the training of whom they help",
  clinician: "reads those who agreed to it",
};

function Invite({ people, made }: { people: PersonBrief[]; made: (link: Link) => void }) {
  const [account, setAccount] = useState(newIdentifier);
  const [called, setCalled] = useState("");
  const [login, setLogin] = useState("");
  const [role, setRole] = useState<Role>("participant");
  const [person, setPerson] = useState("");
  const [sees, setSees] = useState<string[]>([]);
  const [until, setUntil] = useState(() => addDays(todayHere(), 365));
  const own = role === "participant",
    some = role === "helper" || role === "clinician";
  const check = () => [
    ...(called.trim() ? [] : [{ pointer: "/called", detail: "Say what they are called." }]),
    ...(login.trim() ? [] : [{ pointer: "/login", detail: "Give a login name to begin with; they can choose another." }]),
    ...(own && !person ? [{ pointer: "/person", detail: "Choose the person whose account this is." }] : []),
    ...(some && sees.length === 0 ? [{ pointer: "/sees", detail: "Choose whom they see." }] : []),
  ];
  const send = async () => {
    const sent: NewAccount = {
      account,
      login: login.trim(),
      role,
      called: called.trim(),
      person: own ? person : null,
      sees: some ? sees.map((one) => ({ person: one, until_day: until || null })) : [],
    };
    const answer = await ask<{ account: string; link: string; ends_at: string }>("POST", "/api/accounts", sent);
    made({ called: sent.called, ...answer });
    setAccount(newIdentifier());
    setCalled("");
    setLogin("");
    setSees([]);
  };
  const options = people.filter((one) => !one.left_day).map((one) => ({ value: one.person, words: one.called }));
  return (
    <Form action="Make a one-time link" check={check} send={send}>
      <Choice
        pointer="/role"
        label="As"
        value={role}
        set={(next) => setRole(next as Role)}
        options={(Object.keys(roleWords) as Role[]).map((one) => ({ value: one, words: roleWords[one], help: roleHelp[one] }))}
      />
      {own && (
        <Select
          pointer="/person"
          label="Whose account"
          value={person}
          set={(next) => {
            setPerson(next);
            setCalled(people.find((one) => one.person === next)?.called ?? called);
          }}
          options={[{ value: "", words: "choose" }, ...options]}
        />
      )}
      <Text pointer="/called" label="Called" value={called} set={setCalled} width={24} />
      <Text pointer="/login" label="Login name" value={login} set={setLogin} width={20} />
      {some && <Ticks pointer="/sees" label="Sees" columns value={sees} set={setSees} options={options} />}
      {some && (
        <Text pointer="/sees/0/until_day" label="Until" help="Then it ends by itself." type="date" value={until} set={setUntil} />
      )}
    </Form>
  );
}

export function Accounts() {
  const asked = useAsked<Account[]>("/api/accounts");
  const people = useAsked<PersonBrief[]>("/api/people");
  const me = useMe();
  const sending = useSending();
  const [link, setLink] = useState<Link | null>(null);
  const [closing, setClosing] = useState<string | null>(null);
  const name = (person: string) => people.value?.find((one) => one.person === person)?.called ?? person;
  const renew = (account: Account) =>
    sending.run(async () => {
      setLink({
        called: account.called,
        ...(await ask<{ link: string; ends_at: string }>(
          "POST",
          `/api/accounts/${encodeURIComponent(account.account)}/invitation`,
          {},
        )),
      });
      asked.again();
    });
  const close = (account: Account) =>
    sending.run(async () => {
      await ask("DELETE", `/api/accounts/${encodeURIComponent(account.account)}`);
      setClosing(null);
      asked.again();
      note(`The account of ${account.called} is closed.`);
    });
  const actions = (account: Account) => {
    if (account.closed_at) return `closed ${dayWords(account.closed_at.slice(0, 10))}`;
    if (closing === account.account)
      return (
        <span class="pair">
          <button type="button" class="small stop" onClick={() => close(account)}>
            Close it for good<span class="unseen">: {account.called}</span>
          </button>
          <button type="button" class="small" onClick={() => setClosing(null)}>
            Keep it
          </button>
        </span>
      );
    return (
      <span class="pair">
        <button type="button" class="small" onClick={() => renew(account)}>
          New link<span class="unseen"> for {account.called}</span>
        </button>
        {account.account !== me.account && (
          <button type="button" class="small" onClick={() => setClosing(account.account)}>
            Close…<span class="unseen"> the account of {account.called}</span>
          </button>
        )}
      </span>
    );
  };
  const state = (account: Account) => (account.closed_at ? "closed" : account.invited ? "invited, not yet come in" : "in use");
  return (
    <>
      <Title name="Accounts">Studio</Title>
      <StudioRooms />
      <Waiting asked={asked} what="the accounts" />
      {sending.problem && <Trouble problem={sending.problem} />}
      {link && <LinkToCopy link={link} done={() => setLink(null)} />}
      <Section title="Accounts" wide>
        {asked.value && (
          <Table
            caption="Accounts"
            hideCaption
            columns={[
              { head: "Called" },
              { head: "Login name" },
              { head: "As" },
              { head: "Sees" },
              { head: "State" },
              { head: "Change" },
            ]}
            rows={asked.value.map((one) => ({
              key: one.account,
              class: one.closed_at ? "past" : "",
              cells: [
                one.called,
                one.login,
                roleWords[one.role],
                one.sees.length > 0
                  ? one.sees.map((who) => name(who.person) + (who.until_day ? ` until ${dayWords(who.until_day)}` : "")).join(", ")
                  : one.person
                    ? name(one.person)
                    : "all",
                state(one),
                actions(one),
              ],
            }))}
          />
        )}
      </Section>
      <Section title="Invite somebody">
        {people.value && (
          <Invite
            people={people.value}
            made={(next) => {
              setLink(next);
              asked.again();
              note(`The link for ${next.called} is at the top of the page.`);
              window.scrollTo(0, 0);
            }}
          />
        )}
      </Section>
    </>
  );
}
