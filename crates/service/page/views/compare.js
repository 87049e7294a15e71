// Two to six machines side by side: figures with differences, curves and linkages over one another.

import { get, send } from "../lib/api.js";
import { clear, fresh, h, put } from "../lib/dom.js";
import { figureOf } from "../lib/drawn.js";
import { notice } from "../lib/fault.js";
import { capital, figure } from "../lib/format.js";
import { address, read, written } from "../lib/machines.js";
import { pointWords } from "../lib/points.js";
import { difference, quantityName, table } from "../lib/tables.js";

/** @typedef {import("../lib/machines.js").MachineRef} MachineRef */

export const sheets = ["machine.css"];

const MOST = 6;
const SUBJECTS = ["first", "second", "third", "fourth", "fifth", "sixth"];
const VIEWS = ["front_view", "top_view", "corner_view"];
const CURVES = ["steer_over_lean", "steer_over_lean_2", "error_over_steer", "toe_over_travel", "ratio_over_steer", "contacts_over_lean"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { query, signal }) {
  const given = (query.get("with") ?? "").split(",").filter(Boolean);
  const known = /** @type {MachineRef[]} */ (given.map(read).filter(Boolean));
  const machines = known.slice(0, MOST);
  const every = query.get("every") === "1";
  const body = h("div", {});
  put(place, h("h1", {}, "Compare"), odd(given, known));
  if (machines.length > 0) {
    const pictures = machines.length > 1 ? [...VIEWS, ...CURVES] : [];
    const found = await send("POST", "/v1/comparisons", { candidates: machines, every, pictures }, signal);
    put(place, chosen(machines, found.labels, every));
    if (machines.length > 1) put(body, ...comparison(found, machines, every));
    else put(body, h("p", { class: "note" }, "Add at least one more."));
  } else put(place, h("p", {}, "Choose two to six machines: candidates of any jobs, and versions of saved vehicles."));
  const adder = machines.length < MOST ? await adding(machines, every, signal) : h("p", { class: "soft" }, "Six is the most that stays legible.");
  put(place, adder, body);
  return "Compare";
}

/**
 * What of the address is left out.
 * @param {string[]} given
 * @param {MachineRef[]} known
 */
function odd(given, known) {
  const wrong = given.filter((text) => read(text) === null);
  if (wrong.length > 0) return h("p", { class: "care", role: "alert" }, `No machine is named ${wrong.join(", ")}: write JOB/N for a candidate, VEHICLE@N for a version of a saved vehicle.`);
  return known.length > MOST && h("p", { class: "note" }, `${known.length} machines are named; the first ${MOST} are shown.`);
}

/**
 * @param {MachineRef[]} machines
 * @param {boolean} every
 */
const there = (machines, every) => `#/compare?with=${machines.map(written).join(",")}${every ? "&every=1" : ""}`;

/**
 * @param {MachineRef[]} machines
 * @param {string[]} labels
 * @param {boolean} every
 */
function chosen(machines, labels, every) {
  const item = (/** @type {MachineRef} */ ref, /** @type {number} */ k) => h("li", {}, swatch(k), h("a", { href: `#${address(ref)}` }, capital(labels[k])),
    h("a", { class: "button plain small no-print", href: there(machines.filter((_, other) => other !== k), every), "aria-label": `take away ${labels[k]}` }, "take away"));
  return h("ul", { class: "chosen" }, ...machines.map(item));
}

/** @param {number} k */
const swatch = (k) => h("span", { class: `swatch ink-${SUBJECTS[k % SUBJECTS.length]}`, "aria-hidden": "true" });

/**
 * @param {MachineRef[]} machines
 * @param {boolean} every
 * @param {AbortSignal} signal
 */
async function adding(machines, every, signal) {
  const [jobs, vehicles] = await Promise.all([get("/v1/jobs?state=done&limit=100", signal), get("/v1/vehicles?limit=200", signal)]);
  const fronts = jobs.jobs.filter((/** @type {any} */ job) => job.kind === "search");
  const ids = { of: fresh("of"), number: fresh("number") };
  const number = h("input", { id: ids.number, type: "number", min: 0, max: 999999, value: 0, required: true, size: 6 });
  const label = h("label", { for: ids.number }, "Candidate");
  const of = h("select", { id: ids.of, onchange: () => kind() },
    h("optgroup", { label: "Jobs that are done" }, ...fronts.map((/** @type {any} */ job) => h("option", { value: `job ${job.id}` }, job.name || job.id))),
    h("optgroup", { label: "Saved vehicles" }, ...vehicles.vehicles.map((/** @type {any} */ one) => h("option", { value: `vehicle ${one.id} ${one.newest_version}` }, one.name))));
  if (fronts.length + vehicles.vehicles.length === 0) {
    return h("p", { class: "note" }, "There is no finished job and no saved vehicle yet.");
  }
  const kind = () => {
    const [what, , newest] = of.value.split(" ");
    label.textContent = what === "job" ? "Candidate" : "Version";
    number.min = what === "job" ? "0" : "1";
    number.value = what === "job" ? "0" : newest;
  };
  kind();
  const said = h("div", {});
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const [what, id] = of.value.split(" ");
    const ref = what === "job" ? { job: id, number: number.valueAsNumber } : { vehicle: id, version: number.valueAsNumber };
    try {
      await get(`/v1${address(ref)}`, signal);
      location.hash = there([...machines, ref], every).slice(1);
    } catch (error) {
      clear(said, notice(error));
    }
  };
  return h("form", { class: "no-print adder", onsubmit: submit },
    h("div", { class: "row" }, h("label", { for: ids.of }, "Add from"), of, label, number, h("button", { class: machines.length < 2 ? "main" : "" }, "Add")), said);
}

/**
 * @param {any} found
 * @param {MachineRef[]} machines
 * @param {boolean} every
 */
function comparison(found, machines, every) {
  const [views, curves] = [found.pictures.slice(0, VIEWS.length), found.pictures.slice(VIEWS.length)];
  const other = h("a", { class: "button no-print", href: there(machines, !every) }, every ? "Only what the jobs asked for" : "Every quantity");
  return [
    h("section", {}, h("div", { class: "head" }, h("h2", {}, "Figures"), other), figures(found)),
    h("section", {}, h("h2", {}, "Curves over one another"), h("div", { class: "pictures" }, ...curves.map(figureOf))),
    h("section", {}, h("h2", {}, "Linkages over one another"), h("div", { class: "pictures" }, ...views.map(figureOf))),
    h("section", {}, h("h2", {}, "Points"), hardpoints(found)),
  ];
}

/** @param {any} found */
function figures(found) {
  const heads = ["Quantity", ...found.labels.map(capital)];
  const cell = (/** @type {any} */ row, /** @type {number} */ k) => {
    const broken = row.margins[k] !== null && row.margins[k] < 0;
    const value = h("span", { class: broken ? "broken" : "" }, broken ? "✕ " : "", figure(row.values[k], row.unit));
    return k === 0 ? value : h("span", { class: "with-difference" }, value, h("span", { class: "difference soft small" }, difference(row.differences[k], row.unit)));
  };
  const rows = found.quantities.map((/** @type {any} */ row) => [quantityName(row), ...row.values.map((/** @type {any} */ _, /** @type {number} */ k) => cell(row, k))]);
  const feasible = found.feasible.map((/** @type {boolean | null} */ one) => (one === null ? "–" : one ? "✓ all met" : "✕ not all met"));
  if (found.feasible.some((/** @type {boolean | null} */ one) => one !== null)) rows.unshift(["Requirements", ...feasible]);
  return table(`Below each figure the difference from ${found.labels[0]}; ✕ is beyond its limit`, heads, rows);
}

/** @param {any} found */
function hardpoints(found) {
  if (found.hardpoints.length === 0) return h("p", {}, "All points are in one place.");
  const text = (/** @type {number[] | null} */ p, /** @type {string} */ none) => (p ? p.map((x) => x.toFixed(1).replace("-", "−")).join(", ") : none);
  const moved = (/** @type {number[] | null} */ d) => (d ? d.map((x) => (Math.abs(x) < 0.005 ? "0" : `${x > 0 ? "+" : "−"}${Math.abs(x).toFixed(1)}`)).join(", ") : "–");
  const rows = found.hardpoints.map((/** @type {any} */ row) => [capital(pointWords(row.point)), ...row.positions_mm.map((/** @type {any} */ p, /** @type {number} */ k) =>
    (k === 0 ? text(p, "–") : h("span", { class: "with-difference" }, text(p, "–"), h("span", { class: "difference soft small" }, moved(row.differences_mm[k])))))]);
  return table(`Points that differ, x, y, z in mm; below each the difference from ${found.labels[0]}`, ["Point", ...found.labels.map(capital)], rows);
}
