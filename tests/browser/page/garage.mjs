// A change tried by hand, machines side by side, saved vehicles; by keyboard alone and at phone width.

import { PHONE } from "../watched.mjs";
import { cells, near, number, same, settled } from "./numbers.mjs";

export async function garage(world) {
  const { test } = world;
  const of = await world.candidate();
  // The vehicle that the first case keeps is what the others look at.
  await test("a change is tried, undone, kept and searched from", {}, async (watched) => {
    of.kept = await change(world, of, watched);
  });
  if (!of.kept) {
    const { id } = await world.post("/v1/vehicles", { vehicle: of.candidate.vehicle, name: "Rods up", from: { job: of.job, number: 0 } });
    of.kept = id;
  }
  await test("machines of a job and of the garage side by side", {}, (watched) => compare(world, of, watched));
  await test("saved vehicles with notes and versions", {}, (watched) => vehicles(world, of, watched));
  await test("from the list to a kept version by keyboard alone", {}, (watched) => keyboard(world, of, watched));
  for (const dark of [false, true]) {
    await test(`machines at phone width, ${dark ? "dark" : "light"}`, { size: PHONE, dark }, (watched) => small(world, of, watched, dark));
  }
}

async function change(world, { job, candidate, file }, watched) {
  const { page } = watched;
  await watched.go(`/change?of=${job}/0`);
  await page.locator('[data-picture="steer_over_lean"] svg').waitFor();
  const field = page.locator('[data-path="steering.rod_outer_mm#2"]');
  const start = Number(await field.inputValue());
  await field.focus();
  for (let k = 0; k < 6; k += 1) await field.press("ArrowUp");
  const value = Number(await field.inputValue());
  same(watched, "the field has moved", value > start, true);
  const vehicle = structuredClone(candidate.vehicle);
  vehicle.steering.rod_outer_mm[2] = value;
  const found = await world.post("/v1/assessments", { vehicle, reach: file.reach, job });
  const goal = found.asked.requirements.findIndex((one) => one.quantity === "lean_steer_deg") + found.asked.goals.length;
  const lean = [...found.asked.goals, ...found.asked.requirements][goal];
  const asked = await settled(() => cells(page, "What the job asks"), (rows) => Math.abs(number(rows[goal][2]) - lean.value) < 0.006);
  near(watched, "after the change", asked[goal][2], lean.value, 0.006);
  near(watched, "before the change", asked[goal][1], [...candidate.goals, ...candidate.requirements][goal].value, 0.006);
  await watched.look("change");
  same(watched, "time of an answer", Number(await page.locator("[data-time]").getAttribute("data-time")) > 0, true);
  await page.getByRole("button", { name: "Undo" }).click();
  same(watched, "undone", Number(await field.inputValue()) < value, true);
  await page.getByRole("button", { name: "Redo" }).click();
  same(watched, "done again", Number(await field.inputValue()), value);
  await page.getByRole("button", { name: "Save as a vehicle" }).click();
  await page.getByLabel("Name", { exact: true }).fill("Rods up");
  await page.getByLabel("Note on this version").fill("by hand");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByRole("link", { name: "Open it" }).waitFor();
  const [kept] = (await world.served.json("/v1/vehicles?name=Rods%20up")).vehicles;
  const saved = await world.served.json(`/v1/vehicles/${kept.id}`);
  same(watched, "saved", [saved.versions[0].note, saved.versions[0].from], ["by hand", { job, number: 0 }]);
  same(watched, "saved coordinate", (await world.served.json(saved.versions[0].link)).steering.rod_outer_mm[2], value);
  watched.expect(/422/);
  const radius = page.locator('[data-path="front_wheels.radius_mm#"]');
  await radius.evaluate((input) => input.closest("details").setAttribute("open", ""));
  await radius.fill("-5");
  await page.getByRole("alert").getByText(/radius_mm/).waitFor();
  await page.getByRole("button", { name: "As it was" }).click();
  await page.getByRole("button", { name: "Search from here" }).click();
  await page.waitForFunction(() => location.hash === "#/new");
  return kept.id;
}

async function compare(world, { job, kept }, watched) {
  const { page } = watched;
  const machines = [{ job, number: 0 }, { job, number: 1 }, { vehicle: kept, version: 1 }];
  await watched.go(`/compare?with=${job}/0,${job}/1`);
  await page.getByLabel("Add from").selectOption({ label: "Rods up" });
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await page.waitForFunction(() => document.querySelectorAll(".chosen li").length === 3);
  await page.getByRole("heading", { name: "Linkages over one another" }).waitFor();
  const found = await world.post("/v1/comparisons", { candidates: machines });
  const rows = await cells(page, "Below each figure");
  same(watched, "rows", rows.length, found.quantities.length + 1);
  found.quantities.forEach((row, k) => row.values.forEach((value, i) => value !== null && near(watched, row.quantity, rows[k + 1][i + 1].replace("✕ ", ""), value)));
  same(watched, "pictures", await page.locator(".drawn svg").count(), 9);
  await watched.look("compare");
  await page.getByRole("link", { name: "Every quantity" }).click();
  await page.getByRole("link", { name: "Only what the jobs asked for" }).waitFor();
}

async function vehicles(world, { kept }, watched) {
  const { page } = watched;
  await watched.go("/vehicles");
  await watched.look("vehicles");
  await page.getByRole("link", { name: "Rods up" }).click();
  await page.getByLabel("Notes").fill("stands in the barn");
  await page.getByLabel("Labels").fill("spring, light");
  await page.getByRole("button", { name: "Save notes" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  const now = await world.served.json(`/v1/vehicles/${kept}`);
  same(watched, "notes and labels", [now.notes, now.labels], ["stands in the barn", ["light", "spring"]]);
  // Somebody else changes it meanwhile: what he wrote is not written over.
  const other = await fetch(`${world.served.url}/v1/vehicles/${kept}`, { method: "PATCH", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ notes: "sold" }) });
  same(watched, "the other change", other.status, 200);
  watched.expect(/412/);
  await page.getByLabel("Notes").fill("mine");
  await page.getByRole("button", { name: "Save notes" }).click();
  await page.getByRole("alert").getByText(/changed meanwhile/).waitFor();
  same(watched, "notes stay", (await world.served.json(`/v1/vehicles/${kept}`)).notes, "sold");
  await watched.look("vehicle");
}

// From the list to a changed and kept version, without a pointer.
async function keyboard(world, { kept }, watched) {
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
    watched.note(`"${wanted}" is not reached by the Tab key`);
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
  same(watched, "moved by a key", (await field.inputValue()) !== before, true);
  await page.keyboard.press("Control+z");
  same(watched, "undone by a key", await field.inputValue(), before);
  await page.keyboard.press("ArrowDown");
  await page.getByRole("button", { name: "Save as a vehicle" }).focus();
  await page.keyboard.press("Enter");
  await page.getByLabel("Note on this version").waitFor();
  await tabTo("Save");
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: "Open it" }).waitFor();
  same(watched, "a second version", (await world.served.json(`/v1/vehicles/${kept}`)).newest_version, 2);
}

async function small(world, { job, kept }, watched, dark) {
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
    await watched.look(`${name}-phone${dark ? "-dark" : ""}`);
  }
}
