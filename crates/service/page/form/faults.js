// The faults of a problem document at the fields they are about.

import { clear, fresh, h } from "../lib/dom.js";

/** @typedef {import("../lib/types.js").InputFault} InputFault */

/** @param {HTMLElement} form */
export function forget(form) {
  for (const text of form.querySelectorAll(".fault")) text.remove();
  for (const control of form.querySelectorAll("[aria-invalid]")) {
    control.removeAttribute("aria-invalid");
    const ids = (control.getAttribute("aria-describedby") ?? "").split(" ").filter((id) => !id.startsWith("fault-"));
    control.setAttribute("aria-describedby", ids.join(" "));
  }
}

/**
 * Puts each fault at its field, or at the nearest part around it, and lists them all in `summary`
 * with a way to each.
 * @param {HTMLElement} form
 * @param {HTMLElement} summary
 * @param {InputFault[]} faults
 * @param {string} detail
 */
export function place(form, summary, faults, detail) {
  forget(form);
  const items = faults.map((fault) => {
    const where = placeOf(form, fault.pointer);
    const control = where && mark(where, fault);
    return h("li", {}, h("button", { type: "button", class: "plain", onclick: () => reach(control ?? where) }, fault.pointer || "The whole file"), ` ${sentence(fault)}`);
  });
  const title = faults.length === 0 ? detail : faults.length === 1 ? "One fault" : `${faults.length} faults`;
  clear(summary, h("div", { class: "care", role: "alert" }, h("p", {}, title), items.length > 0 && h("ul", {}, ...items)));
}

/** @param {InputFault} fault */
function sentence({ message, allowed, value }) {
  const stands = value === null || value === undefined ? "" : `; it is ${JSON.stringify(value).slice(0, 60)}`;
  return `${message}${stands}; allowed: ${allowed}`;
}

/**
 * @param {HTMLElement} form
 * @param {string} pointer
 * @returns {HTMLElement | null}
 */
function placeOf(form, pointer) {
  for (let rest = pointer; rest !== ""; rest = rest.slice(0, rest.lastIndexOf("/"))) {
    const found = form.querySelector(`[data-pointer="${CSS.escape(rest)}"]`);
    if (found instanceof HTMLElement) return found;
  }
  return null;
}

/**
 * @param {HTMLElement} where
 * @param {InputFault} fault
 */
function mark(where, fault) {
  const id = fresh("fault");
  const single = where.matches("input, select");
  const leaf = single || where.classList.contains("field");
  const control = leaf ? (single ? where : where.querySelector("input, select")) : null;
  const text = h("p", { class: "fault", id }, sentence(fault));
  if (control instanceof HTMLElement) {
    control.setAttribute("aria-invalid", "true");
    control.setAttribute("aria-describedby", `${control.getAttribute("aria-describedby") ?? ""} ${id}`.trim());
    (where.closest(".control") ?? where.querySelector(".control") ?? where).append(text);
    return control;
  }
  const legend = where.querySelector(":scope > legend, :scope > summary");
  if (legend) legend.after(text);
  else where.prepend(text);
  return where;
}

/** @param {HTMLElement | null} where */
function reach(where) {
  for (let around = where?.closest("details"); around; around = around.parentElement?.closest("details")) around.open = true;
  if (!where) return;
  if (!where.matches("input, select, button")) where.tabIndex = -1;
  where.focus();
  where.scrollIntoView({ block: "center" });
}
