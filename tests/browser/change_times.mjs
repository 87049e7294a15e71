// How long a change takes from the moved number to the drawn curves, while workers use every core.
//
//   node tests/browser/change_times.mjs LEANWRIGHT [CHANGES]
//
// Two rows of times: of the HTTP interface alone, and in Chromium from the input event until curves,
// limits and figures stand in the page. CHROMIUM names the browser.

import { execFileSync } from "node:child_process";
import { availableParallelism } from "node:os";
import { chromium } from "playwright-core";
import { Served, demo } from "./served.mjs";

const [program, changes = "300"] = process.argv.slice(2);
const count = Number(changes);
const PICTURES = ["steer_over_lean", "error_over_steer", "toe_over_travel", "front_view", "top_view"];
const WARM = 20;

function row(name, times) {
  const sorted = times.slice(WARM).sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))].toFixed(1);
  console.log(`| ${name} | ${at(0.5)} | ${at(0.95)} | ${at(1)} |`);
}

async function asked(served, vehicle, rest) {
  const times = [];
  for (let k = 0; k < count; k += 1) {
    const moved = structuredClone(vehicle);
    moved.steering.rod_outer_mm[2] += 0.05 * (k % 200);
    const began = performance.now();
    await served.post("/v1/assessments", { vehicle: moved, ...rest });
    times.push(performance.now() - began);
  }
  return times;
}

// Each change waits for the one before, as a hand that watches the curves does.
function moved(page) {
  return page.evaluate(async (most) => {
    const field = document.querySelector('[data-path="steering.rod_outer_mm#2"]');
    const shown = document.querySelector("[data-time]");
    const start = field.valueAsNumber;
    const times = [];
    for (let k = 0; k < most; k += 1) {
      const drawn = new Promise((done) => new MutationObserver((_, watch) => {
        watch.disconnect();
        done();
      }).observe(shown, { attributes: true }));
      const began = performance.now();
      field.value = String(start + 0.05 * (1 + (k % 200)));
      field.dispatchEvent(new Event("input", { bubbles: true }));
      await drawn;
      times.push(performance.now() - began);
    }
    return times;
  }, count);
}

const path = process.env.CHROMIUM ?? execFileSync("sh", ["-c", "command -v chromium"]).toString().trim();
const served = await Served.start(program, availableParallelism());
const browser = await chromium.launch({ executablePath: path, args: ["--no-sandbox"] });
try {
  const small = await served.search(await demo("rod-ends.json", { evaluations: 2000, islands: 1, seed: 1 }));
  const busy = await demo("example-job.json", { evaluations: 100_000_000, islands: 8, seed: 1 });
  await served.post("/v1/jobs", busy);
  const { vehicle } = await served.json(`/v1/jobs/${small}/candidates/0`);
  console.log(`| ${availableParallelism()} workers busy, ${count - WARM} changes | median ms | 95 % ms | worst ms |\n| --- | --- | --- | --- |`);
  row("figures, curves and limits as JSON", await asked(served, vehicle, {}));
  row("the same with five pictures over those before", await asked(served, vehicle, { against: vehicle, pictures: PICTURES, job: small }));
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  await page.goto(`${served.url}/#/change?of=${small}/0`);
  await page.waitForFunction(() => document.querySelector("[data-time]")?.getAttribute("data-time"));
  row("in the page, from the moved number to the drawn curves", await moved(page));
  const state = await served.json("/v1/jobs?state=running");
  if (state.jobs.length === 0) throw new Error("the workers were not busy to the end");
} finally {
  await browser.close();
  await served.stop();
}
