// What can be done to a job.

import { get, send } from "./api.js";
import { h } from "./dom.js";
import { hand } from "./draft.js";
import { notice } from "./fault.js";
import { question } from "./dialog.js";
import { isOpen, searches } from "./state.js";

/** @typedef {import("./types.js").Job} Job */

const MOST_EVALUATIONS = 1_000_000_000;

/**
 * The buttons that make sense for the job as it stands.
 * @param {Job} job
 * @param {(job: Job) => void} changed
 */
export function actions(job, changed) {
  const path = `/v1/jobs/${job.id}`;
  const said = h("div", {});
  const act = (/** @type {string} */ word) => async () => {
    try {
      changed(await send("POST", `${path}/${word}`));
    } catch (error) {
      said.replaceChildren(notice(error));
    }
  };
  const button = (/** @type {string} */ label, /** @type {() => void} */ run, kind = "") =>
    h("button", { type: "button", class: kind, onclick: run }, label);
  const open = isOpen(job);
  return h("div", { class: "tools" }, h("div", { class: "row" },
    open && (job.paused ? button("Resume", act("resume")) : button("Pause", act("pause"))),
    open && button("Cancel", () => void cancel(job, changed), "grave"),
    job.state === "done" && searches(job) && h("a", { class: "button main", href: `#/jobs/${job.id}/front` }, "Look at the front"),
    job.state === "done" && searches(job) && button("Search on", () => void extend(job)),
    button("Run again with changes", () => void again(job).catch((error) => said.replaceChildren(notice(error)))),
    button("Labels", () => void labels(job, changed)),
    !open && button("Delete", () => void remove(job), "grave")), said);
}

/**
 * @param {Job} job
 * @param {(job: Job) => void} changed
 */
async function cancel(job, changed) {
  const after = await question({
    title: "Cancel this job?", text: "What it has found so far is not published.", action: "Cancel the job",
    grave: true, run: () => send("POST", `/v1/jobs/${job.id}/cancel`),
  });
  if (after) changed(after);
}

/** @param {Job} job */
async function extend(job) {
  const made = await question({
    title: "Search on", action: "Search on",
    text: "A new job goes on from where this one ended. Its result equals that of one longer run.",
    field: { label: "More evaluations", type: "number", value: String(job.planned_evaluations), min: 1, max: MOST_EVALUATIONS, hint: "Rounded up to whole epochs of all islands." },
    run: (value) => send("POST", `/v1/jobs/${job.id}/extend`, { evaluations: Number(value) }),
  });
  if (made) location.hash = `#/jobs/${made.id}`;
}

/** @param {Job} job */
async function again(job) {
  const input = await get(`/v1/jobs/${job.id}/input`);
  hand({ text: JSON.stringify(input, null, 2), parent: job.id, from: job.name || job.id });
}

/**
 * @param {Job} job
 * @param {(job: Job) => void} changed
 */
async function labels(job, changed) {
  const split = (/** @type {string} */ text) => text.split(",").map((one) => one.trim()).filter(Boolean);
  const after = await question({
    title: "Labels", text: "Words to sort jobs by.", action: "Keep",
    field: { label: "Labels, parted by commas", value: job.labels.join(", "), hint: "At most 20; empty for none." },
    run: (value) => send("PATCH", `/v1/jobs/${job.id}`, { labels: split(value) }),
  });
  if (after) changed(after);
}

/** @param {Job} job */
async function remove(job) {
  const gone = await question({
    title: "Delete this job?", text: "Its front and its candidates go with it. It cannot be brought back.",
    action: "Delete the job", grave: true,
    run: async () => {
      await send("DELETE", `/v1/jobs/${job.id}`);
      return true;
    },
  });
  if (gone) location.hash = "#/jobs";
}
