// Why a job found nothing feasible.

import { h } from "./dom.js";
import { count, words } from "./format.js";

/** @param {NonNullable<import("./types.js").Front["blocks"]>} blocks */
export function blocked({ not_assembled: apart, requirements }) {
  return h("section", { class: "note" },
    h("h2", {}, "No candidate met every requirement"),
    h("p", {}, "The candidate shown is the nearest miss. What stood in the way:"),
    h("div", { class: "wide", tabindex: 0, role: "region", "aria-label": "What stood in the way" }, h("table", {},
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Requirement"), h("th", { scope: "col", class: "n" }, "failed"), h("th", { scope: "col", class: "n" }, "failed alone"))),
      h("tbody", {}, ...requirements.map((row) => h("tr", {}, h("th", { scope: "row" }, readable(row.requirement)), h("td", { class: "n" }, count(row.failed)), h("td", { class: "n" }, count(row.failed_alone))))))),
    apart > 0 && h("p", {}, `${count(apart)} could not be assembled at all.`));
}

/**
 * A requirement in words: names of quantities as everywhere on the page.
 * @param {string} text
 */
const readable = (text) => text.replace(/[a-z0-9]+(_[a-z0-9]+)+/g, words).replace(/ deg\b/g, "°");
