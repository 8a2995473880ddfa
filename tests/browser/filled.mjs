// filled.mjs: a studio with something on every page, made through the interface that the pages use. Everybody in it is invented.
import { serveStudio } from "./studio.mjs";

const day = (ago) => new Date(Date.now() - ago * 86_400_000).toISOString().slice(0, 10);

function diary() {
  const rows = [];
  for (let week = 10; week >= 0; week--)
    for (const [exercise, side, seconds] of [
      ["seated-row", "both", 78],
      ["seated-knee-extension", "left", 66],
      ["seated-knee-extension", "right", 74],
    ])
      rows.push(
        [
          day(7 * week + 1),
          "mira",
          exercise,
          side,
          "stout",
          "",
          week === 0 && side === "left" ? "symptom" : "failure",
          seconds - week,
          week === 0 && side === "left" ? "dizzy" : "",
        ].join(","),
      );
  return `date,person,exercise,side,implement,setting,ended,seconds,note\n${rows.join("\n")}\n`;
}
const PEOPLE = `person,called,sex,birth_year,height_m,mass_kg,condition,endpoint,heat_sensitive,exercises,note
mira,Mira,female,1974,1.66,63,ms,failure,yes,seated-row seated-knee-extension,invented
odo,Odo,male,1961,1.80,85,ms,reserve,yes,seated-curl,invented
script,<script>alert(1)</script>,,,,,ms,failure,yes,seated-row,invented
`;
const KIT = `person,implement,kind,mass_kg,rest_length_m,length_m,force_n
mira,stout,band,,2,3,29
mira,stout,band,,2,4,45
odo,iron,dumbbell,2.5,,,
`;

/** A studio as serveStudio() gives it, with `cookie` of a coach who is signed in, and the addresses of all pages. */
export async function serveFilledStudio() {
  const studio = await serveStudio();
  const headers = { "Content-Type": "application/json", Origin: studio.origin, "Sec-Fetch-Site": "same-origin" };
  const ask = async (method, path, body) => {
    const response = await fetch(studio.origin + path, { method, headers, ...(body ? { body: JSON.stringify(body) } : {}) });
    if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${await response.text()}`);
    return response;
  };
  try {
    const secret = studio.link.split("#")[1];
    const entered = await ask("POST", "/api/invitation", {
      secret,
      login: "ines",
      password: "four words are enough",
      called: "Ines",
    });
    headers.Cookie = entered.headers.get("set-cookie").split(";")[0];
    headers["X-CSRF-Token"] = (await entered.json()).csrf_token;
    await ask("POST", "/api/import", { people: PEOPLE, kit: KIT, diary: diary(), days: null, dry: false });
    await ask("POST", "/api/people/odo/screening", {
      answers: [
        { question: "blood-pressure", answer: "uncontrolled", note: "" },
        { question: "fall", answer: "yes", note: "twice, at night" },
      ],
    });
    const entry = { person: "mira", day: day(1), at: null, replaces: null, withdrawn: false, note: "" };
    await ask("POST", "/api/check-ins", {
      check_ins: [
        { ...entry, record: "check-in-1", room_c: 29, humidity_percent: 60, fatigue: 8, sleep: 3, readiness: null, answers: null },
      ],
    });
    await ask("POST", "/api/outcomes", {
      outcomes: [
        {
          ...entry,
          record: "outcome-1",
          measure: "timed-up-and-go",
          value: 11.5,
          unit: "s",
          side: "both",
          practice: false,
          aid: null,
        },
      ],
    });
    await ask("POST", "/api/people/mira/blocks", {
      block: "block-1",
      version: 1,
      called: "Winter",
      from_day: day(3),
      until_day: day(-60),
      retired: false,
      plan: { sessions_a_week: 2, weekdays: [1, 4], class: null, sets: 1, easier_every_weeks: 4 },
    });
    const wishes = {
      goals: [
        { goal: "rise-from-chair", weight: 3 },
        { goal: "pull-door", weight: 1 },
      ],
      minutes: 25,
      positions: ["seated", "standing"],
      kinds: ["body", "band"],
      sets: 1,
      rest_s: 90,
      fixed: [],
      excluded: [],
    };
    const plan = await (await ask("POST", "/api/compose", wishes)).json();
    const slots = plan.slots.map(({ exercise, variant, sets, rest_s }) => ({ exercise, variant, sets, rest_s }));
    await ask("POST", "/api/classes", { class: "class-1", version: 1, called: "Wednesday", wishes, slots, retired: false });
    const band = (await (await ask("GET", "/api/kit")).json()).find((item) => item.kind === "band");
    const [name, value] = headers.Cookie.split("=");
    return {
      ...studio,
      cookie: { name, value, url: studio.origin },
      pages: [
        "/",
        "/people",
        "/people/new",
        "/person/mira",
        "/person/odo",
        "/person/odo/page",
        "/person/odo/strength",
        "/person/script",
        "/person/mira/page",
        "/person/mira/diary",
        "/person/mira/strength",
        "/person/mira/measures",
        "/person/mira/block",
        "/person/mira/screening",
        "/person/odo/screening",
        "/person/mira/details",
        "/classes",
        "/class/new",
        "/class/class-1",
        "/kit",
        "/kit/new",
        `/kit/${band.item}`,
        "/settings",
        "/accounts",
        "/files",
        "/access",
        "/no-such-page",
      ],
    };
  } catch (error) {
    await studio.close();
    throw error;
  }
}
