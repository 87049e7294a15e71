// How a job's state is written: a mark of its own shape and a word, so that colour tells nothing alone.

import { h, s } from "./dom.js";

/** @typedef {import("./types.js").Job} Job */

/** @type {Record<string, string>} */
const SHAPES = {
  queued: "M7 1.5a5.5 5.5 0 1 0 0 11a5.5 5.5 0 1 0 0-11",
  running: "M3 1.5 12 7 3 12.5z",
  paused: "M3.5 2v10M10.5 2v10",
  done: "M2 7.5 5.5 11 12 3",
  failed: "M7 1.2 13 12.5H1zM7 5.5v3M7 10.4v.2",
  cancelled: "M3 3l8 8M11 3l-8 8",
};
/** @type {Record<string, string>} */
const INKS = { running: "first", done: "text", failed: "limit", queued: "soft", paused: "soft", cancelled: "soft" };

/**
 * The word for the state: a paused job is paused, whatever it waits for.
 * @param {Job} job
 */
export const stateWord = (job) => (job.paused && isOpen(job) ? "paused" : job.state);

/** @param {Job} job */
export const isOpen = (job) => job.state === "queued" || job.state === "running";

/**
 * Whether the job searches for a front; else it explains a machine as built.
 * @param {Job} job
 */
export const searches = (job) => job.kind === "search";

/** @param {Job} job */
export function stateMark(job) {
  const word = stateWord(job);
  const solid = word === "running";
  return h("span", { class: "state" },
    s("svg", { viewBox: "0 0 14 14", "aria-hidden": "true", fill: "none", "stroke-width": 2, "stroke-linecap": "round", "stroke-linejoin": "round" },
      s("path", { d: SHAPES[word] ?? SHAPES.queued, class: `s-${INKS[word] ?? "soft"}${solid ? ` f-${INKS[word]}` : ""}` })),
    word);
}

/**
 * Share of the work that is done, 0 to 1. A search that stopped early is done with less.
 * @param {Job} job
 */
export function share(job) {
  if (job.state === "done") return 1;
  const spent = job.progress?.evaluations ?? 0;
  return job.planned_evaluations > 0 ? Math.min(1, spent / job.planned_evaluations) : 0;
}

/** @param {Job} job */
export function meter(job) {
  const bar = h("span", { class: "fill" });
  bar.style.setProperty("--part", `${(100 * share(job)).toFixed(1)}%`);
  return h("span", { class: "meter", role: "img", "aria-label": `${Math.round(100 * share(job))} % of the evaluations` }, bar);
}
