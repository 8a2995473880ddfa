// main.tsx: where the desk begins: who is there, which page, what stands around it.
import { render, type ComponentChildren, type VNode } from "preact";
import { useCallback, useEffect, useMemo, useState } from "preact/hooks";
import type { Me, Problem } from "../api-types";
import { Access } from "../access/access";
import { Accounts } from "../accounts/accounts";
import { ClassList } from "../class/list";
import { ClassPage } from "../class/class";
import { Files } from "../files/files";
import { ItemPage, NewItemPage } from "../kit/item";
import { KitList } from "../kit/list";
import { Login } from "../login/login";
import { Enrol } from "../people/enrol";
import { PeopleList } from "../people/list";
import { BlockPage } from "../person/block";
import { Details } from "../person/details";
import { Diary } from "../person/diary";
import { Measures } from "../person/measures";
import { Paper } from "../person/paper";
import { PersonPage } from "../person/person";
import { Reading } from "../person/reading";
import { ScreeningPage } from "../person/screening";
import { StrengthPage } from "../person/strength";
import { SettingsPage } from "../settings/settings";
import { TodayPage } from "../today/today";
import { Welcome } from "../welcome/welcome";
import { ask, asProblem, Refusal, setSession, whenSignedOut } from "./api";
import { forgetDrafts } from "./draft";
import { Announcer, note, Notices } from "./notice";
import { Title, Trouble } from "./parts";
import { go, match, startRouter, usePlace } from "./router";
import { MeContext } from "./session";
import { applyTheme, useTheme, type Theme } from "./theme";
import { setToday } from "./words";

type Parameters = Record<string, string>;
/** Addresses, most particular first. */
const pages: [string, (given: Parameters) => VNode][] = [
  ["/", () => <TodayPage />],
  ["/people", () => <PeopleList />],
  ["/people/new", () => <Enrol />],
  ["/person/:person", ({ person }) => <PersonPage person={person!} />],
  ["/person/:person/page", ({ person }) => <Paper person={person!} />],
  ["/person/:person/diary", ({ person }) => <Diary person={person!} />],
  ["/person/:person/strength", ({ person }) => <StrengthPage person={person!} />],
  ["/person/:person/measures", ({ person }) => <Measures person={person!} />],
  ["/person/:person/block", ({ person }) => <BlockPage person={person!} />],
  ["/person/:person/screening", ({ person }) => <ScreeningPage person={person!} />],
  ["/person/:person/details", ({ person }) => <Details person={person!} />],
  ["/classes", () => <ClassList />],
  ["/class/:class", ({ class: id }) => <ClassPage id={id!} />],
  ["/kit", () => <KitList />],
  ["/kit/new", () => <NewItemPage />],
  ["/kit/:item", ({ item }) => <ItemPage item={item!} />],
  ["/settings", () => <SettingsPage />],
  ["/accounts", () => <Accounts />],
  ["/files", () => <Files />],
  ["/access", () => <Access />],
];

/** The same for a clinician, who reads. */
const readingPages: typeof pages = [
  ["/", () => <PeopleList />],
  ["/people", () => <PeopleList />],
  ["/person/:person", ({ person }) => <Reading person={person!} />],
];

const places: { address: string; words: string; also: RegExp; roles: Me["role"][] }[] = [
  { address: "/", words: "Today", also: /^\/$/, roles: ["coach", "assistant"] },
  { address: "/people", words: "People", also: /^\/(people|person)(\/|$)/, roles: ["coach", "assistant", "clinician"] },
  { address: "/classes", words: "Classes", also: /^\/class(es)?(\/|$)/, roles: ["coach", "assistant"] },
  { address: "/kit", words: "Kit", also: /^\/kit(\/|$)/, roles: ["coach", "assistant"] },
  { address: "/settings", words: "Studio", also: /^\/(settings|accounts|files|access)$/, roles: ["coach", "assistant"] },
];

function Page({ from }: { from: typeof pages }) {
  const { path } = usePlace();
  for (const [pattern, page] of from) {
    const given = match(pattern, path);
    if (given) return <div key={path}>{page(given)}</div>;
  }
  return (
    <div key={path}>
      <Title name="Not found">There is no such page</Title>
      <p>
        The address may be mistyped, or what it named is gone. <a href="/">Go to Today</a>.
      </p>
    </div>
  );
}

function Head({ me }: { me: Me }) {
  const { path } = usePlace();
  return (
    <header class="head">
      <a
        class="skip"
        href="#content"
        onClick={(event) => {
          event.preventDefault();
          document.querySelector<HTMLElement>("main h1")?.focus();
        }}>
        To the page's content
      </a>
      <p class="studio">
        thew <span>{me.studio.called}</span>
      </p>
      <nav aria-label="Desk">
        <ul>
          {places
            .filter((place) => place.roles.includes(me.role))
            .map((place) => (
              <li key={place.address}>
                <a
                  href={place.address}
                  aria-current={place.also.test(path) ? (place.address === path ? "page" : "true") : undefined}>
                  {place.words}
                </a>
              </li>
            ))}
        </ul>
      </nav>
    </header>
  );
}

function Foot({ me, leave }: { me: Me | null; leave?: () => void }) {
  const [theme, setTheme] = useTheme();
  const themes: [Theme, string][] = [
    ["system", "as the system"],
    ["light", "light"],
    ["dark", "dark"],
  ];
  return (
    <footer class="foot">
      {me?.studio.demo && <p class="strong">This is a demo studio: everybody in it is invented.</p>}
      <p>thew advises, you decide; a clinician's word comes first. In an emergency call the local emergency number.</p>
      <div class="foot-row">
        {me && (
          <p>
            Signed in as {me.called} ({me.role}).
          </p>
        )}
        {leave && (
          <button type="button" onClick={leave}>
            Sign out
          </button>
        )}
        <label class="inline">
          Colours{" "}
          <select value={theme} onChange={(event) => setTheme(event.currentTarget.value as Theme)}>
            {themes.map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
    </footer>
  );
}

/** For accounts whose place is elsewhere: those who train, and who helps them. */
function Elsewhere({ me }: { me: Me }) {
  return (
    <>
      <Title name="Signed in">Hello, {me.called}</Title>
      <p>This is the coach's desk. Your coach gives you the address of your own page, where you train.</p>
    </>
  );
}

function Desk() {
  const { path, search } = usePlace();
  const [me, setMe] = useState<Me | null | undefined>(undefined); // undefined: not known yet
  const [problem, setProblem] = useState<Problem | null>(null);
  const enter = useCallback((next: Me | null) => {
    setSession(next);
    if (next) setToday(next.studio.today);
    setMe(next);
  }, []);
  const look = useCallback(() => {
    setProblem(null);
    ask<Me>("GET", "/api/me").then(enter, (thrown) => {
      if (thrown instanceof Refusal && thrown.problem.status === 401) enter(null);
      else setProblem(asProblem(thrown));
    });
  }, []);
  useEffect(() => {
    whenSignedOut(() => enter(null));
    look();
  }, []);
  const leave = async () => {
    try {
      await ask("POST", "/api/logout");
    } catch (thrown) {
      note(asProblem(thrown).title);
      return;
    }
    forgetDrafts();
    note(null);
    enter(null);
    go("/login");
  };
  const context = useMemo(() => (me ? { me, enter } : null), [me]);

  if (problem)
    return (
      <Bare>
        <Title name="thew">thew</Title>
        <Trouble problem={problem} again={look} />
      </Bare>
    );
  if (path === "/welcome")
    return (
      <Bare>
        <Welcome enter={enter} />
      </Bare>
    );
  if (me === undefined) return <Bare>{null}</Bare>;
  if (me === null)
    return (
      <Bare>
        <Login
          enter={(next) => {
            enter(next);
            if (path === "/login") go(search.get("to") ?? "/", "replace");
          }}
        />
      </Bare>
    );
  if (path === "/login") go("/", "replace");
  const atHome = me.role === "participant" || me.role === "helper";
  return (
    <MeContext.Provider value={context}>
      <Head me={me} />
      <main id="content">
        <Notices />
        {atHome ? <Elsewhere me={me} /> : <Page from={me.role === "clinician" ? readingPages : pages} />}
      </main>
      <Foot me={me} leave={leave} />
      <Announcer />
    </MeContext.Provider>
  );
}

/** A page for somebody who is not signed in. */
function Bare({ children }: { children: ComponentChildren }) {
  return (
    <>
      <header class="head">
        <p class="studio">thew</p>
      </header>
      <main id="content" class="bare">
        {children}
      </main>
      <Foot me={null} />
    </>
  );
}

applyTheme();
startRouter();
const place = document.getElementById("desk");
if (place) render(<Desk />, place);
