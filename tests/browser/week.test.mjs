// week.test.mjs: a coach's week at the desk, from the one-time link to the strength plot, in a new studio of the program itself.
// The names are invented; one of them is what a web page must never take for anything but a name.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launch, open } from "./browser.mjs";
import { focused, Keyboard } from "./keyboard.mjs";
import { serveStudio } from "./studio.mjs";

const PASSWORD = "four words are enough";
const NAMES = ["Mira", "Odo", "<script>alert(1)</script>"];
const EXERCISES = [
  "Seated row",
  "Seated chest press",
  "Seated curl",
  "Seated knee extension",
  "Seated pull-down",
  "Seated overhead press",
];
let studio, browser, page, keys;
const dialogs = [];
let paper; // Mira's page

before(async () => {
  studio = await serveStudio();
  browser = await launch();
  page = await open(browser, { viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(15_000);
  page.on("dialog", (dialog) => {
    dialogs.push(dialog.message());
    void dialog.dismiss();
  });
  keys = new Keyboard(page);
});
after(async () => {
  await browser?.close();
  await studio?.close();
});

const heading = (name) => page.getByRole("heading", { name, level: 1 }).waitFor();
const said = (words) => page.getByRole("status").filter({ hasText: words }).first().waitFor();
const focusComesTo = async (name) => {
  for (let i = 0; i < 50 && (await focused(page)) !== name; i++) await page.waitForTimeout(100);
  assert.equal(await focused(page), name);
};
const personAddress = async (name) => {
  await page.goto(`${studio.origin}/people`);
  return page.getByRole("link", { name, exact: true }).getAttribute("href");
};

test("the one-time link lets the first coach in, by keyboard", async () => {
  await page.goto(studio.link);
  await heading("Welcome");
  await keys.fill("What you are called", "Ines");
  await keys.fill("Login name", "ines");
  await keys.fill("Password", PASSWORD);
  await keys.press("Enter");
  await page.getByRole("heading", { name: "To begin" }).waitFor();
  assert.equal(new URL(page.url()).pathname, "/", "the secret does not stay in the address");
  assert.ok(!page.url().includes("#"));
});

test("the link works once", async () => {
  const other = await open(browser);
  await other.goto(studio.link);
  await other.getByRole("heading", { name: "This link does not work any more" }).waitFor();
  await other.context().close();
});

test("what is wrong in a form is said beside its field; the summary takes the focus, and its links lead there", async () => {
  await page.goto(`${studio.origin}/accounts`);
  await page.getByRole("heading", { name: "Invite somebody" }).waitFor();
  await page.getByRole("button", { name: "Make a one-time link" }).click();
  await page.getByRole("alert").waitFor();
  assert.match(await focused(page), /^3 things to look at/);
  await keys.tabTo("Give a login name to begin with; they can choose another.");
  await keys.press("Enter");
  assert.equal(await focused(page), "Login name");
  const [invalid, described] = await page.evaluate(() => {
    const field = document.activeElement;
    return [field.getAttribute("aria-invalid"), document.getElementById(field.getAttribute("aria-describedby")).innerText];
  });
  assert.equal(invalid, "true");
  assert.match(described, /Give a login name/);
});

for (const name of NAMES)
  test(`takes on ${name}, with the screening, by keyboard`, async () => {
    await page.goto(`${studio.origin}/people/new`);
    await heading("Add a person");
    await keys.fill("Called", name);
    await keys.press("Enter");
    await page.getByRole("heading", { name: "2. Body" }).waitFor();
    await keys.fill("Year of birth", "1974");
    await keys.fill("Height (cm)", "166");
    await keys.fill("Body mass (kg)", "63,5");
    await keys.press("Enter");
    await page.getByRole("heading", { name: "3. Goals" }).waitFor();
    for (const exercise of [...EXERCISES].sort()) {
      await keys.tabTo(new RegExp(`^${exercise}( serves.*)?$`));
      await keys.press("Space");
    }
    await keys.press("Enter");
    await page.getByRole("heading", { name: "4. Limits" }).waitFor();
    await keys.tabTo("Add, and go to the screening");
    await keys.press("Enter");
    await said("is taken on");
    const first = page.getByRole("heading", { name: /^Question 1 of/ });
    await first.waitFor();
    const count = Number(/of (\d+)/.exec(await first.innerText())[1]);
    for (let at = 1; at <= count; at++) {
      await page.getByRole("heading", { name: `Question ${at} of ${count}` }).waitFor();
      await page.waitForFunction(() => document.activeElement.tagName === "INPUT");
      const number = await page.evaluate(() => document.activeElement.type === "text");
      if (!number) await keys.press("Space");
      else await keys.type(/upper|systolic/i.test(await focused(page)) ? "125" : "80");
      await keys.press("Enter");
    }
    await page.getByRole("heading", { name: "Before it is kept" }).waitFor();
    await keys.tabTo("Keep these answers");
    await keys.press("Enter");
    await said("The screening is kept");
    await page.getByRole("heading", { name: "What it says" }).waitFor();
  });

test("who is called like a script is a name, and nothing runs", async () => {
  const address = await personAddress(NAMES[2]);
  await page.goto(studio.origin + address);
  await heading(NAMES[2]);
  assert.deepEqual(dialogs, []);
  assert.equal(await page.evaluate(() => document.querySelectorAll("main script").length), 0);
});

for (const [label, flat, lengths, forces] of [
  ["soft", "200", ["300", "400"], ["1,3", "2,1"]],
  ["stout", "200", ["300", "400"], ["3,0", "4,6"]],
])
  test(`measures the band "${label}": its curve shows while one types`, async () => {
    await page.goto(`${studio.origin}/kit/new`);
    await heading("Add to the kit");
    await keys.fill("Label", label);
    await keys.fill("Flat length (cm)", flat);
    for (const i of [0, 1]) {
      await keys.fill(`Length ${i + 1} (cm)`, lengths[i]);
      await keys.fill(`Scale ${i + 1} (kgf)`, forces[i]);
    }
    await page.locator(".live-curve svg").waitFor();
    await page
      .locator(".live-curve")
      .getByText(/At double length it pulls with .* give or take \d+ %/)
      .waitFor();
    await keys.press("Enter");
    await said(`${label} is in the kit`);
    await page.locator(".picture svg").waitFor();
  });

test("advice is accepted, taken back, and overridden with a reason, by keyboard", async () => {
  paper = `${studio.origin}${await personAddress("Mira")}/page`;
  await page.goto(paper.replace(/\/page$/, ""));
  await page.getByRole("button", { name: /^Accept .* for Seated row/ }).focus();
  await keys.press("Enter");
  await said(/Seated row: .* accepted/);
  await focusComesTo("Undo for Seated row"); // it stays where one works
  await keys.press("Enter");
  await said("Seated row: open again");
  await keys.tabTo("Something else… for Seated row");
  await keys.press("Enter");
  await focusComesTo("Take instead");
  await keys.press("ArrowUp");
  await keys.tabTo("Keep my choice");
  await keys.press("Enter");
  await page.getByRole("alert").getByText("Say why").waitFor();
  await keys.fill("Reason", "tired today");
  await keys.press("Enter");
  const kept = await page.getByText(/Your choice: .*tired today/).innerText();
  await page.goto(paper);
  await page.locator("#paper-0").waitFor();
  const rows = await page
    .locator(".paper-row")
    .evaluateAll((list) => list.map((row) => [...row.querySelectorAll("select")].map((one) => one.selectedOptions[0].text)));
  const load = rows.find(([exercise]) => exercise === "Seated row")[1];
  assert.ok(kept.includes(`Your choice: ${load}.`), `the paper page takes over what was chosen: ${load}; ${kept}`);
});

const SETS = ["72f", "90", "55r8", "84f", "90c", "66f", "71f", "90", "58f", "c", "63f", "77f"];

test("what was typed on a paper page outlives a reload", async () => {
  await page.goto(paper);
  await page.locator("#paper-0").waitFor();
  await keys.type("72f");
  await keys.press("Enter");
  await keys.type("90");
  await page.reload();
  await page.locator("#paper-0").waitFor();
  assert.equal(await page.locator("#paper-0").inputValue(), "72f");
  assert.equal(await page.locator("#paper-1").inputValue(), "90");
  await page.getByRole("button", { name: "Begin anew" }).click();
});

test("a paper page of twelve sets takes fewer than 70 keystrokes", async (t) => {
  await page.goto(paper);
  await page.locator("#paper-0").waitFor();
  while ((await page.locator(".paper-row").count()) < SETS.length)
    await page.getByRole("button", { name: "Another round of the same" }).click();
  await page.locator("#paper-0").focus();
  const own = new Keyboard(page);
  for (const set of SETS) {
    await own.type(set);
    await own.press("Enter");
  }
  await own.press("Control+Enter");
  await said("12 sets of Mira kept");
  t.diagnostic(`${own.strokes} keystrokes for ${SETS.length} sets; at two a second ${Math.round(own.strokes / 2)} s`);
  assert.ok(own.strokes < 70, `${own.strokes} keystrokes`);
  await page.getByRole("cell", { name: "55 s, stopped in reserve, 8 s left", exact: true }).waitFor();
});

test("undo withdraws the page, and what was typed comes back", async () => {
  await page.getByRole("button", { name: "Undo" }).click();
  await said("12 sets withdrawn");
  await page.waitForFunction(() => document.querySelector("#paper-0")?.value === "72f");
  await page.locator("#paper-0").focus();
  await keys.press("Control+Enter");
  await said("12 sets of Mira kept");
});

test("wrong keys are told at once, and nothing is sent", async () => {
  await page.goto(paper);
  await page.locator("#paper-0").waitFor();
  const sent = [];
  page.on("request", (request) => {
    if (request.method() === "POST") sent.push(request.url());
  });
  await keys.type("72x");
  await keys.press("Enter");
  assert.match(await focused(page), /^Set 1,/, "the cursor stays with the mistake");
  await page.getByText("There is no end called x").first().waitFor();
  await keys.press("Control+Enter");
  assert.deepEqual(sent, []);
  await keys.press("Control+A");
  await keys.press("Delete");
});

test("a correction replaces a record, and its undo brings the old reading back", async () => {
  await page.goto(paper.replace(/page$/, "diary"));
  await page.getByRole("button", { name: /^Correct .* 84 s, failure/ }).click();
  await keys.fill("Seconds, end", "48f");
  await keys.press("Enter");
  await said("corrected to 48 s, failure");
  await page.getByRole("cell", { name: "48 s, failure", exact: true }).waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("cell", { name: "84 s, failure", exact: true }).waitFor();
});

test("the strength over months is drawn, and stands in a table too", async () => {
  await page.goto(paper.replace(/page$/, "strength"));
  await page.locator(".picture svg title").first().waitFor({ state: "attached" });
  await page.getByText("The same in numbers").first().click();
  await page.getByRole("table", { name: /^Strength, per cent/ }).waitFor();
});

test("a class is composed, its order changed by keys and judged, and kept", async () => {
  await page.goto(`${studio.origin}/class/new`);
  await keys.tabTo(/^Getting up from a chair/);
  await keys.press("ArrowDown", 3);
  await keys.tabTo(/^Pulling a door open|^Pulling a door/);
  await keys.press("ArrowDown", 2);
  await keys.tabTo("Compose");
  await keys.press("Enter");
  await page.locator(".slots > li").first().waitFor();
  const names = () => page.locator(".slots > li p.strong").allInnerTexts();
  const earlier = (await names()).map((name) => name.replace(/^.*?\d+\. /, ""));
  assert.ok(earlier.length >= 2, "more than one exercise");
  await page.locator('[data-move="down"]').first().focus();
  const judged = page.waitForResponse((response) => response.url().endsWith("/api/compose/check"));
  await keys.press("Alt+ArrowDown");
  await judged;
  const later = (await names()).map((name) => name.replace(/^.*?\d+\. /, ""));
  assert.deepEqual(later.slice(0, 2), [earlier[1], earlier[0]]);
  assert.match(
    await focused(page),
    new RegExp(`^Move ${earlier[0].replace(/[.*+?^${}()|[\]\\]/g, "\\$&")} `),
    "the focus goes along",
  );
  await keys.fill("Name of the class", "Wednesday, seated");
  await keys.press("Enter");
  await said("Wednesday, seated, version 1, is kept");
  await page.getByRole("rowheader", { name: NAMES[2] }).waitFor();
});

test("Today names those who need the coach", async () => {
  await page.goto(studio.origin);
  await page.getByRole("heading", { name: "Who needs you" }).waitFor();
  await page.getByRole("heading", { name: "Trained lately" }).waitFor();
  await page.getByRole("link", { name: "Mira" }).first().waitFor();
});

test("without a network, and when the server has a fault, it says so kindly and keeps what was typed", async () => {
  await page.goto(`${studio.origin}/kit/new`);
  await heading("Add to the kit");
  await page.getByText("dumbbell").click();
  await page.getByLabel("Label").fill("iron");
  await page.getByLabel("Mass (kg)").fill("2,5");
  const trouble = page.trouble.length;
  await page.route("**/api/kit", (route) => (route.request().method() === "POST" ? route.abort() : route.continue()));
  await page.getByRole("button", { name: "Add to the kit" }).click();
  await page.getByRole("alert").getByText("The studio cannot be reached").waitFor();
  assert.equal(await page.getByLabel("Label").inputValue(), "iron");
  await page.unroute("**/api/kit");
  await page.route("**/api/kit", (route) =>
    route.request().method() === "POST" ? route.fulfill({ status: 500, body: "oops" }) : route.continue(),
  );
  await page.getByRole("button", { name: "Add to the kit" }).click();
  await page.getByRole("alert").getByText("The studio had a fault").waitFor();
  assert.ok(!(await page.getByRole("alert").innerText()).includes("oops"));
  await page.unroute("**/api/kit");
  await page.getByRole("button", { name: "Add to the kit" }).click();
  await said("iron is in the kit");
  page.trouble.length = trouble; // what was provoked
});

test("nothing else went wrong in the page: no error, no refused style or script, no dialog", () => {
  assert.deepEqual(dialogs, []);
  assert.deepEqual(
    page.trouble.filter((line) => !line.includes("ERR_ABORTED") && !/401|404|422/.test(line)),
    [],
  );
});

test("signing out ends the session, and signing in by keyboard begins one", async () => {
  await page.goto(studio.origin);
  await page.getByRole("button", { name: "Sign out" }).click();
  await heading("Sign in");
  await keys.fill("Login name", "ines");
  await keys.fill("Password", "wrong");
  await keys.press("Enter");
  await page.getByRole("alert").waitFor();
  await keys.fill("Password", PASSWORD);
  await keys.press("Enter");
  await page.getByRole("heading", { name: "Who needs you" }).waitFor();
});
