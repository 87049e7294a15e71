// One machine: what it does, how it moves, what to make. One task at a time.

import { h, put } from "../lib/dom.js";
import { address, machineOf, written } from "../lib/machines.js";

/** @typedef {import("../lib/machines.js").Machine} Machine */
/** @typedef {{ fill: (place: HTMLElement, machine: Machine, signal: AbortSignal, query: URLSearchParams) => Promise<void> }} Task */

export const sheets = ["plots.css", "machine.css"];

/** @type {{ key: string, label: string, load: () => Promise<Task> }[]} */
const TASKS = [
  { key: "does", label: "What it does", load: () => import("./machine/does.js") },
  { key: "moves", label: "How it moves", load: () => import("./machine/moves.js") },
  { key: "make", label: "What to make", load: () => import("./machine/make.js") },
];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { words, query, signal }) {
  const number = Number(words.n);
  const ref = location.hash.startsWith("#/jobs/") ? { job: words.id, number } : { vehicle: words.id, version: number };
  const task = TASKS.find((one) => one.key === query.get("show")) ?? TASKS[0];
  const [machine, module] = await Promise.all([machineOf(ref, signal), task.load()]);
  const body = h("div", { class: "task" });
  put(place, head(machine), tabs(machine, task.key), body);
  await module.fill(body, machine, signal, query);
  return `${machine.name} of ${machine.of}: ${task.label}`;
}

/** @param {Machine} machine */
function head(machine) {
  const text = written(machine.ref);
  return h("header", { class: "machine-head" },
    h("p", { class: "small" }, h("a", { href: `#${machine.up}` }, machine.of)),
    h("div", { class: "head" }, h("h1", {}, machine.name),
      h("div", { class: "row no-print" },
        h("a", { class: "button main", href: `#/change?of=${text}` }, "Try a change"),
        h("a", { class: "button", href: `#/compare?with=${text}` }, "Compare"))),
    standing(machine));
}

/** @param {Machine} machine */
function standing({ candidate, beforeName }) {
  const parts = [];
  if (candidate?.layout) parts.push(`Layout: ${candidate.layout.name}.`);
  if (candidate) parts.push(candidate.feasible ? "It meets every requirement." : "It does not meet every requirement.");
  if (beforeName) parts.push(`Changes are against ${beforeName === "submitted" ? "the submitted vehicle" : beforeName}.`);
  return parts.length > 0 && h("p", { class: "soft" }, parts.join(" "));
}

/**
 * @param {Machine} machine
 * @param {string} chosen
 */
function tabs(machine, chosen) {
  const link = (/** @type {typeof TASKS[number]} */ task) => h("a", {
    href: `#${address(machine.ref)}?show=${task.key}`, "aria-current": task.key === chosen && "page",
  }, task.label);
  return h("nav", { class: "tabs", "aria-label": "Tasks" }, ...TASKS.map(link));
}
