// One machine: what it does, how it moves, what to make. Figures are the interface's; what is drawn in
// space is the projection of poses that the interface solved, and of no others.

import { demo } from "../served.mjs";
import { PHONE } from "../watched.mjs";
import { cells, near, number, same, settled } from "./numbers.mjs";

export async function machine(world) {
  const { test } = world;
  const of = await world.candidate();
  await test("a candidate: what it does and what to make", {}, (watched) => does(world, of, watched));
  await test("a candidate moves through solved poses", {}, (watched) => moves(world, of, watched));
  await test("joints are marked by margin", {}, (watched) => joints(world, watched));
  const { vehicle } = await demo("packaging.json", {});
  const { id } = await world.post("/v1/vehicles", { vehicle, name: "With a load bed" });
  for (const [size, name] of [[undefined, "states"], [PHONE, "states-phone"]]) {
    await test(`states of loading, one by one and over one another, ${name}`, { size }, (watched) => states(world, { vehicle, id, name }, watched));
  }
}

// Curves and stops of the state chosen; figures are the worst over all, each with its state.
async function states(world, { vehicle, id, name }, watched) {
  const { page } = watched;
  const { quantities } = await world.post("/v1/assessments", { vehicle });
  await watched.go(`/vehicles/${id}/versions/1`);
  const links = page.getByRole("navigation", { name: "State of loading" });
  for (const loading of ["as drawn", "rider alone", "empty"]) {
    await links.getByRole("link", { name: loading, exact: false }).click();
    const { stops } = await world.post("/v1/assessments", { vehicle, loading });
    const rows = await settled(() => cells(page, "What stops steering and lean"), (found) => stops.every((stop, k) => Math.abs(number(found[k]?.[1] ?? "") - stop.at) < 0.06));
    stops.forEach((stop, k) => near(watched, `${loading}: ${stop.motion}`, rows[k]?.[1] ?? "nothing", stop.at));
  }
  await page.getByText(/^All \d+ quantities/).click();
  const every = await cells(page, "Every quantity");
  for (const [k, entry] of quantities.entries()) {
    for (const word of [entry.state, ...(entry.between ?? [])].filter(Boolean)) same(watched, `${entry.quantity} says ${word}`, every[k].at(-1).includes(word), true);
  }
  same(watched, "a gap was named", quantities.some((entry) => entry.between && entry.state), true);
  await links.getByRole("link", { name: "All over one another" }).click();
  await page.getByRole("heading", { name: "Curves, all states of loading over one another" }).waitFor();
  const drawn = await page.locator('[data-picture="steer_over_lean"]').innerHTML();
  for (const state of ["as drawn", "rider alone", "empty"]) same(watched, `${state} is drawn`, drawn.includes(state), true);
  const over = await cells(page, "What stops steering and lean in each state");
  same(watched, "a column each", over[0].length, 4);
  await watched.look(`${name}-over-one-another`);
  await watched.go(`/change?of=${id}@1`);
  await page.locator('[data-picture="steer_over_lean"] svg').waitFor();
  const empty = await world.post("/v1/assessments", { vehicle, loading: "empty" });
  await page.getByLabel("State of loading in pictures and stops").selectOption("empty");
  const [motion] = empty.stops;
  const trial = await settled(() => cells(page, "What stops steering and lean"), (found) => Math.abs(number(found[0]?.[2] ?? "") - motion.at) < 0.06);
  near(watched, "stop in the trial", trial[0]?.[2] ?? "nothing", motion.at);
  near(watched, "stop before the trial", trial[0]?.[1] ?? "nothing", motion.at);
  await watched.look(`${name}-change`);
}

async function does(world, { job, candidate, file }, watched) {
  const { page } = watched;
  await watched.go(`/jobs/${job}/candidates/0`);
  await page.getByRole("heading", { name: "Curves" }).waitFor();
  const assessed = await world.post("/v1/assessments", { vehicle: candidate.vehicle, reach: file.reach, job });
  const stops = await cells(page, "What stops steering and lean");
  same(watched, "rows of stops", stops.length, assessed.stops.length);
  for (const [k, stop] of assessed.stops.entries()) {
    if (stop.at !== undefined && stop.at !== null) near(watched, stop.motion, stops[k][2], stop.at);
    if (stop.at !== undefined && stop.at !== null) same(watched, `cause of ${stop.motion}`, stops[k].at(-1), stop.cause);
  }
  const asked = await cells(page, "Goals and requirements");
  same(watched, "rows asked", asked.length, candidate.goals.length + candidate.requirements.length);
  for (const [k, goal] of candidate.goals.entries()) near(watched, goal.quantity, asked[k][2], goal.value);
  same(watched, "map", await page.locator('[data-picture="error_map"] svg').count(), 1);
  await watched.look("candidate-does");
  await page.getByRole("link", { name: "What to make" }).click();
  await page.getByRole("heading", { name: "Points by the part" }).waitFor();
  same(watched, "moved points are marked", await page.locator("th strong").count(), candidate.hardpoints.length);
  const rows = await page.locator("tr", { has: page.locator("strong") }).evaluateAll((all) => all.map((one) => [...one.children].map((cell) => cell.textContent)));
  for (const { point, position_mm: position, offset_mm: offset } of candidate.hardpoints) {
    const name = point.replace(/_mm$/, "").split(".").map((part) => part.replaceAll("_", " ")).join(", ");
    const row = rows.find((one) => one[0].toLowerCase() === name) ?? [];
    position.forEach((x, k) => near(watched, `${point} ${k}`, row[2 + k] ?? "nothing", x, 0.006));
    offset.forEach((x, k) => near(watched, `change of ${point} ${k}`, row[5 + k] ?? "nothing", x, 0.006));
  }
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Hardpoints, CSV" }).click();
  same(watched, "file", (await download).suggestedFilename(), `${job}-0-hardpoints.csv`);
  await watched.look("candidate-make");
  const pdf = await page.pdf({ path: `${world.output}/candidate-make.pdf`, format: "A4" });
  same(watched, "print", pdf.subarray(0, 5).toString(), "%PDF-");
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
    if (Math.abs(x - b[k][i]) > 0.05) watched.note(`${name}: rod drawn ${rod} and solved ${b[k]}`);
  }));
}

async function moves(world, { job, candidate }, watched) {
  const { page } = watched;
  await watched.go(`/jobs/${job}/candidates/0?show=moves`);
  const lean = page.getByRole("slider", { name: "Lean, deg" });
  await lean.waitFor();
  const at = async (question) => (await world.post("/v1/poses", { vehicle: candidate.vehicle, poses: [question], parts: true })).poses[0];
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
  await watched.look("candidate-moves");
  await page.locator(".stage").focus();
  const before = await page.locator(".turntable").innerHTML();
  await page.keyboard.press("ArrowRight");
  same(watched, "arrow keys turn the view", (await page.locator(".turntable").innerHTML()) !== before, true);
  await swept(watched, scale);
  await outOfReach(world, candidate, watched);
}

// Joints with limits: each mark's shape says what the interface's margin says.
async function joints(world, watched) {
  const { page } = watched;
  const { vehicle } = await demo("more-lean.json", {});
  const saved = await world.post("/v1/vehicles", { vehicle, name: "With limits" });
  await watched.go(`/vehicles/${saved.id}/versions/1?show=moves`);
  const lean = page.getByRole("spinbutton", { name: /^Lean as a number/ });
  const seen = new Set();
  for (const lean_deg of [0, 9.2, 11]) {
    await lean.fill(String(lean_deg));
    await lean.press("Enter");
    const [{ pose }] = (await world.post("/v1/poses", { vehicle, poses: [{ lean_deg }], parts: true })).poses;
    await settled(() => cells(page, "Wheels in this pose"), (rows) => Math.abs(number(rows[0][3]) - pose.left.contact_mm[0]) < 0.06 && Math.abs(number(rows[0][1]) - pose.left.heading_deg) < 0.006);
    const drawn = await page.locator("[data-joint]").evaluateAll((all) => Object.fromEntries(all.map((one) => [one.dataset.joint, one.dataset.state])));
    for (const { side, joint, margin_deg: margin, limit_deg: limit } of pose.parts.joints) {
      const state = limit === undefined ? "unlimited" : margin < 0 ? "beyond" : margin < limit / 10 ? "near" : "free";
      same(watched, `${side} ${joint} at ${lean_deg}°`, drawn[`${side} ${joint}`], state);
      seen.add(state);
    }
  }
  same(watched, "all states were seen", ["beyond", "near", "free"].every((one) => seen.has(one)), true);
  await watched.look("joints");
}

// At an end of the ranges where the interface finds no pose, the page says what fails.
async function outOfReach(world, candidate, { page }) {
  const field = (label) => page.getByRole("spinbutton", { name: new RegExp(`^${label} as a number`) });
  const ends = async (label) => [Number(await field(label).getAttribute("min")), Number(await field(label).getAttribute("max"))];
  const [leans, cranks] = [await ends("Lean"), await ends("Crank")];
  const asked = leans.flatMap((lean_deg) => [0, ...cranks].map((steer_deg) => ({ lean_deg, steer_deg })));
  const { poses } = await world.post("/v1/poses", { vehicle: candidate.vehicle, poses: asked });
  const which = poses.findIndex((one) => one.unreachable !== undefined);
  for (const [label, value] of [["Lean", asked[which].lean_deg], ["Crank", asked[which].steer_deg]]) {
    await field(label).fill(String(value));
    await field(label).press("Enter");
  }
  await page.getByText(`This pose is not reached: ${poses[which].unreachable}`).waitFor();
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
    if (!poses[solved]?.pose) watched.note(`a frame at ${now.lean}° that was not solved`);
    await page.waitForTimeout(60);
  }
  same(watched, "the sweep moves", seen.size > 3, true);
  await page.getByRole("button", { name: "Sweep lean" }).click();
  const lean = Number(await page.locator('[data-drive="lean_deg"]').inputValue());
  const still = asked.findIndex((one) => Math.abs(one.lean_deg - lean) < 0.051);
  if (poses[still]?.pose) sameRods(watched, "in the sweep", await drawnRods(page, poses[still].pose.parts), scale);
}
