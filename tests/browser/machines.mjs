// The views of machines in a real Chromium: one candidate and how it moves, several side by side, a
// change tried by hand, saved vehicles; at desktop and phone width, and by keyboard alone. Numbers on
// the page are compared with those of the HTTP interface.
//
//   node tests/browser/machines.mjs LEANWRIGHT OUTPUT-FOLDER
//
// CHROMIUM names the browser; by default `chromium` from the PATH.

import { execFileSync } from "node:child_process";
import { mkdir } from "node:fs/promises";
import { chromium } from "playwright-core";
import { Served, demo } from "./served.mjs";
import { SIZES, Watched } from "./machines_watched.mjs";

const [program, output] = process.argv.slice(2);
await mkdir(output, { recursive: true });
const path = process.env.CHROMIUM ?? execFileSync("sh", ["-c", "command -v chromium"]).toString().trim();
const browser = await chromium.launch({ executablePath: path, args: ["--no-sandbox"] });
const served = await Served.start(program, 2);

const post = async (where, document) => JSON.parse(await served.post(where, document));
const minus = (text) => text.replace("−", "-");
const number = (text) => Number.parseFloat(minus(text));
const cells = (page, caption) => page.locator("table", { has: page.locator("caption", { hasText: caption }) }).locator("tbody tr")
  .evaluateAll((rows) => rows.map((row) => [...row.children].map((cell) => cell.textContent.trim())));

// A figure as the page shows it is the interface's, rounded.
function near(watched, name, shown, exact, slack = 0.06) {
  if (!(Math.abs(number(shown) - exact) <= slack)) watched.found.push(`${name}: ${shown} and not ${exact}`);
}

async function candidate(watched, { job, candidate, file }) {
  const { page } = watched;
  await watched.go(`/jobs/${job}/candidates/0`);
  await page.getByRole("heading", { name: "Curves" }).waitFor();
  const assessed = await post("/v1/assessments", { vehicle: candidate.vehicle, reach: file.reach, job });
  const stops = await cells(page, "What stops steering and lean");
  watched.expect("rows of stops", stops.length, assessed.stops.length);
  for (const [k, stop] of assessed.stops.entries()) {
    if (stop.at !== undefined && stop.at !== null) near(watched, stop.motion, stops[k][2], stop.at);
    if (stop.at !== undefined && stop.at !== null) watched.expect(`cause of ${stop.motion}`, stops[k].at(-1), stop.cause);
  }
  const asked = await cells(page, "Goals and requirements");
  watched.expect("rows asked", asked.length, candidate.goals.length + candidate.requirements.length);
  for (const [k, goal] of candidate.goals.entries()) near(watched, goal.quantity, asked[k][2], goal.value);
  watched.expect("map", await page.locator('[data-picture="error_map"] svg').count(), 1);
  await watched.checked("candidate-does", output);
  await page.getByRole("link", { name: "What to make" }).click();
  await page.getByRole("heading", { name: "Points by the part" }).waitFor();
  watched.expect("moved points are marked", await page.locator("th strong").count(), candidate.hardpoints.length);
  const rows = await page.locator("tr", { has: page.locator("strong") }).evaluateAll((all) => all.map((one) => [...one.children].map((cell) => cell.textContent)));
  for (const { point, position_mm: position, offset_mm: offset } of candidate.hardpoints) {
    const name = point.replace(/_mm$/, "").split(".").map((part) => part.replaceAll("_", " ")).join(", ");
    const row = rows.find((one) => one[0].toLowerCase() === name) ?? [];
    position.forEach((x, k) => near(watched, `${point} ${k}`, row[2 + k] ?? "nothing", x, 0.006));
    offset.forEach((x, k) => near(watched, `change of ${point} ${k}`, row[5 + k] ?? "nothing", x, 0.006));
  }
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Hardpoints, CSV" }).click();
  watched.expect("file", (await download).suggestedFilename(), `${job}-0-hardpoints.csv`);
  await watched.checked("candidate-make", output);
  const pdf = await page.pdf({ path: `${output}/candidate-make.pdf`, format: "A4" });
  watched.expect("print", pdf.subarray(0, 5).toString(), "%PDF-");
}

// What is drawn is the projection of a pose that the interface solved, and of no other.
async function drawnRods(page, parts) {
  return page.evaluate(async (all) => {
    const { Turntable, projection } = await import("/page/lib/turntable.js");
    const svg = document.querySelector(".turntable");
    const drawn = [...svg.querySelectorAll('[data-part="rod"]')].map((one) => one.getAttribute("d").match(/-?[\d.]+/g).map(Number));
    const seen = projection(new Turntable("").stand);
    const rods = all.lines.filter((line) => line.part === "rod").map((line) => line.points_mm.map(seen));
    const span = ([a, b]) => [b[0] - a[0], b[1] - a[1]];
    return { drawn: drawn.map(([ax, ay, bx, by]) => [bx - ax, by - ay]), solved: rods.map(span) };
  }, parts);
}

function sameRods(watched, name, { drawn, solved }, scale) {
  const sorted = (list) => [...list].sort((a, b) => a[0] - b[0]);
  const [a, b] = [sorted(drawn), sorted(solved.map((rod) => rod.map((x) => x * scale)))];
  a.forEach((rod, k) => rod.forEach((x, i) => {
    if (Math.abs(x - b[k][i]) > 0.05) watched.found.push(`${name}: rod drawn ${rod} and solved ${b[k]}`);
  }));
}

// Reads again until it holds, and gives what was read last.
async function settled(read, holds) {
  for (let k = 0; ; k += 1) {
    const found = await read();
    if (holds(found) || k === 100) return found;
    await new Promise((done) => setTimeout(done, 100));
  }
}

async function moves(watched, { job, candidate }) {
  const { page } = watched;
  await watched.go(`/jobs/${job}/candidates/0?show=moves`);
  const lean = page.getByRole("slider", { name: "Lean, deg" });
  await lean.waitFor();
  const at = async (question) => (await post("/v1/poses", { vehicle: candidate.vehicle, poses: [question], parts: true })).poses[0];
  const straight = await at({});
  const first = await drawnRods(page, straight.pose.parts);
  const wide = (rods) => Math.max(...rods.map((rod) => Math.hypot(...rod)));
  const scale = wide(first.drawn) / wide(first.solved);
  sameRods(watched, "straight", first, scale);
  for (const question of [{ lean_deg: 8 }, { lean_deg: -6, steer_deg: 10 }, { lean_deg: 0, steer_deg: 0, mean_travel_mm: 25 }]) {
    await page.getByRole("button", { name: "Upright and straight" }).click();
    for (const [name, label] of [["lean_deg", "Lean"], ["steer_deg", "Crank"], ["mean_travel_mm", "Travel of both wheels"]]) {
      if (!question[name]) continue;
      const field = page.getByRole("spinbutton", { name: new RegExp(`^${label} as a number`) });
      await field.fill(String(question[name]));
      await field.press("Enter");
    }
    const { pose } = await at(question);
    const wheels = await settled(async () => cells(page, "Wheels in this pose"), (rows) => Math.abs(number(rows[0][3]) - pose.left.contact_mm[0]) < 0.06);
    near(watched, "left wheel", wheels[0][1], pose.left.heading_deg, 0.006);
    near(watched, "right wheel", wheels[1][1], pose.right.heading_deg, 0.006);
    near(watched, "contact", wheels[0][3], pose.left.contact_mm[0]);
    const joints = await cells(page, "Joints in this pose");
    pose.parts.joints.forEach((joint, k) => near(watched, `${joint.side} ${joint.joint}`, joints[k][1], joint.angle_deg, 0.06));
    sameRods(watched, JSON.stringify(question), await drawnRods(page, pose.parts), scale);
  }
  await watched.checked("candidate-moves", output);
  await page.locator(".stage").focus();
  const before = await page.locator(".turntable").innerHTML();
  await page.keyboard.press("ArrowRight");
  watched.expect("arrow keys turn the view", (await page.locator(".turntable").innerHTML()) !== before, true);
  await swept(watched, scale);
  const crank = page.getByRole("spinbutton", { name: /^Crank as a number/ });
  await crank.fill(await crank.getAttribute("max"));
  await crank.press("Enter");
  await page.getByText("This pose is not reached").waitFor();
}

// Joints with limits: each mark's shape says what the interface's margin says.
async function joints(watched) {
  const { page } = watched;
  const { vehicle } = await demo("more-lean.json", {});
  const saved = await post("/v1/vehicles", { vehicle, name: "With limits" });
  await watched.go(`/vehicles/${saved.id}/versions/1?show=moves`);
  const lean = page.getByRole("spinbutton", { name: /^Lean as a number/ });
  const seen = new Set();
  for (const lean_deg of [0, 9.2, 11]) {
    await lean.fill(String(lean_deg));
    await lean.press("Enter");
    const [{ pose }] = (await post("/v1/poses", { vehicle, poses: [{ lean_deg }], parts: true })).poses;
    await settled(() => cells(page, "Wheels in this pose"), (rows) => Math.abs(number(rows[0][3]) - pose.left.contact_mm[0]) < 0.06 && Math.abs(number(rows[0][1]) - pose.left.heading_deg) < 0.006);
    const drawn = await page.locator("[data-joint]").evaluateAll((all) => Object.fromEntries(all.map((one) => [one.dataset.joint, one.dataset.state])));
    for (const { side, joint, margin_deg: margin, limit_deg: limit } of pose.parts.joints) {
      const state = limit === undefined ? "unlimited" : margin < 0 ? "beyond" : margin < limit / 10 ? "near" : "free";
      watched.expect(`${side} ${joint} at ${lean_deg}°`, drawn[`${side} ${joint}`], state);
      seen.add(state);
    }
  }
  watched.expect("all states were seen", ["beyond", "near", "free"].every((one) => seen.has(one)), true);
  await watched.checked("joints", output);
}

async function swept(watched, scale) {
  const { page } = watched;
  await page.getByRole("button", { name: "Corner" }).click();
  await page.getByRole("button", { name: "Upright and straight" }).click();
  const answer = page.waitForResponse((response) => response.url().endsWith("/v1/poses") && response.request().postDataJSON().poses.length > 1);
  await page.getByRole("button", { name: "Sweep lean" }).click();
  const response = await answer;
  const asked = response.request().postDataJSON().poses;
  const { poses } = await response.json();
  const seen = new Set();
  for (let k = 0; k < 12; k += 1) {
    const now = await page.evaluate(() => ({ lean: document.querySelector('[data-drive="lean_deg"]').value }));
    const solved = asked.findIndex((one) => Math.abs(one.lean_deg - Number(now.lean)) < 0.051);
    seen.add(now.lean);
    if (!poses[solved]?.pose) watched.found.push(`a frame at ${now.lean}° that was not solved`);
    await page.waitForTimeout(60);
  }
  watched.expect("the sweep moves", seen.size > 3, true);
  await page.getByRole("button", { name: "Sweep lean" }).click();
  const lean = Number(await page.locator('[data-drive="lean_deg"]').inputValue());
  const still = asked.findIndex((one) => Math.abs(one.lean_deg - lean) < 0.051);
  if (poses[still]?.pose) sameRods(watched, "in the sweep", await drawnRods(page, poses[still].pose.parts), scale);
}

async function change(watched, { job, candidate, file }) {
  const { page } = watched;
  await watched.go(`/change?of=${job}/0`);
  await page.locator('[data-picture="steer_over_lean"] svg').waitFor();
  const field = page.locator('[data-path="steering.rod_outer_mm#2"]');
  const start = Number(await field.inputValue());
  await field.focus();
  for (let k = 0; k < 6; k += 1) await field.press("ArrowUp");
  const value = Number(await field.inputValue());
  watched.expect("the field has moved", value > start, true);
  const vehicle = structuredClone(candidate.vehicle);
  vehicle.steering.rod_outer_mm[2] = value;
  const found = await post("/v1/assessments", { vehicle, reach: file.reach, job });
  const goal = found.asked.requirements.findIndex((one) => one.quantity === "lean_steer_deg") + found.asked.goals.length;
  const lean = [...found.asked.goals, ...found.asked.requirements][goal];
  const asked = await settled(() => cells(page, "What the job asks"), (rows) => Math.abs(number(rows[goal][2]) - lean.value) < 0.006);
  near(watched, "after the change", asked[goal][2], lean.value, 0.006);
  near(watched, "before the change", asked[goal][1], [...candidate.goals, ...candidate.requirements][goal].value, 0.006);
  await watched.checked("change", output);
  watched.expect("time of an answer", Number(await page.locator("[data-time]").getAttribute("data-time")) > 0, true);
  await page.getByRole("button", { name: "Undo" }).click();
  watched.expect("undone", Number(await field.inputValue()) < value, true);
  await page.getByRole("button", { name: "Redo" }).click();
  watched.expect("done again", Number(await field.inputValue()), value);
  await page.getByRole("button", { name: "Save as a vehicle" }).click();
  await page.getByLabel("Name", { exact: true }).fill("Rods up");
  await page.getByLabel("Note on this version").fill("by hand");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByRole("link", { name: "Open it" }).waitFor();
  const [kept] = (await served.json("/v1/vehicles?name=Rods%20up")).vehicles;
  const saved = await served.json(`/v1/vehicles/${kept.id}`);
  watched.expect("saved", [saved.versions[0].note, saved.versions[0].from], ["by hand", { job, number: 0 }]);
  watched.expect("saved coordinate", (await served.json(saved.versions[0].link)).steering.rod_outer_mm[2], value);
  watched.refusals = 1;
  const radius = page.locator('[data-path="front_wheels.radius_mm#"]');
  await radius.evaluate((input) => input.closest("details").setAttribute("open", ""));
  await radius.fill("-5");
  await page.getByRole("alert").getByText(/radius_mm/).waitFor();
  await page.getByRole("button", { name: "As it was" }).click();
  await page.getByRole("button", { name: "Search from here" }).click();
  await page.waitForFunction(() => location.hash === "#/new");
  return kept.id;
}

async function compare(watched, { job, kept }) {
  const { page } = watched;
  const machines = [{ job, number: 0 }, { job, number: 1 }, { vehicle: kept, version: 1 }];
  await watched.go(`/compare?with=${job}/0,${job}/1`);
  await page.getByLabel("Add from").selectOption({ label: "Rods up" });
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await page.waitForFunction(() => document.querySelectorAll(".chosen li").length === 3);
  await page.getByRole("heading", { name: "Linkages over one another" }).waitFor();
  const found = await post("/v1/comparisons", { candidates: machines });
  const rows = await cells(page, "Below each figure");
  watched.expect("rows", rows.length, found.quantities.length + 1);
  found.quantities.forEach((row, k) => row.values.forEach((value, i) => value !== null && near(watched, row.quantity, rows[k + 1][i + 1].replace("✕ ", ""), value)));
  watched.expect("pictures", await page.locator(".drawn svg").count(), 9);
  await watched.checked("compare", output);
  await page.getByRole("link", { name: "Every quantity" }).click();
  await page.getByRole("link", { name: "Only what the jobs asked for" }).waitFor();
}

async function vehicles(watched, { kept }) {
  const { page } = watched;
  await watched.go("/vehicles");
  await watched.checked("vehicles", output);
  await page.getByRole("link", { name: "Rods up" }).click();
  await page.getByLabel("Notes").fill("stands in the barn");
  await page.getByLabel("Labels").fill("spring, light");
  await page.getByRole("button", { name: "Save notes" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  const now = await served.json(`/v1/vehicles/${kept}`);
  watched.expect("notes and labels", [now.notes, now.labels], ["stands in the barn", ["light", "spring"]]);
  // Somebody else changes it meanwhile: what he wrote is not written over.
  const other = await fetch(`${served.url}/v1/vehicles/${kept}`, { method: "PATCH", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ notes: "sold" }) });
  watched.expect("the other change", other.status, 200);
  watched.refusals = 1;
  await page.getByLabel("Notes").fill("mine");
  await page.getByRole("button", { name: "Save notes" }).click();
  await page.getByRole("alert").getByText(/changed meanwhile/).waitFor();
  watched.expect("notes stay", (await served.json(`/v1/vehicles/${kept}`)).notes, "sold");
  await watched.checked("vehicle", output);
}

// From the list to a changed and kept version, without a pointer.
async function keyboard(watched, { kept }) {
  const { page } = watched;
  await watched.go("/vehicles");
  const tabTo = async (wanted) => {
    for (let k = 0; k < 80; k += 1) {
      await page.keyboard.press("Tab");
      const here = await page.evaluate(() => {
        const one = document.activeElement;
        return `${one?.getAttribute("data-path") ?? ""} ${one?.getAttribute("aria-label") ?? one?.textContent?.trim() ?? ""}`.trim();
      });
      if (here === wanted || here.startsWith(wanted)) return;
    }
    watched.found.push(`"${wanted}" is not reached by the Tab key`);
  };
  await tabTo("Rods up");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => location.hash.startsWith("#/vehicles/"));
  await page.getByRole("heading", { name: "Versions" }).waitFor();
  await tabTo("Try a change");
  await page.keyboard.press("Enter");
  await page.locator("[data-time]:not([data-time=''])").waitFor();
  await tabTo("steering.rod_outer_mm#1");
  const field = page.locator('[data-path="steering.rod_outer_mm#1"]');
  const before = await field.inputValue();
  await page.keyboard.press("ArrowDown");
  watched.expect("moved by a key", (await field.inputValue()) !== before, true);
  await page.keyboard.press("Control+z");
  watched.expect("undone by a key", await field.inputValue(), before);
  await page.keyboard.press("ArrowDown");
  await page.getByRole("button", { name: "Save as a vehicle" }).focus();
  await page.keyboard.press("Enter");
  await page.getByLabel("Note on this version").waitFor();
  await tabTo("Save");
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: "Open it" }).waitFor();
  watched.expect("a second version", (await served.json(`/v1/vehicles/${kept}`)).newest_version, 2);
}

async function phone(watched, { job, kept }) {
  const { page } = watched;
  for (const [name, address, wait] of [
    ["candidate-does", `/jobs/${job}/candidates/0`, ".pictures svg"],
    ["candidate-moves", `/jobs/${job}/candidates/0?show=moves`, ".readout table"],
    ["candidate-make", `/jobs/${job}/candidates/0?show=make`, "table"],
    ["change", `/change?of=${kept}@1`, ".pictures svg"],
    ["compare", `/compare?with=${job}/0,${kept}@1`, ".pictures svg"],
    ["vehicles", "/vehicles", ".vehicles li"],
    ["vehicle", `/vehicles/${kept}`, ".versions li"],
  ]) {
    await watched.go(address);
    await page.locator(wait).first().waitFor();
    await watched.checked(`${name}-phone`, output);
  }
}

let passed = 0;
let failed = 0;
async function run(name, size, test, world) {
  const watched = await Watched.open(browser, served.url, size);
  let result;
  try {
    result = await test(watched, world);
  } catch (error) {
    watched.found.push(`${error.message.split("\n")[0]}`);
    await watched.page.screenshot({ path: `${output}/${name}-failed.png`, fullPage: true });
  }
  const found = await watched.close();
  found.length === 0 ? (passed += 1) : (failed += 1);
  for (const fault of found) console.log(`${name}: ${fault}`);
  return result;
}

try {
  const job = await served.search(await demo("zero-scrub.json", { evaluations: 4000, islands: 1, seed: 5 }));
  const world = { job, file: await served.json(`/v1/jobs/${job}/input`), candidate: await served.json(`/v1/jobs/${job}/candidates/0`) };
  await run("candidate", SIZES.desktop, candidate, world);
  await run("moves", SIZES.desktop, moves, world);
  await run("joints", SIZES.desktop, joints, world);
  world.kept = await run("change", SIZES.desktop, change, world);
  await run("compare", SIZES.desktop, compare, world);
  await run("vehicles", SIZES.desktop, vehicles, world);
  await run("keyboard", SIZES.desktop, keyboard, world);
  await run("phone", SIZES.phone, phone, world);
} finally {
  await browser.close();
  await served.stop();
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
