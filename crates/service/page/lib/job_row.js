// A job as a line of a list.

import { h } from "./dom.js";
import { count, duration, moment } from "./format.js";
import { isOpen, meter, searches, stateMark } from "./state.js";

/** @typedef {import("./types.js").Job} Job */

/** @param {Job} job */
export function row(job) {
  const labels = job.labels.map((label) =>
    h("a", { class: "label", href: `#/jobs?label=${encodeURIComponent(label)}` }, label));
  return h("li", { class: "job", "data-job": job.id },
    h("div", {}, h("a", { class: "name", href: `#/jobs/${job.id}` }, job.name || `Job ${job.id}`), ...labels.flatMap((label) => [" ", label])),
    stateMark(job),
    meter(job),
    h("span", { class: "soft small" }, spent(job)),
    h("span", { class: "soft small" }, moment(job.created_at)));
}

/** @param {Job} job */
function spent(job) {
  const evaluations = job.progress?.evaluations ?? 0;
  if (!searches(job) && job.state !== "done") return "a machine as built";
  if (isOpen(job)) return `${count(evaluations)} of ${count(job.planned_evaluations)} evaluations`;
  const began = job.started_at ?? job.created_at;
  const took = job.finished_at ? ` in ${duration(Date.parse(job.finished_at) - Date.parse(began))}` : "";
  if (!searches(job)) return `a machine as built${took}`;
  if (job.state === "done") return `${count(evaluations)} evaluations${took}`;
  return evaluations > 0 ? `after ${count(evaluations)} evaluations` : "before its first figures";
}
