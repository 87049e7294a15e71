// A page in Chromium whose faults are noted: console, errors, requests that leave the server, sideways
// scrolling, headings, findings of axe-core.

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";

export const SIZES = { desktop: { width: 1280, height: 900 }, phone: { width: 375, height: 760 } };
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export class Watched {
  static async open(browser, url, size = SIZES.desktop) {
    const watched = new Watched();
    const context = await browser.newContext({ viewport: size, baseURL: url, reducedMotion: "reduce" });
    Object.assign(watched, { context, page: await context.newPage(), found: [], refusals: 0, url });
    watched.page.on("console", (message) => watched.heard(message));
    watched.page.on("pageerror", (error) => watched.found.push(`error: ${error.message}`));
    watched.page.on("request", (request) => {
      const { origin, protocol } = new URL(request.url());
      if (origin !== url && protocol !== "blob:") watched.found.push(`a request for ${request.url()}`);
    });
    return watched;
  }

  // Chromium reports a refusal that a case asks for as an error of its own.
  heard(message) {
    if (!["error", "warning"].includes(message.type())) return;
    if (this.refusals > 0 && message.text().startsWith("Failed to load resource")) this.refusals -= 1;
    else this.found.push(`console: ${message.text()}`);
  }

  async go(address) {
    await this.page.goto(`${this.url}/#${address}`);
    // A change of the part behind # alone loads nothing, so the view is waited for by its name.
    await this.page.waitForFunction(() => document.querySelector("main h1") !== null);
  }

  async checked(name, output) {
    const wide = await this.page.evaluate(() => {
      const { scrollWidth, clientWidth } = document.documentElement;
      return scrollWidth > clientWidth ? `${scrollWidth} px wide on ${clientWidth} px` : "";
    });
    if (wide) this.found.push(`${name}: ${wide}`);
    const heads = await this.page.locator("h1").count();
    if (heads !== 1) this.found.push(`${name}: ${heads} main headings`);
    await this.page.screenshot({ path: join(output, `${name}.png`), fullPage: true });
    // The policy allows no script from elsewhere, so axe-core comes by the debugger.
    await this.page.evaluate(axe);
    const { violations } = await this.page.evaluate(() => globalThis.axe.run({ resultTypes: ["violations"] }));
    for (const { id, help, nodes } of violations) {
      this.found.push(`${name}: axe-core, ${id}: ${help}, ${nodes.length} times, at ${nodes[0].html.slice(0, 160)}`);
    }
  }

  expect(name, is, wanted) {
    if (JSON.stringify(is) !== JSON.stringify(wanted)) {
      this.found.push(`${name}: ${JSON.stringify(is)} and not ${JSON.stringify(wanted)}`);
    }
  }

  async close() {
    await this.context.close();
    return this.found;
  }
}
