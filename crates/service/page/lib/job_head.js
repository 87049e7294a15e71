// The head of every view of one job: its name, its state, and the ways to its other views.

import { h } from "./dom.js";
import { searches, stateMark } from "./state.js";

/** @typedef {import("./types.js").Job} Job */

/**
 * A new view of a job is a line here.
 * @type {{ label: string, path: (id: string) => string, when: (job: Job) => boolean }[]}
 */
const VIEWS = [
  { label: "Course", path: (id) => `#/jobs/${id}`, when: () => true },
  { label: "Front", path: (id) => `#/jobs/${id}/front`, when: (job) => searches(job) && job.state === "done" },
];

/**
 * @param {Job} job
 * @param {string} here Label of the view that is shown.
 */
export function jobHead(job, here) {
  const links = VIEWS.filter((view) => view.when(job)).map(({ label, path }) =>
    h("a", { href: path(job.id), "aria-current": label === here ? "page" : null }, label));
  return h("div", { class: "job-head" },
    h("p", { class: "soft small" }, h("a", { href: "#/jobs" }, "Jobs"), " / ", h("span", {}, job.id)),
    h("div", { class: "head" }, h("h1", {}, job.name || "A job without a name"), stateMark(job)),
    links.length > 1 && h("nav", { class: "tabs", "aria-label": "Views of this job" }, ...links));
}
