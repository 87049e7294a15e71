// What is done to jobs: pause, search on, run again with changes, labels, deletion; the list as it changes.

import { join } from "node:path";
import { PHONE } from "../watched.mjs";

export async function jobs(world) {
  const { test, served } = world;
  const submit = async (search) => JSON.parse(await served.post("/v1/jobs", await world.small(search)));

  await test("pause and resume", {}, async (watched, page) => {
    const { id } = await submit({ evaluations: 400_000 });
    await watched.go(`/jobs/${id}`);
    await page.getByRole("button", { name: "Pause" }).click();
    await page.getByText("Paused: no further slice is begun.").waitFor();
    await watched.look("paused");
    await page.getByRole("button", { name: "Resume" }).click();
    await page.getByRole("button", { name: "Pause" }).waitFor();
    await served.post(`/v1/jobs/${id}/cancel`, {});
    await page.getByText("Cancelled; nothing is published.").waitFor();
  });

  await test("search on, run again with changes, labels, deletion", {}, async (watched, page) => {
    const id = await served.search(await world.small({ evaluations: 4000 }));
    await watched.go(`/jobs/${id}`);
    await page.getByRole("button", { name: "Search on" }).click();
    await page.getByLabel("More evaluations").fill("5000");
    await watched.look("dialog");
    await page.getByRole("dialog").getByRole("button", { name: "Search on" }).click();
    await page.getByText("Made from").waitFor();
    await page.getByRole("link", { name: "Front", exact: true }).waitFor();
    await page.getByRole("link", { name: id }).click();
    await page.getByRole("button", { name: "Run again with changes" }).click();
    await page.getByText("Made from").waitFor();
    const seed = page.locator('[data-pointer="/search/seed"]').getByRole("textbox");
    if ((await seed.inputValue()) !== "3") watched.note("the form is not filled");
    await seed.fill("4");
    await page.getByRole("button", { name: "Submit" }).click();
    await page.waitForURL(/\/jobs\//);
    const children = (await served.json(`/v1/jobs?parent=${id}`)).jobs;
    if (children.length !== 2) watched.note(`${children.length} jobs made from it`);
    await watched.go(`/jobs/${id}`);
    await page.getByRole("button", { name: "Labels" }).click();
    await page.getByLabel("Labels, parted by commas").fill("rods, keep");
    await page.getByRole("button", { name: "Keep" }).click();
    await page.getByRole("link", { name: "rods" }).click();
    await page.getByRole("heading", { name: "Jobs", exact: true }).waitFor();
    const listed = page.locator(".job");
    if ((await listed.count()) !== 1) watched.note(`${await listed.count()} jobs with the label`);
    await watched.go(`/jobs/${id}`);
    await page.getByRole("button", { name: "Delete" }).click();
    await page.getByRole("button", { name: "Delete the job" }).click();
    await page.getByRole("heading", { name: "Jobs", exact: true }).waitFor();
    const left = (await served.json("/v1/jobs")).jobs.map((job) => job.id);
    if (left.includes(id)) watched.note("the job is still there");
  });

  await test("a finished job as a file, taken in again", {}, async (watched, page) => {
    const id = await served.search(await world.small({ evaluations: 4000, seed: 9 }));
    await watched.go(`/jobs/${id}`);
    const [file] = await Promise.all([
      page.waitForEvent("download"), page.getByRole("button", { name: "Whole job, for another server" }).click(),
    ]);
    const path = join(world.output, file.suggestedFilename());
    await file.saveAs(path);
    await fetch(`${served.url}/v1/jobs/${id}`, { method: "DELETE" });
    await watched.go("/jobs");
    await page.locator("input[type=file]").setInputFiles(path);
    await page.waitForURL(new RegExp(`/jobs/${id}`));
    await page.getByRole("link", { name: "Look at the front" }).waitFor();
    watched.expect(/400|409|413|422/);
    await watched.go("/jobs");
    await page.locator("input[type=file]").setInputFiles({ name: "cut.jsonl", mimeType: "application/jsonl", buffer: Buffer.from("{}\n") });
    await page.getByRole("alert").waitFor();
  });

  await test("the list as it changes", {}, async (watched, page) => {
    await watched.go("/jobs");
    const { id } = await submit({ evaluations: 300_000 });
    const row = page.locator(`[data-job="${id}"]`);
    await row.getByText("running").waitFor();
    await row.getByText(/^[1-9].* of /).waitFor();
    await watched.look("jobs-running");
    await served.post(`/v1/jobs/${id}/cancel`, {});
    await row.getByText("cancelled").waitFor();
    await page.getByLabel("State").selectOption("cancelled");
    await page.waitForURL(/state=cancelled/);
    await page.locator(`[data-job="${id}"]`).waitFor();
    await fetch(`${served.url}/v1/jobs/${id}`, { method: "DELETE" });
    await page.locator(`[data-job="${id}"]`).waitFor({ state: "detached" });
  });

  await test("jobs and one job on a phone", { size: PHONE, dark: true }, async (watched, page) => {
    const id = await served.search(await world.small());
    await watched.go("/jobs");
    await watched.look("jobs-phone-dark");
    await watched.go(`/jobs/${id}`);
    await page.getByRole("heading", { name: "Hypervolume" }).waitFor();
    await watched.look("done-phone-dark");
  });
}
