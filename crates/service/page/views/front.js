// The front of a finished job: plots, axes and a table over one selection.

import { get } from "../lib/api.js";
import { Axes } from "../lib/axes.js";
import { blocked } from "../lib/blocked.js";
import { clear, h, put } from "../lib/dom.js";
import { notice } from "../lib/fault.js";
import { count as whole, withUnit } from "../lib/format.js";
import { heading, loadArchive, loadFront } from "../lib/front_data.js";
import { Grid } from "../lib/grid.js";
import { jobHead } from "../lib/job_head.js";
import { Kept } from "../lib/kept.js";
import { key } from "../lib/marks.js";
import { rangeList } from "../lib/range_list.js";
import { Scatter } from "../lib/scatter.js";
import { Selection } from "../lib/selection.js";
import { table } from "../lib/tables.js";

/** @typedef {import("../lib/front_data.js").Table} Table */
/** @typedef {import("../lib/types.js").Job} Job */

export const sheets = ["plots.css", "front.css"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { words: { id }, query, signal }) {
  /** @type {[Job, Awaited<ReturnType<typeof loadFront>>]} */
  const [job, loaded] = await Promise.all([get(`/v1/jobs/${id}`, signal), loadFront(id, signal)]);
  const { front, submitted, chosen, freedoms } = loaded;
  const body = h("div", {});
  const said = h("div", {});
  const whole = query.get("archive") !== null;
  /** @type {Promise<Table> | null} */
  let archive = null;
  let wanted = false;
  const open = async (/** @type {boolean} */ all) => {
    wanted = all;
    history.replaceState(null, "", `#/jobs/${id}/front${all ? "?archive" : ""}`);
    for (const [i, button] of choice.querySelectorAll("button").entries()) button.setAttribute("aria-pressed", String(all === (i === 1)));
    if (!all) return linked(body, chosen, job, signal);
    clear(said, h("p", { class: "soft", role: "status" }, "Computing the archive …"));
    try {
      archive ??= loadArchive(id, front, submitted, freedoms, signal);
      const all = await archive;
      clear(said);
      if (wanted) linked(body, all, job, signal);
    } catch (error) {
      archive = null;
      clear(said, notice(error));
    }
  };
  const choice = h("div", { class: "row tools", role: "group", "aria-label": "Which candidates" },
    h("button", { type: "button", onclick: () => void open(false) }, `Chosen ${chosen.size}`),
    h("button", { type: "button", onclick: () => void open(true) }, `Whole archive, ${front.archive.length}`));
  put(place, jobHead(job, "Front"), front.blocks && blocked(front.blocks), searchedLayouts(front), front.archive.length > 0 && choice, said, body);
  await open(whole && front.archive.length > 0);
  return `Front of ${job.name || id}`;
}

/**
 * What was spent on each layout and what came of it, with what a look before the search had found.
 * @param {import("../lib/types.js").Front} front
 */
function searchedLayouts({ layouts = [], candidates, archive, findings }) {
  if (layouts.length < 2) return null;
  const count = (/** @type {{ layout?: number }[]} */ rows, /** @type {number} */ place) => rows.filter(({ layout }) => layout === place).length;
  const rows = layouts.map(({ name, evaluations, feasible }, place) =>
    [name, whole(evaluations), feasible === 0 ? "none" : whole(feasible), whole(count(archive, place)), whole(count(candidates, place))]);
  const none = layouts.some(({ feasible }) => feasible === 0) ? findings.filter(({ message }) => message) : [];
  return h("section", {}, table("Layouts that were searched side by side", ["Layout", "Evaluations", "Met every requirement", "Beaten by no other", "Chosen"], rows),
    none.length > 0 && h("ul", { class: "small" }, ...none.map(({ message }) => h("li", {}, `${message}.`))));
}

/** What the views before this one were told to stop by. */
let before = new AbortController();

/**
 * Plots, axes and table over one table of candidates.
 * @param {HTMLElement} place
 * @param {Table} table
 * @param {Job} job
 * @param {AbortSignal} visit
 */
function linked(place, table, job, visit) {
  before.abort();
  before = new AbortController();
  const signal = AbortSignal.any([visit, before.signal]);
  const selection = new Selection(table);
  const shown = shownOf(table, false);
  const axes = new Axes(selection, shown, signal);
  const grid = new Grid(selection, shown, (number) => `#/jobs/${job.id}/candidates/${number}`, signal);
  const offsets = h("input", { type: "checkbox", id: "offsets", onchange: () => {
    axes.show(shownOf(table, offsets.checked));
    grid.show(shownOf(table, offsets.checked));
  } });
  const goals = table.columns.filter(({ kind }) => kind === "goal").length;
  clear(place,
    h("div", { class: "linked" },
      goals > 1 && cloud(selection, signal),
      h("section", { class: "axes-side" }, h("h2", {}, "Goals and requirements"), axes.place,
        h("p", { class: "small soft no-print" }, "Drag the ends of an axis to keep only candidates between them. The dashed line is the submitted vehicle; hatched parts are not allowed."))),
    table.layouts.length > 1 && layoutChoice(selection, signal),
    rangeList(selection, signal),
    new Kept(selection, job, signal).place,
    h("p", { class: "row tools" }, offsets, h("label", { for: "offsets" }, "Show how far each coordinate moved")),
    grid.place);
}

/**
 * Only the candidates of one layout, or all.
 * @param {Selection} selection
 * @param {AbortSignal} signal
 */
function layoutChoice(selection, signal) {
  const { layouts, of } = selection.table;
  const count = (/** @type {number} */ place) => of.filter((one) => one === place).length;
  const select = h("select", { id: "layout", onchange: () => selection.only(select.value === "" ? null : Number(select.value)) },
    h("option", { value: "" }, `all, ${of.length}`), ...layouts.map((name, place) => h("option", { value: place }, `${name}, ${count(place)}`)));
  selection.addEventListener("ranges", () => (select.value = selection.layout === null ? "" : String(selection.layout)), { signal });
  return h("p", { class: "row tools no-print" }, h("label", { for: "layout" }, "Layout"), select);
}

/**
 * @param {Table} table
 * @param {boolean} offsets
 */
const shownOf = (table, offsets) =>
  table.columns.map((_, i) => i).filter((i) => offsets || table.columns[i].kind !== "freedom");

/**
 * Candidates over two quantities of the reader's choice.
 * @param {Selection} selection
 * @param {AbortSignal} signal
 */
function cloud(selection, signal) {
  const { table } = selection;
  const sides = [0, 1];
  const scatter = new Scatter({
    name: "Candidates", signal,
    point: (index) => selection.point(index !== null && index < table.size ? index : null),
    pick: (index) => index < table.size && selection.keep(index),
    frame: (x, y) => {
      selection.range(sides[0], x);
      selection.range(sides[1], y);
    },
  });
  // The submitted vehicle is one more point behind the candidates, left out where it would press them
  // together, unless the reader wants it.
  let far = false;
  const submitted = h("input", { type: "checkbox", id: "with-submitted", onchange: () => draw() });
  const other = h("label", { for: "with-submitted" }, "With the submitted vehicle");
  const draw = () => {
    const [x, y] = sides.map((i) => table.columns[i]);
    const shown = !far || submitted.checked;
    scatter.set({
      x, y, xs: [...x.values, shown ? x.submitted ?? NaN : NaN], ys: [...y.values, shown ? y.submitted ?? NaN : NaN],
      marks: [...selection.marks(), "submitted"], order: [table.size, ...selection.order()], ring: selection.pointed ?? undefined,
    });
  };
  const turn = () => {
    far = sides.some((i) => liesFar(table.columns[i]));
    submitted.hidden = !far;
    other.hidden = !far;
    draw();
  };
  let queued = false;
  const mark = () => {
    if (queued) return;
    queued = true;
    requestAnimationFrame(() => {
      queued = false;
      scatter.mark([...selection.marks(), "submitted"], selection.pointed ?? undefined, [table.size, ...selection.order()]);
    });
  };
  for (const change of ["ranges", "kept", "pointed"]) selection.addEventListener(change, mark, { signal });
  const pick = (/** @type {string} */ label, /** @type {0 | 1} */ at) => {
    const select = h("select", { "aria-label": label, onchange: () => {
      sides[at] = Number(select.value);
      turn();
    } }, ...table.columns.map((column, i) => h("option", { value: i, selected: sides[at] === i }, heading(column))));
    return select;
  };
  turn();
  const told = h("p", { class: "told small no-print", "aria-live": "polite" });
  const tell = () => (told.textContent = described(selection));
  selection.addEventListener("pointed", tell, { signal });
  tell();
  /** @type {import("../lib/marks.js").Mark[]} */
  const marks = ["dot", "knee", "near", "broken", "submitted", "kept"];
  const seen = marks.filter((mark) => ["submitted", "kept"].includes(mark) || table.marks.includes(mark));
  return h("section", { class: "cloud-side" },
    h("h2", {}, "Two against each other"),
    h("div", { class: "row tools" }, pick("Upright", 1), h("span", {}, "over"), pick("Across", 0)),
    scatter.place, h("p", { class: "row small tools" }, submitted, other), told, key(seen));
}

/**
 * Whether the submitted vehicle lies further from the candidates than they lie apart.
 * @param {import("../lib/front_data.js").Column} column
 */
function liesFar({ values, submitted }) {
  const known = values.filter(Number.isFinite);
  if (submitted === null || known.length < 2) return false;
  const [low, high] = [Math.min(...known), Math.max(...known)];
  return submitted < low - (high - low) || submitted > high + (high - low);
}

/** @param {Selection} selection */
function described({ table, pointed }) {
  if (pointed === null) return "Point at a candidate to see it in all views; click keeps it to compare; drag sets a range.";
  const goals = table.columns.filter(({ kind }) => kind === "goal");
  const layout = table.layouts.length > 1 ? `, ${table.layouts[table.of[pointed]]}` : "";
  return `Candidate ${table.names[pointed]}${layout}: ${goals.map(({ label, values, unit }) => `${label.toLowerCase()} ${withUnit(values[pointed], unit)}`).join(", ")}`;
}
