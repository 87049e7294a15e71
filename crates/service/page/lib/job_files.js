// What a finished job can be taken away as.

import { save } from "./api.js";
import { h } from "./dom.js";
import { notice } from "./fault.js";
import { searches } from "./state.js";

/** @typedef {import("./types.js").Job} Job */

/** @typedef {[string, string, string, string][]} Files */

/** @type {Files} */
const REPORT = [["Report to read or print", "report", "text/html", "report.html"]];
/** @type {Files} */
const FRONT = [
  ["Front, CSV", "front", "text/csv", "front.csv"],
  ["Front, JSON", "front", "application/json", "front.json"],
  ["Front, Parquet", "front", "application/vnd.apache.parquet", "front.parquet"],
  ["Hardpoints, CSV", "hardpoints", "text/csv", "hardpoints.csv"],
];
/** @type {Files} */
const FIT = [
  ["Every figure read, CSV", "fit", "text/csv", "fit.csv"],
  ["Fit, JSON", "fit", "application/json", "fit.json"],
];
/** @type {Files} */
const WHOLE = [
  ["Job file", "input", "application/json", "job.json"],
  ["Whole job, for another server", "export", "application/jsonl", "job.jsonl"],
];

/** @param {Job} job */
export function files(job) {
  const said = h("div", {});
  const kinds = [...REPORT, ...(searches(job) ? FRONT : FIT), ...WHOLE];
  const buttons = kinds.map(([label, path, accept, name]) => h("button", {
    type: "button",
    onclick: () => save(`/v1/jobs/${job.id}/${path}`, accept, `${job.id}-${name}`).catch((error) => said.replaceChildren(notice(error))),
  }, label));
  return h("section", { class: "tools" }, h("h2", {}, "Files"), h("div", { class: "row" }, ...buttons), said);
}
