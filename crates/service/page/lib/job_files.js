// What a finished job can be taken away as.

import { save } from "./api.js";
import { h } from "./dom.js";
import { notice } from "./fault.js";

/** @typedef {import("./types.js").Job} Job */

/** @type {[string, string, string, string][]} */
const FILES = [
  ["Report to read or print", "report", "text/html", "report.html"],
  ["Front, CSV", "front", "text/csv", "front.csv"],
  ["Front, JSON", "front", "application/json", "front.json"],
  ["Front, Parquet", "front", "application/vnd.apache.parquet", "front.parquet"],
  ["Hardpoints, CSV", "hardpoints", "text/csv", "hardpoints.csv"],
  ["Job file", "input", "application/json", "job.json"],
  ["Whole job, for another server", "export", "application/jsonl", "job.jsonl"],
];

/** @param {Job} job */
export function files(job) {
  const said = h("div", {});
  const buttons = FILES.map(([label, path, accept, name]) => h("button", {
    type: "button",
    onclick: () => save(`/v1/jobs/${job.id}/${path}`, accept, `${job.id}-${name}`).catch((error) => said.replaceChildren(notice(error))),
  }, label));
  return h("section", { class: "tools" }, h("h2", {}, "Files"), h("div", { class: "row" }, ...buttons), said);
}
