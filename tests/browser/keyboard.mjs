// keyboard.mjs: somebody who has no mouse: every key is counted.
import assert from "node:assert/strict";

/** What has the focus, as a screen reader would name it. */
export function focused(page) {
  return page.evaluate(() => {
    const at = document.activeElement;
    if (!at || at === document.body) return "";
    const labelled = at.labels?.length ? [...at.labels].map((label) => label.innerText).join(" ") : "";
    return (at.getAttribute("aria-label") ?? (labelled || at.innerText || at.textContent)).replace(/\s+/g, " ").trim();
  });
}

export class Keyboard {
  strokes = 0;
  constructor(page) {
    this.page = page;
  }

  async press(key, times = 1) {
    for (let i = 0; i < times; i++) {
      await this.page.keyboard.press(key);
      this.strokes += 1;
    }
  }

  async type(text) {
    await this.page.keyboard.type(text);
    this.strokes += [...text].length;
  }

  /** Tab on until something of that name has the focus. */
  async tabTo(name, key = "Tab") {
    const seen = [];
    for (let i = 0; i < 200; i++) {
      const now = await focused(this.page);
      if (name instanceof RegExp ? name.test(now) : now === name) return now;
      seen.push(now);
      await this.press(key);
    }
    assert.fail(`the Tab key never comes to ${name}; it came by ${seen.slice(0, 60).join(" | ")}`);
  }

  /** Fill a field that is empty. */
  async fill(name, text) {
    await this.tabTo(name);
    await this.press("Control+A");
    await this.type(text);
  }
}
