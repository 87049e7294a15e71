// Jobs written: by form, by file, as text; faults at their fields; by keyboard alone.

import { readFile } from "node:fs/promises";
import { PHONE } from "../watched.mjs";

const at = (page, pointer) => page.locator(`[data-pointer="${pointer}"]`);
const ROD_ENDS = new URL("../../../demo-jobs/rod-ends.json", import.meta.url);

// Makes the example small enough for a test.
async function shrink(page) {
  await at(page, "/search/evaluations").getByRole("textbox").fill("10000");
  await at(page, "/search/islands").getByRole("textbox").fill("2");
}

export async function writing(world) {
  const { test, served } = world;

  await test("a job by form, watched to its end", {}, async (watched, page) => {
    await watched.go("/jobs");
    await page.getByRole("link", { name: "Begin with the example" }).click();
    await page.getByRole("heading", { name: "Goals" }).waitFor();
    await watched.look("form");
    await shrink(page);
    await page.getByLabel("Labels").fill("first, by form");
    await page.getByRole("button", { name: "Submit" }).click();
    await page.getByRole("button", { name: "Cancel" }).waitFor();
    await page.getByRole("heading", { name: "Hypervolume" }).waitFor();
    await page.getByRole("heading", { name: "Front so far" }).waitFor();
    await watched.look("running");
    await page.getByRole("link", { name: "Front", exact: true }).waitFor();
    await page.getByRole("heading", { name: "Files" }).waitFor();
    await watched.look("done");
    const made = (await served.json("/v1/jobs")).jobs[0];
    if (made.labels.toSorted().join() !== "by form,first") watched.note(`labels: ${made.labels}`);
    if (made.state !== "done") watched.note(`state: ${made.state}`);
    await page.getByRole("link", { name: "Jobs", exact: true }).first().click();
    await page.getByRole("link", { name: made.name }).waitFor();
    await watched.look("jobs");
  });

  await test("faults at their fields", {}, async (watched, page) => {
    watched.expect(/422/);
    await watched.go("/new?example");
    await at(page, "/freedoms/0/offset_from_mm").getByRole("textbox").fill("50");
    await at(page, "/goals/1/aspiration").getByRole("textbox").fill("soft");
    await at(page, "/vehicle/front_wheels/radius_mm").locator("input").evaluate((input) => {
      input.value = "-3";
      input.dispatchEvent(new Event("change"));
    });
    await page.getByRole("button", { name: "Submit" }).click();
    for (const [pointer, text] of [["/freedoms/0/offset_from_mm", "50"], ["/goals/1/aspiration", "must be a number"], ["/vehicle/front_wheels/radius_mm", "-3"]]) {
      const field = at(page, pointer).first();
      const said = (await field.locator(".fault").textContent()) ?? "";
      if (!said.includes(text)) watched.note(`${pointer}: ${said}`);
      if ((await field.locator("[aria-invalid=true]").count()) !== 1) watched.note(`${pointer} is not marked`);
    }
    await watched.look("faults");
    // A way from the list to a field that lies in a closed part.
    await page.getByRole("button", { name: "/vehicle/front_wheels/radius_mm" }).click();
    const held = await page.evaluate(() => document.activeElement?.closest("[data-pointer]")?.getAttribute("data-pointer"));
    if (held !== "/vehicle/front_wheels/radius_mm") watched.note(`the focus is at ${held}`);
  });

  await test("a job by choosing a file", {}, async (watched, page) => {
    const text = await readFile(ROD_ENDS, "utf8");
    await watched.go("/jobs");
    await page.locator("input[type=file]").setInputFiles({ name: "mine.json", mimeType: "application/json", buffer: Buffer.from(text) });
    await page.getByText("From mine.json").waitFor();
    await shrink(page);
    await page.getByRole("button", { name: "Submit" }).click();
    await page.getByRole("button", { name: "Cancel" }).click();
    await page.getByRole("button", { name: "Cancel the job" }).click();
    await page.getByText("Cancelled; nothing is published.").waitFor();
    await watched.look("cancelled");
  });

  await test("a dropped file that is no JSON, mended as text", {}, async (watched, page) => {
    watched.expect(/400/);
    const job = JSON.stringify(await world.small({ evaluations: 4000 }));
    await watched.go("/jobs");
    await page.evaluate((text) => {
      const data = new DataTransfer();
      data.items.add(new File([text], "broken.json", { type: "application/json" }));
      dispatchEvent(new DragEvent("drop", { dataTransfer: data, cancelable: true }));
    }, job.slice(0, -1));
    await page.getByText("The file is not JSON").waitFor();
    await page.getByRole("button", { name: "Submit" }).click();
    await page.getByText("EOF while parsing").first().waitFor();
    await watched.look("text");
    await page.getByRole("textbox", { name: "The job file" }).fill(job);
    await page.getByRole("button", { name: "Form" }).click();
    await at(page, "/search/seed").getByRole("textbox").waitFor();
    await page.getByRole("button", { name: "Submit" }).click();
    await page.getByRole("link", { name: "Front", exact: true }).waitFor();
  });

  await test("a machine as built, from its file to its fit", {}, async (watched, page) => {
    const file = await readFile(new URL("../../../demo-jobs/as-built/measured.json", import.meta.url), "utf8");
    await watched.go("/jobs");
    await page.evaluate((text) => {
      const data = new DataTransfer();
      data.items.add(new File([text], "measured.json", { type: "application/json" }));
      dispatchEvent(new DragEvent("drop", { dataTransfer: data, cancelable: true }));
    }, file);
    await page.getByRole("textbox", { name: "The job file" }).waitFor();
    await page.getByRole("button", { name: "Form" }).click();
    await page.getByText("have no form").waitFor();
    await page.getByRole("button", { name: "Submit" }).click();
    await page.getByRole("button", { name: "Every figure read, CSV" }).waitFor();
    await watched.look("as-built");
    for (const name of ["Front", "Look at the front"]) {
      if (await page.getByRole("link", { name, exact: true }).count() > 0) watched.note(`a fit has no ${name}`);
    }
    const saved = page.waitForEvent("download");
    await page.getByRole("button", { name: "Report to read or print" }).click();
    await saved;
  });

  await test("lists, variants and blocks of the form", {}, async (watched, page) => {
    await watched.go("/new?example");
    await page.getByRole("button", { name: "Add requirement" }).click();
    await at(page, "/requirements/2/quantity").getByRole("combobox").selectOption("track_mm");
    await at(page, "/requirements/2/at_most").getByRole("textbox").fill("900");
    await page.getByRole("button", { name: "Remove Requirement 1" }).click();
    await at(page, "/goals/0/minimise").getByLabel("Wanted").selectOption("maximise");
    await page.getByText("Vehicle", { exact: true }).first().click();
    await at(page, "/vehicle/lean_coupling/kind").getByRole("combobox").selectOption({ label: "Rocker" });
    await page.getByRole("button", { name: "Text" }).click();
    const job = JSON.parse(await page.getByRole("textbox", { name: "The job file" }).inputValue());
    const seen = [job.requirements.length, job.requirements[1].quantity, job.requirements[1].at_most, job.goals[0].maximise, job.vehicle.lean_coupling.kind];
    if (seen.join() !== "2,track_mm,900,lean_steer_deg,rocker") watched.note(seen.join());
  });

  await test("a job by keyboard alone", {}, async (watched, page) => {
    await watched.go("/jobs");
    const until = async (text, most = 400) => {
      for (let i = 0; i < most; i += 1) {
        await page.keyboard.press("Tab");
        if ((await page.evaluate(() => document.activeElement?.textContent?.trim())) === text) return;
      }
      throw new Error(`"${text}" was not reached by Tab`);
    };
    await until("To the content", 1);
    await page.keyboard.press("Enter");
    await until("New job", 10);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "New job" }).waitFor();
    await until("The example", 10);
    await page.keyboard.press("Enter");
    await page.getByText("From the example").waitFor();
    await until("Submit");
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Cancel" }).waitFor();
    await until("Cancel", 20);
    await page.keyboard.press("Enter");
    await until("Cancel the job", 5);
    await page.keyboard.press("Enter");
    await page.getByText("Cancelled; nothing is published.").waitFor();
  });

  await test("the form on a phone", { size: PHONE, dark: true }, async (watched) => {
    await watched.go("/new?example");
    await watched.look("form-phone-dark");
    await watched.go("/new");
    await watched.look("form-empty-phone-dark");
  });
}
