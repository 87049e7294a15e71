// A job over several layouts: its front, a candidate of each layout, all of them side by side, a change.

import { demo } from "../served.mjs";
import { PHONE } from "../watched.mjs";
import { cells, near, same } from "./numbers.mjs";

export async function layouts(world) {
  const { test, served } = world;
  /** @type {string | null} */
  let job = null;
  const searched = async () => (job ??= await served.search(await demo("layouts.json", { evaluations: 8000, islands: 1, seed: 5 })));
  for (const [size, name] of [[undefined, "layouts"], [PHONE, "layouts-phone"]]) {
    await test(`several layouts on one front, ${name}`, { size }, async (watched) => front(world, await searched(), watched, name));
    await test(`candidates of several layouts, ${name}`, { size }, async (watched) => candidates(world, await searched(), watched, name));
  }
}

async function front({ served }, job, watched, name) {
  const { page } = watched;
  const found = await served.json(`/v1/jobs/${job}/front`);
  await watched.go(`/jobs/${job}/front`);
  await page.getByRole("button", { name: "Layout", exact: true }).waitFor();
  const rows = await page.locator("tr[data-index]").evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.textContent)));
  for (const [number, , layout, first] of rows) {
    const row = found.candidates.find((one) => one.number === Number(number));
    same(watched, `layout of ${number}`, layout, found.layouts[row.layout].name);
    near(watched, `first goal of ${number}`, first, row.goals[0], 0.006);
  }
  const spent = await cells(page, "Layouts that were searched side by side");
  for (const [k, { evaluations, feasible }] of found.layouts.entries()) {
    same(watched, `evaluations of layout ${k}`, spent[k][1].replace(/\D/g, ""), String(evaluations));
    same(watched, `feasible of layout ${k}`, spent[k][2] === "none" ? "0" : spent[k][2].replace(/\D/g, ""), String(feasible));
    same(watched, `chosen of layout ${k}`, spent[k][4], String(found.candidates.filter((one) => one.layout === k).length));
  }
  // On this front end one cross rod bumps too much wherever its ends are.
  await page.getByText(/Cross rod: all \d+ sampled candidates fail the requirement on bump_steer_deg/).waitFor();
  const place = found.candidates[0].layout;
  const of = found.candidates.filter((one) => one.layout === place).length;
  await page.getByLabel("Layout", { exact: true }).selectOption(String(place));
  await page.getByText(of === found.candidates.length ? /candidates lie inside/ : `${of} of ${found.candidates.length} candidates lie inside`).waitFor();
  await watched.look(`${name}-front`);
}

async function candidates(world, job, watched, name) {
  const { page } = watched;
  const { served } = world;
  const found = await served.json(`/v1/jobs/${job}/front`);
  const file = await served.json(`/v1/jobs/${job}/input`);
  const each = found.layouts.map((_, place) => found.candidates.find((one) => one.layout === place)).filter(Boolean);
  same(watched, "more than one layout is on the front", each.length > 1, true);
  for (const { number, layout } of each) {
    const candidate = await served.json(`/v1/jobs/${job}/candidates/${number}`);
    await watched.go(`/jobs/${job}/candidates/${number}`);
    await page.getByText(`Layout: ${found.layouts[layout].name}.`).waitFor();
    const asked = await cells(page, "Goals and requirements");
    candidate.goals.forEach((goal, k) => near(watched, `${number} ${goal.quantity}`, asked[k][2], goal.value));
    const before = layout === 0 ? file.vehicle : file.layouts[layout - 1].vehicle;
    const { stops } = await world.post("/v1/assessments", { vehicle: candidate.vehicle, reach: file.reach });
    const old = await world.post("/v1/assessments", { vehicle: before, reach: file.reach });
    const rows = await cells(page, "What stops steering and lean");
    near(watched, `${number} stops`, rows[0][2], stops[0].at);
    near(watched, `${number} stopped`, rows[0][1], old.stops[0].at);
    await watched.go(`/jobs/${job}/candidates/${number}?show=moves`);
    await page.locator(".turntable path").first().waitFor({ state: "attached" });
    await watched.go(`/jobs/${job}/candidates/${number}?show=make`);
    await page.getByRole("heading", { name: "Points by the part" }).waitFor();
    same(watched, `${number}: moved points`, await page.locator("th strong").count(), candidate.hardpoints.length);
    await watched.go(`/change?of=${job}/${number}`);
    await page.locator('[data-picture="steer_over_lean"] svg').waitFor();
    await page.getByText(/What the job asks/).first().waitFor();
  }
  await watched.look(`${name}-change`);
  await watched.go(`/compare?with=${each.map(({ number }) => `${job}/${number}`).join(",")}`);
  await page.getByRole("heading", { name: "Curves over one another" }).waitFor();
  await page.locator('[data-picture="front_view"] svg').waitFor();
  for (const { number, layout } of each) await page.getByRole("link", { name: `Candidate ${number}, ${found.layouts[layout].name}`, exact: true }).waitFor();
  await watched.look(`${name}-compare`);
}
