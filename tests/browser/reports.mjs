// Every report in a real Chromium: at desktop and at phone width and printed to PDF; without
// console errors, without a request that leaves the file, without sideways scrolling of the page,
// without a finding of axe-core, and under 500 kB.
//
//   node tests/browser/reports.mjs LEANWRIGHT OUTPUT-FOLDER
//
// CHROMIUM names the browser; by default `chromium` from the PATH.

import { execFileSync } from "node:child_process";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { Served, demo } from "./served.mjs";

const [program, output] = process.argv.slice(2);
const WIDTHS = { desktop: { width: 1280, height: 900 }, phone: { width: 360, height: 740 } };
const MOST_BYTES = 500_000;
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

// The pages of one search: each as the server sends it.
async function reports(served) {
  const job = await demo("zero-scrub.json", { evaluations: 6000, islands: 1, seed: 5 });
  const id = await served.search(job);
  const text = async (path) => (await fetch(served.url + path)).text();
  const pair = [0, 1].map((number) => ({ job: id, number }));
  const built = new URL("../../demo-jobs/as-built/orchard-hauler.json", import.meta.url);
  const readings = JSON.parse(await readFile(built, "utf8"));
  return {
    job: await text(`/v1/jobs/${id}/report`),
    candidate: await text(`/v1/jobs/${id}/candidates/1/report`),
    vehicle: await served.post("/v1/assessments", { vehicle: job.vehicle }, "text/html"),
    "as-built": await served.post("/v1/fits", readings, "text/html"),
    comparison: await served.post("/v1/comparisons", { candidates: pair }, "text/html"),
  };
}

// What is wrong with a page at one width, as sentences.
async function faults(browser, file, size, screenshot) {
  const context = await browser.newContext({ viewport: size });
  const page = await context.newPage();
  const found = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) found.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => found.push(`error: ${error.message}`));
  page.on("request", (request) => {
    if (request.url() !== file) found.push(`a request for ${request.url()}`);
  });
  await page.goto(file);
  const wide = await page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    return scrollWidth > clientWidth ? `${scrollWidth} px wide on ${clientWidth} px` : "";
  });
  if (wide) found.push(wide);
  if ((await page.locator("svg").count()) === 0) found.push("no picture");
  if ((await page.locator("h1").count()) !== 1) found.push("not one main heading");
  await page.screenshot({ path: screenshot, fullPage: true });
  await page.evaluate(axe);
  const checked = await page.evaluate(() => globalThis.axe.run({ resultTypes: ["violations"] }));
  for (const { id, help, nodes } of checked.violations) {
    found.push(`axe-core, ${id}: ${help}, ${nodes.length} times, at ${nodes[0].html.slice(0, 160)}`);
  }
  await context.close();
  return found;
}

async function printed(browser, file, target) {
  const page = await browser.newPage();
  await page.goto(file);
  const pdf = await page.pdf({ path: target, format: "A4" });
  await page.close();
  return pdf.subarray(0, 5).toString() === "%PDF-" ? [] : ["printing gave no PDF"];
}

// A page with one of every fault; each must be found, or the checks below prove nothing.
const PLANTED = `<!doctype html><title>x</title><h1>one</h1><h1>two</h1>
  <div style="width:2000px">wide</div><img src="https://example.invalid/a.png">
  <script>console.error("on purpose")</script>`;
const MUST_FIND = ["console: on purpose", "a request for", "px wide", "no picture", "not one main",
  "axe-core"];

await mkdir(output, { recursive: true });
const save = async (name, text) => {
  const path = resolve(join(output, `${name}.html`));
  await writeFile(path, text);
  return pathToFileURL(path).href;
};
const path = process.env.CHROMIUM ?? execFileSync("sh", ["-c", "command -v chromium"]).toString().trim();
const browser = await chromium.launch({ executablePath: path, args: ["--no-sandbox"] });
const served = await Served.start(program);
let passed = 0;
let failed = 0;
const report = (name, found) => {
  found.length === 0 ? (passed += 1) : (failed += 1);
  for (const fault of found) console.log(`${name}: ${fault}`);
};
try {
  const file = await save("planted", PLANTED);
  const seen = (await faults(browser, file, WIDTHS.phone, join(output, "planted.png"))).join("\n");
  report("planted", MUST_FIND.filter((text) => !seen.includes(text)).map((t) => `not found: ${t}`));
  for (const [name, html] of Object.entries(await reports(served))) {
    const bytes = Buffer.byteLength(html);
    report(`${name} size`, bytes < MOST_BYTES ? [] : [`${bytes} bytes`]);
    const file = await save(name, html);
    for (const [width, size] of Object.entries(WIDTHS)) {
      const screenshot = join(output, `${name}-${width}.png`);
      report(`${name} ${width}`, await faults(browser, file, size, screenshot));
    }
    report(`${name} PDF`, await printed(browser, file, join(output, `${name}.pdf`)));
  }
} finally {
  await browser.close();
  await served.stop();
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
