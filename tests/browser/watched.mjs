// A browser whose pages are watched: what they say on the console, what they ask for, and what
// axe-core finds. Everything counts as a fault unless a case says that it expects it.

import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";

export const DESKTOP = { width: 1280, height: 900 };
export const PHONE = { width: 375, height: 812 };

const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export async function browser() {
  const path = process.env.CHROMIUM ?? execFileSync("sh", ["-c", "command -v chromium"]).toString().trim();
  return chromium.launch({ executablePath: path, args: ["--no-sandbox"] });
}

export class Watched {
  static async open(from, url, output, { size = DESKTOP, dark = false } = {}) {
    const watched = new Watched();
    // Axe's own script is let in by the test's hand; the page's policy stays as it is served.
    const context = await from.newContext({ viewport: size, colorScheme: dark ? "dark" : "light", reducedMotion: "reduce" });
    const page = await context.newPage();
    Object.assign(watched, { context, page, url, output, faults: [], expected: [] });
    page.setDefaultTimeout(60_000);
    page.on("console", (message) => {
      if (["error", "warning"].includes(message.type())) watched.note(`console: ${message.text()}`);
    });
    page.on("pageerror", (error) => watched.note(`error: ${error.message}`));
    page.on("request", (request) => {
      if (!request.url().startsWith(url)) watched.note(`a request for ${request.url()}`);
    });
    return watched;
  }

  note(fault) {
    if (!this.expected.some((pattern) => pattern.test(fault))) this.faults.push(fault);
  }

  // Faults like this are what the case is about.
  expect(pattern) {
    this.expected.push(pattern);
  }

  async go(address) {
    // From elsewhere, or the view before would still stand there for a moment.
    await this.page.goto("about:blank");
    await this.page.goto(`${this.url}/#${address}`);
    await this.page.locator("main h1").first().waitFor();
  }

  // Looks the page over as it stands and keeps a picture of it.
  async look(name) {
    const { page } = this;
    const wide = await page.evaluate(() => {
      const { scrollWidth, clientWidth } = document.documentElement;
      return scrollWidth > clientWidth ? `${scrollWidth} px wide on ${clientWidth} px` : "";
    });
    if (wide) this.note(`${name}: ${wide}`);
    if ((await page.locator("h1").count()) !== 1) this.note(`${name}: not one main heading`);
    await page.screenshot({ path: join(this.output, `${name}.png`), fullPage: true });
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() => globalThis.axe.run({ resultTypes: ["violations"] }));
    for (const { id, help, nodes } of violations) {
      this.note(`${name}: axe-core, ${id}: ${help}, ${nodes.length} times, at ${nodes[0].html.slice(0, 200)}`);
    }
  }

  async close() {
    await this.context.close();
    return this.faults;
  }
}

// Counts cases; one that throws or leaves faults has failed.
export class Cases {
  passed = 0;
  failed = 0;

  async run(name, make, body) {
    const watched = await make();
    let thrown = [];
    try {
      await body(watched, watched.page);
    } catch (error) {
      thrown = [`${error.message}\n${await watched.page.locator("main").innerText().catch(() => "")}`.slice(0, 1500)];
      await watched.page.screenshot({ path: join(watched.output, `failed-${name.replaceAll(" ", "-")}.png`), fullPage: true }).catch(() => {});
    }
    const faults = [...thrown, ...(await watched.close())];
    faults.length === 0 ? (this.passed += 1) : (this.failed += 1);
    console.log(`${faults.length === 0 ? "ok" : "FAILED"}: ${name}`);
    for (const fault of faults) console.log(`  ${fault}`);
  }

  end() {
    console.log(`${this.passed} passed, ${this.failed} failed`);
    process.exitCode = this.failed === 0 ? 0 : 1;
  }
}
