// The front: ranges by grip, by frame, by number and by keyboard; the table; the archive; a front where
// nothing is feasible.

import { join } from "node:path";
import { DESKTOP, PHONE } from "../watched.mjs";

const left = (page) => page.locator(".count").textContent();
const inside = async (page) => Number(((await left(page)) ?? "").split(" ")[0]);

export async function fronts(world) {
  const { test, served } = world;
  const job = await world.small();
  job.goals[0].aspiration = 0.3;
  job.goals[2].aspiration = 1.5;
  const id = await served.search(job);
  const front = await served.json(`/v1/jobs/${id}/front`);
  const address = `/jobs/${id}/front`;

  await test("ranges in linked views", {}, async (watched, page) => {
    await watched.go(address);
    await watched.look("front");
    const all = await inside(page);
    if (all !== front.candidates.length) watched.note(`${all} of ${front.candidates.length} candidates shown`);

    // By a grip: the largest lean steer, pulled to the middle.
    const grip = page.getByRole("slider", { name: "Lean steer, °, at most" });
    const box = await grip.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x - 250, box.y + box.height / 2, { steps: 5 });
    await page.mouse.up();
    const held = Number(await grip.getAttribute("aria-valuenow"));
    const wanted = front.candidates.filter((row) => row.goals[0] <= held).length;
    if ((await inside(page)) !== wanted || wanted === all) watched.note(`${await left(page)}, not ${wanted} at most ${held}`);
    await watched.look("front-ranges");
    await page.getByRole("button", { name: /^Lean steer at most/ }).click();
    if ((await inside(page)) !== all) watched.note("the range is still there");

    // By keyboard: ten steps of a hundredth.
    await grip.focus();
    await page.keyboard.press("PageDown");
    if ((await inside(page)) >= all) watched.note("no range by keyboard");
    await page.keyboard.press("Escape");
    if ((await inside(page)) !== all) watched.note("the range by keyboard stays");

    // By a frame in the plot: both its quantities.
    const plot = await page.locator(".cloud-side canvas").boundingBox();
    await page.mouse.move(plot.x + 70, plot.y + plot.height - 50);
    await page.mouse.down();
    await page.mouse.move(plot.x + 260, plot.y + plot.height - 200, { steps: 5 });
    await page.mouse.up();
    if ((await page.locator(".chip").count()) !== 2) watched.note("a frame does not set two ranges");
    await page.getByRole("button", { name: "Take all away" }).click();

    // By numbers.
    await page.getByText("Set a range in numbers").click();
    await page.getByLabel("to", { exact: true }).fill("1");
    await page.getByRole("button", { name: "Set", exact: true }).click();
    const below = front.candidates.filter((row) => row.goals[0] <= 1).length;
    if ((await inside(page)) !== below) watched.note(`${await left(page)}, not ${below} at most 1`);
  });

  await test("the table sorts, marks and keeps", {}, async (watched, page) => {
    await watched.go(address);
    const first = page.locator(".grid tbody tr[data-index]").first();
    await page.getByRole("button", { name: /^Steering error/ }).click();
    const least = Math.min(...front.candidates.map((row) => row.goals[2]));
    const number = front.candidates.find((row) => row.goals[2] === least).number;
    if ((await first.locator("a").textContent()) !== String(number)) watched.note("not sorted by steering error");
    await page.getByRole("button", { name: "What" }).click();
    const shown = await page.locator(".grid").innerText();
    for (const word of ["submitted", "knee", "nearest 1"]) if (!shown.includes(word)) watched.note(`the table does not say ${word}`);
    // Down the table by keyboard, to rows that are made only then.
    await first.locator("a").focus();
    for (let i = 0; i < 40; i += 1) await page.keyboard.press("ArrowDown");
    const at = await page.evaluate(() => Number(document.activeElement?.closest("tr")?.getAttribute("aria-rowindex")));
    if (at !== 42) watched.note(`the focus is on row ${at}, not 42`);
    await page.keyboard.press("Home");
    for (const n of [0, 1]) await page.locator(".grid tbody tr[data-index]").nth(n).getByRole("checkbox").check();
    const link = page.getByRole("link", { name: "Compare these 2" });
    const to = await link.getAttribute("href");
    if (!new RegExp(`^#/compare\\?with=${id}/\\d+,${id}/\\d+$`).test(to ?? "")) watched.note(`comparison at ${to}`);
    await watched.look("front-kept");
    await link.click();
    await page.waitForURL(/compare/);
    await page.goBack();
    await page.locator(".grid").waitFor();
    await page.getByLabel("Show how far each coordinate moved").check();
    await page.getByRole("columnheader", { name: /Steering, rod outer, z/ }).waitFor();
    await watched.look("front-offsets");
  });

  await test("the whole archive", {}, async (watched, page) => {
    await watched.go(address);
    await page.getByRole("button", { name: /^Whole archive/ }).click();
    await page.getByText(`${front.archive.length} candidates`).waitFor();
    // Goals computed again are those that the front keeps, requirements are met.
    const csv = await (await fetch(`${served.url}/v1/jobs/${id}/archive`, { headers: { Accept: "text/csv" } })).text();
    const rows = csv.trim().split(/\r?\n/).slice(1).map((line) => line.split(","));
    const differing = front.archive.filter((row, i) => row.goals.some((goal, k) => Number(rows[i][k + 2]) !== goal));
    if (differing.length > 0) watched.note(`${differing.length} rows of the archive differ from the front`);
    if (rows.some((row) => row[1] !== "true")) watched.note("a row of the archive is not feasible");
    await page.getByRole("slider", { name: /^Transmission angle/ }).first().waitFor();
    await watched.look("front-archive");
    await page.reload();
    await page.getByText(`${front.archive.length} candidates`).waitFor();
    // A row that is not on the front has a number and a page of its own.
    const [beyond] = rows.map(([number]) => Number(number)).filter((number) => number >= front.candidates.length);
    await watched.go(`/jobs/${id}/candidates/${beyond}`);
    await page.getByRole("heading", { name: `Candidate ${beyond}` }).waitFor();
  });

  await test("nothing is feasible", {}, async (watched, page) => {
    const hard = await world.small({ evaluations: 4000 });
    hard.requirements.push({ quantity: "turning_radius_kerb_m", at_most: 0.6 });
    const lost = await served.search(hard);
    await watched.go(`/jobs/${lost}/front`);
    await page.getByRole("heading", { name: "No candidate met every requirement" }).waitFor();
    await page.getByText("infeasible").first().waitFor();
    await watched.look("front-infeasible");
  });

  await test("a front of one goal", {}, async (watched, page) => {
    const one = await world.small({ evaluations: 4000 });
    one.goals.length = 1;
    const only = await served.search(one);
    await watched.go(`/jobs/${only}`);
    await watched.look("done-one-goal");
    await watched.go(`/jobs/${only}/front`);
    await page.locator(".grid").waitFor();
    await watched.look("front-one-goal");
  });

  for (const [name, options] of [["dark", { size: DESKTOP, dark: true }], ["phone", { size: PHONE }]]) {
    await test(`a front, ${name}`, options, async (watched) => {
      await watched.go(address);
      await watched.look(`front-${name}`);
    });
  }

  await test("a front on paper", {}, async (watched, page) => {
    await watched.go(address);
    const pdf = await page.pdf({ path: join(world.output, "front.pdf"), format: "A4" });
    if (pdf.subarray(0, 5).toString() !== "%PDF-") watched.note("printing gave no PDF");
  });
}
