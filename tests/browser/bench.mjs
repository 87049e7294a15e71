// Times of the page while workers use every core: first view with nothing cached, a front, an archive of
// 5,000 candidates and a range set in it. Prints median and 95th percentile in milliseconds; keeps nothing.
//
//   node tests/browser/bench.mjs LEANWRIGHT [RUNS] [WORKERS]
//
// The archive's rows are those of a real front, spread to 5,000: searches keep fewer.

import { Served, demo } from "./served.mjs";
import { browser } from "./watched.mjs";

const [program, runs = "40", workers = "2"] = process.argv.slice(2);
const LISTED = 60;
const ARCHIVE = 5000;

// Notes when the first element of this kind stands in the page, counted from the navigation's start.
function stopwatch(selector) {
  const look = () => {
    if (!document.querySelector(selector)) return;
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => (globalThis.stood = performance.now())));
  };
  const watch = new MutationObserver(look);
  addEventListener("DOMContentLoaded", () => {
    watch.observe(document.body, { childList: true, subtree: true });
    look();
  });
}

// Does something in the page and waits until its picture has been drawn.
const drawn = (page, act, argument) =>
  page.evaluate(async ([source, given]) => {
    const begun = performance.now();
    new Function("given", `return (${source})(given)`)(given);
    await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
    return performance.now() - begun;
  }, [act.toString(), argument]);

function spread(front) {
  const rows = front.archive;
  const many = Array.from({ length: ARCHIVE }, (_, i) => {
    const [a, b] = [rows[i % rows.length], rows[(i * 7 + 1) % rows.length]];
    const part = (i % 97) / 97;
    const between = (x, y) => x.map((value, k) => value + part * (y[k] - value));
    return { vector: between(a.vector, b.vector), goals: between(a.goals, b.goals) };
  });
  return { ...front, archive: many };
}

// The table of the same length: rows of real candidates again and again.
function repeated(csv) {
  const [head, ...rows] = csv.trim().split(/\r?\n/);
  return [head, ...Array.from({ length: ARCHIVE }, (_, i) => rows[i % rows.length])].join("\n");
}

function row(name, times) {
  const sorted = times.toSorted((a, b) => a - b);
  const at = (part) => sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))].toFixed(0);
  console.log(`| ${name} | ${at(0.5)} | ${at(0.95)} | ${times.length} |`);
}

const served = await Served.start(program, Number(workers));
const from = await browser();
try {
  const id = await served.search(await demo("rod-ends.json", { evaluations: 20_000, islands: 2 }));
  for (let i = 0; i < LISTED; i += 1) {
    await served.post("/v1/jobs", await demo("rod-ends.json", { evaluations: 100_000_000, seed: i + 1 }));
  }
  const opened = async (address, selector, change) => {
    const context = await from.newContext({ viewport: { width: 1280, height: 900 }, bypassCSP: true });
    const page = await context.newPage();
    await page.addInitScript(`(${stopwatch})(${JSON.stringify(selector)})`);
    await change?.(page);
    await page.goto(`${served.url}/#${address}`);
    await page.waitForFunction(() => globalThis.stood);
    return { page, took: await page.evaluate(() => globalThis.stood), close: () => context.close() };
  };
  const times = { jobs: [], front: [], archive: [], range: [], sort: [] };
  const front = spread(await served.json(`/v1/jobs/${id}/front`));
  const figures = await (await fetch(`${served.url}/v1/jobs/${id}/archive`, { headers: { Accept: "text/csv" } })).text();
  const large = async (page) => {
    await page.route(/\/front$/, (route) =>
      route.request().headers().accept === "application/json" ? route.fulfill({ json: front }) : route.continue());
    await page.route(/\/archive$/, (route) => route.fulfill({ contentType: "text/csv", body: repeated(figures) }));
  };
  for (let i = 0; i < Number(runs); i += 1) {
    const jobs = await opened("/jobs", ".job");
    times.jobs.push(jobs.took);
    await jobs.close();
    const view = await opened(`/jobs/${id}/front`, ".grid [data-index]", large);
    times.front.push(view.took);
    times.archive.push(await view.page.evaluate(async (size) => {
      const begun = performance.now();
      document.querySelectorAll("[aria-pressed]")[1].click();
      while (!document.querySelector(".count").textContent.startsWith(size)) await new Promise(requestAnimationFrame);
      await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
      return performance.now() - begun;
    }, String(ARCHIVE)));
    const press = (key) => document.querySelector(".grip.high").dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
    for (const key of ["PageDown", "ArrowLeft"]) times.range.push(await drawn(view.page, press, key));
    times.sort.push(await drawn(view.page, () => document.querySelectorAll(".sorter")[2].click()));
    await view.close();
  }
  console.log("| | median ms | 95th percentile ms | runs |\n| --- | --- | --- | --- |");
  row(`list of ${LISTED} jobs, nothing cached`, times.jobs);
  row("front of 100, nothing cached", times.front);
  row(`archive of ${ARCHIVE}: from the click to the drawn views`, times.archive);
  row(`a range in ${ARCHIVE}: from the key to the drawn views`, times.range);
  row(`${ARCHIVE} rows sorted`, times.sort);
} finally {
  await from.close();
  await served.stop();
}
