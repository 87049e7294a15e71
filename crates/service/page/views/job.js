// One job: how far it is, what it has found so far, what happened to it.

import { get } from "../lib/api.js";
import { clear, h, put, say } from "../lib/dom.js";
import { Course } from "../lib/course.js";
import { told } from "../lib/draft.js";
import { notice } from "../lib/fault.js";
import { capital, count, duration, moment, withUnit, words } from "../lib/format.js";
import { files } from "../lib/job_files.js";
import { actions } from "../lib/job_actions.js";
import { jobHead } from "../lib/job_head.js";
import { isOpen, meter, searches, stateWord } from "../lib/state.js";
import { follow } from "../lib/stream.js";
import { happened } from "../lib/story.js";

/** @typedef {import("../lib/types.js").Job} Job */
/** @typedef {import("../lib/types.js").JobEvent} JobEvent */

export const sheets = ["plots.css", "job.css"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { words: { id }, signal }) {
  /** @type {Job} */
  let job = await get(`/v1/jobs/${id}`, signal);
  const parts = { head: h("div", {}), tools: h("div", {}), facts: h("div", {}), files: h("div", {}), said: h("div", {}) };
  const story = h("ol", { class: "story" });
  const course = searches(job) ? new Course(job, signal) : null;
  const draw = (/** @type {Job} */ now) => {
    const [before, word] = [stateWord(job), stateWord(now)];
    job = now;
    clear(parts.head, jobHead(job, "Course"));
    // Buttons that mean the same stay in place under the finger.
    if (before !== word || !parts.tools.hasChildNodes()) clear(parts.tools, actions(job, draw));
    clear(parts.facts, ...facts(job));
  };
  draw(job);
  if (job.state === "done") put(parts.files, files(job));
  put(place, parts.head, parts.tools, parts.said, found(id), parts.facts, course?.place,
    parts.files,
    h("details", { class: "happened" }, h("summary", {}, "What happened"), story));
  listen();
  return job.name || "Job";

  function listen() {
    const hear = (/** @type {JobEvent} */ event) => {
      story.append(happened(event));
      course?.take(event);
      if (!["submitted", "started", "polished"].includes(event.kind)) void refresh(event.kind);
    };
    follow(`/v1/jobs/${id}/events`, ({ data }) => hear(data), signal)
      .catch((error) => clear(parts.said, notice(error)));
  }

  /** @param {string} kind */
  async function refresh(kind) {
    if (!isOpen(job)) return;
    const now = await get(`/v1/jobs/${id}`, signal).catch(() => null);
    if (!now || signal.aborted) return;
    draw(now);
    if (isOpen(now)) return;
    say(`${now.name}: ${now.state}`);
    course?.settle(now);
    if (kind === "done") clear(parts.files, files(now));
  }
}

/**
 * What the server saw when the job was submitted.
 * @param {string} id
 */
function found(id) {
  const answer = told(id);
  if (!answer?.budget) return null;
  const { asked, evaluations, islands, epochs } = answer.budget;
  const rounded = asked !== evaluations && h("p", {}, `The budget of ${count(asked)} evaluations is rounded up to ${count(evaluations)}: ${epochs} ${epochs === 1 ? "epoch" : "epochs"} of ${islands} islands.`);
  const findings = answer.findings.map(({ pointer, message }) => h("li", {}, h("code", {}, pointer), ` ${message}.`));
  if (!rounded && findings.length === 0) return null;
  return h("div", { class: "note" }, rounded, findings.length > 0 && h("p", {}, "A look at some candidates showed:"), findings.length > 0 && h("ul", {}, ...findings));
}

/** @param {Job} job */
function facts(job) {
  const { progress } = job;
  const spent = progress?.evaluations ?? 0;
  const began = Date.parse(job.started_at ?? job.created_at);
  const took = (job.finished_at ? Date.parse(job.finished_at) : Date.now()) - began;
  /** @type {[string, string]} */
  const time = [job.finished_at ? "Took" : "Under way for", job.started_at ? duration(took) : "not begun"];
  /** @type {[string, string][]} */
  const rows = !searches(job) ? [time] : [
    ["Evaluations", `${count(spent)} of ${job.state === "done" ? "at most " : ""}${count(job.planned_evaluations)}`],
    ["Met every requirement", progress ? `${count(progress.feasible)}, ${percent(progress.feasible, spent)}` : "–"],
    ["On the front", progress ? count(progress.front) : "–"],
    time,
  ];
  const best = (progress?.best ?? []).map(({ quantity, unit, value }) =>
    /** @type {[string, string]} */ ([`Best ${words(quantity)}`, withUnit(value, unit)]));
  return [
    meter(job),
    sentence(job),
    h("dl", { class: "facts" }, ...[...rows, ...best].map(([name, value]) => h("div", {}, h("dt", {}, capital(name)), h("dd", {}, value)))),
  ];
}

/** @param {Job} job */
function sentence(job) {
  const phase = { search: "Searching", merge: "Joining the islands", polish: "Polishing the best", study: "Building some candidates many times", publish: "Publishing" }[job.progress?.phase ?? "search"];
  const doing = searches(job) ? `${phase ?? "Working"} on ${job.islands} islands.` : "Explaining the readings.";
  const said = {
    queued: "Waits for a worker.", running: doing, done: `Done ${moment(job.finished_at ?? job.created_at)}.`,
    failed: `Failed: ${job.reason ?? "no reason is known"}.`, cancelled: "Cancelled; nothing is published.", paused: "Paused: no further slice is begun.",
  }[stateWord(job)];
  const parent = job.parent && [" Made from ", h("a", { href: `#/jobs/${job.parent}` }, job.parent), "."];
  const labels = job.labels.map((label) => h("a", { class: "label", href: `#/jobs?label=${encodeURIComponent(label)}` }, label));
  return h("p", { class: "now" }, said ?? job.state, ...(parent || []), ...labels.flatMap((label) => [" ", label]));
}

/**
 * @param {number} part
 * @param {number} whole
 */
const percent = (part, whole) => (whole > 0 ? `${Math.round((100 * part) / whole)} %` : "0 %");
