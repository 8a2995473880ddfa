// pages.test.mjs: whatever page is built comes up under the strictest rules for what it may load, and no rule of axe is broken.
import assert from "node:assert/strict";
import { createServer } from "node:http";
import { readFile, readdir } from "node:fs/promises";
import { extname, join } from "node:path";
import { after, before, test } from "node:test";
import { accessibility, launch, open } from "./browser.mjs";

const DIST = join(process.env.THEW_BUILD, "web/dist");
const TYPES = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".woff2": "font/woff2", ".svg": "image/svg+xml" };
const RULES = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
let server, browser, origin;

async function answer(request, response) {
  const path = new URL(request.url, origin).pathname;
  const bytes = await readFile(join(DIST, path)).catch(() => null);
  response.writeHead(bytes ? 200 : 404, { "Content-Type": TYPES[extname(path)] ?? "text/plain", "Content-Security-Policy": RULES });
  response.end(bytes);
}

before(async () => {
  server = createServer(answer);
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  origin = `http://127.0.0.1:${server.address().port}`;
  browser = await launch();
});

after(async () => {
  await browser?.close();
  server?.close();
});

for (const name of (await readdir(DIST)).filter((file) => file.endsWith(".html"))) {
  test(`${name} comes up without a server, loads nothing from elsewhere, and axe finds nothing`, async () => {
    const page = await open(browser);
    await page.goto(`${origin}/${name}`);
    await page.waitForFunction(() => document.body.innerText.trim() !== "");
    // What it asks of the interface has nobody behind it here.
    assert.deepEqual(page.trouble.filter((line) => !/ 404 |\/api\//.test(line)), []);
    assert.deepEqual(await accessibility(page), []);
  });
}
