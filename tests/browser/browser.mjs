// browser.mjs: the browser that all tests here use, and what is asked of every page.
// Knows how Chromium is started without a screen, without network of its own, from an empty profile. Leaves to others: the server.
import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";
import { chromium } from "playwright-core";

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const STANDARD = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/** A browser; close() ends it. Root, as in most containers, has no sandbox to give. */
export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    chromiumSandbox: false,
    args: ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
      "--disable-sync", "--disable-dev-shm-usage"],
  });
}

/** A page that remembers what went wrong in it: page.trouble lists script errors, console errors, refused or failed fetches. */
export async function open(browser, options = {}) {
  const context = await browser.newContext({ locale: "en-GB", timezoneId: "UTC", ...options });
  const page = await context.newPage();
  page.trouble = [];
  page.on("pageerror", (error) => page.trouble.push(`script: ${error.message}`));
  page.on("console", (message) => { if (message.type() === "error") page.trouble.push(`console: ${message.text()}`); });
  page.on("requestfailed", (request) => page.trouble.push(`fetch: ${request.url()} ${request.failure()?.errorText}`));
  return page;
}

/** What axe finds against WCAG 2.2 A and AA: a line for each rule and place, none if all is well. */
export async function accessibility(page) {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(await readFile(AXE, "utf8"));
  const found = await page.evaluate((tags) => window.axe.run(document, { runOnly: { type: "tag", values: tags } }), STANDARD);
  return found.violations.flatMap((rule) => rule.nodes.map((node) => `${rule.id}: ${rule.help}: ${node.target.join(" ")}`));
}
