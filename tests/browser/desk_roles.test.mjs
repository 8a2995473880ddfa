// desk_roles.test.mjs: files in and out at the desk, invitations, and what each role finds there.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { accessibility, launch, open } from "./browser.mjs";
import { serveFilledStudio } from "./filled.mjs";

const PASSWORD = "five words are enough too";
let studio, browser, page;

before(async () => {
  studio = await serveFilledStudio();
  browser = await launch();
  page = await open(browser, { viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(20_000);
  await page.context().addCookies([studio.cookie]);
});
after(async () => {
  await browser?.close();
  await studio?.close();
});

const file = (name, text) => ({ name, mimeType: "text/csv", buffer: Buffer.from(text) });

test("a file with faults is told line by line, and nothing is kept", async () => {
  await page.goto(`${studio.origin}/files`);
  await page
    .getByLabel("people.csv")
    .setInputFiles(file("mine.csv", "person,called,condition,endpoint\nnew,New,ms,failure\nworse,Worse,cold,failure\n"));
  await page.getByRole("button", { name: "Try them" }).click();
  const findings = page.getByRole("table", { name: "Findings" });
  await findings.waitFor();
  const cells = await findings.getByRole("row").nth(1).getByRole("cell").allInnerTexts();
  assert.equal(cells[0], "3", "the line");
  assert.match(cells.at(-1), /condition/);
  assert.equal(await page.getByRole("button", { name: "Bring them in" }).count(), 0);
});

test("a file without faults is tried first, then brought in", async () => {
  await page
    .getByLabel("people.csv")
    .setInputFiles(file("mine.csv", "person,called,condition,endpoint\nnew,Newcomer,ms,failure\n"));
  await page.getByRole("button", { name: "Try them" }).click();
  await page.getByText("Would bring in 1 person").waitFor();
  await page.getByRole("button", { name: "Bring them in" }).click();
  await page.getByRole("status").filter({ hasText: "Brought in: 1 person" }).waitFor();
  await page.goto(`${studio.origin}/people`);
  await page.getByRole("link", { name: "Newcomer" }).waitFor();
});

test("everything can be downloaded", async () => {
  await page.goto(`${studio.origin}/files`);
  for (const name of ["Download everything", "diary.csv"]) {
    const download = page.waitForEvent("download");
    await page.getByRole("link", { name }).click();
    assert.equal(await (await download).failure(), null);
  }
});

/** Invite somebody; their own page, signed in by the link. */
async function invite(role, fill) {
  await page.goto(`${studio.origin}/accounts`);
  const form = page.getByRole("heading", { name: "Invite somebody" }).locator("xpath=ancestor::section");
  await form.getByRole("radio", { name: new RegExp(`^${role}`) }).check();
  await fill(form);
  await form.getByRole("button", { name: "Make a one-time link" }).click();
  const link = await page.getByLabel("One-time link", { exact: true }).inputValue();
  assert.ok(link.startsWith(`${studio.origin}/welcome#`), link);
  const other = await open(browser, { viewport: { width: 390, height: 844 } });
  await other.goto(link);
  await other.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await other.getByRole("button", { name: "Begin" }).click();
  return other;
}

test("a clinician comes in by a link, sees who agreed to it, and can change nothing", async () => {
  const other = await invite("clinician", async (form) => {
    await form.getByLabel("Called").fill("Dr. Berg");
    await form.getByLabel("Login name").fill("berg");
    await form.getByRole("checkbox", { name: "Mira" }).check();
  });
  await other.getByRole("link", { name: "Mira" }).click();
  await other.getByRole("cell", { name: "11.5 s" }).waitFor();
  await other.getByLabel("Exercise").selectOption("Seated row");
  await other.locator(".picture svg.thew").waitFor();
  assert.deepEqual(await other.locator("main").getByRole("button").allInnerTexts(), []);
  assert.deepEqual(await accessibility(other), []);
  await other.goto(`${studio.origin}/person/odo`);
  await other.getByRole("heading", { name: "This person cannot be shown" }).waitFor();
  await other.context().close();
});

test("somebody who trains is told where their own page is", async () => {
  const other = await invite("participant", async (form) => {
    await form.getByLabel("Whose account").selectOption("Mira");
    await form.getByLabel("Login name").fill("mira");
  });
  await other.getByRole("heading", { name: "Hello, Mira" }).waitFor();
  assert.deepEqual(await accessibility(other), []);
  await other.context().close();
});

test("an account is closed after a second press, and says so", async () => {
  await page.goto(`${studio.origin}/accounts`);
  await page.getByRole("button", { name: "Close… the account of Dr. Berg" }).click();
  await page.getByRole("button", { name: /^Close it for good.*Dr\. Berg/ }).click();
  await page.getByRole("status").filter({ hasText: "The account of Dr. Berg is closed" }).waitFor();
  await page.getByRole("row").filter({ hasText: "Dr. Berg" }).getByText("closed", { exact: true }).waitFor();
});

test("who looked is noted", async () => {
  await page.goto(`${studio.origin}/access`);
  await page.getByRole("table", { name: /^Access/ }).waitFor();
  await page.getByRole("row").filter({ hasText: "Dr. Berg" }).first().waitFor();
});

test("the switch for dark colours turns page and drawings", async () => {
  await page.goto(`${studio.origin}/person/mira/strength`);
  await page.locator(".picture svg.thew").first().waitFor();
  const colours = () =>
    page.evaluate(() =>
      [document.body, document.querySelector(".picture svg.thew")].map((one) => getComputedStyle(one).backgroundColor),
    );
  const light = await colours();
  await page.getByLabel("Colours").selectOption("dark");
  const dark = await colours();
  assert.equal(light[0], light[1]);
  assert.equal(dark[0], dark[1]);
  assert.notEqual(light[0], dark[0]);
});
