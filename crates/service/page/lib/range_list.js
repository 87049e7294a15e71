// The ranges that are set, each with a way to take it back, and a form to set one in numbers.

import { clear, fresh, h } from "./dom.js";
import { withUnit } from "./format.js";
import { heading } from "./front_data.js";

/** @typedef {import("./selection.js").Selection} Selection */

/**
 * @param {Selection} selection
 * @param {AbortSignal} signal
 */
export function rangeList(selection, signal) {
  const list = h("ul", { class: "chips", "aria-label": "Ranges" });
  const count = h("p", { class: "count", role: "status" });
  const draw = () => {
    const { ranges, table } = selection;
    count.textContent = ranges.size === 0 && selection.layout === null ? `${table.size} ${table.size === 1 ? "candidate" : "candidates"}` : `${selection.count} of ${table.size} candidates lie inside${ranges.size > 0 ? " the ranges" : ""}`;
    clear(list, ...[...ranges].map(([column, range]) => h("li", {},
      h("button", { type: "button", class: "chip", "aria-label": `${text(selection, column, range)}: take this range away`, onclick: () => selection.range(column, null) },
        text(selection, column, range), h("span", { "aria-hidden": "true" }, "×")))),
    ranges.size > 1 && h("li", {}, h("button", { type: "button", class: "plain", onclick: () => selection.clear() }, "Take all away")));
  };
  selection.addEventListener("ranges", draw, { signal });
  draw();
  return h("div", { class: "range-list tools" }, count, list, form(selection));
}

/**
 * @param {Selection} selection
 * @param {number} column
 * @param {[number, number]} range
 */
function text({ table }, column, [low, high]) {
  const { label, unit } = table.columns[column];
  if (low === -Infinity) return `${label} at most ${withUnit(high, unit)}`;
  if (high === Infinity) return `${label} at least ${withUnit(low, unit)}`;
  return `${label} ${withUnit(low, unit)} to ${withUnit(high, unit)}`;
}

/** @param {Selection} selection */
function form(selection) {
  const [column, low, high] = [fresh("column"), fresh("low"), fresh("high")];
  const select = h("select", { id: column }, ...selection.table.columns.map((one, i) => h("option", { value: i }, heading(one))));
  const from = h("input", { id: low, type: "number", step: "any", class: "short" });
  const to = h("input", { id: high, type: "number", step: "any", class: "short" });
  const set = (/** @type {Event} */ event) => {
    event.preventDefault();
    const [a, b] = [from.value === "" ? -Infinity : Number(from.value), to.value === "" ? Infinity : Number(to.value)];
    selection.range(Number(select.value), a === -Infinity && b === Infinity ? null : [Math.min(a, b), Math.max(a, b)]);
  };
  return h("details", {}, h("summary", {}, "Set a range in numbers"),
    h("form", { class: "row", onsubmit: set },
      h("label", { for: column, class: "sr" }, "Quantity"), select,
      h("label", { for: low }, "from"), from, h("label", { for: high }, "to"), to, h("button", {}, "Set")));
}
