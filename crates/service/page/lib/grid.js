// The candidates as a table that sorts; only the rows in sight are made, so thousands cost no more.

import { clear, h } from "./dom.js";
import { figure } from "./format.js";
import { heading } from "./front_data.js";
import { MARKS, shape } from "./marks.js";

/** @typedef {import("./selection.js").Selection} Selection */

const ROW = 36;
const MARGIN = 8;
const MOST_PRINTED = 500;

export class Grid {
  /**
   * @param {Selection} selection
   * @param {number[]} shown
   * @param {(name: number) => string} address
   * @param {AbortSignal} signal
   */
  constructor(selection, shown, address, signal) {
    this.selection = selection;
    this.shown = shown;
    this.address = address;
    this.sorted = { column: -1, down: false };
    this.outside = false;
    this.current = 0;
    /** @type {number[]} */
    this.rows = [];
    this.several = selection.table.layouts.length > 1;
    this.head = h("thead", {});
    this.body = h("tbody", {});
    this.caption = h("caption", {});
    this.table = h("table", { class: "grid" }, this.caption, this.head, this.body);
    this.place = h("div", { class: "grid-window", tabindex: 0, role: "region", "aria-label": "Table of candidates" }, this.table);
    this.place.addEventListener("scroll", () => this.fill());
    this.place.addEventListener("keydown", (event) => this.press(event));
    new ResizeObserver(() => this.fill()).observe(this.place);
    matchMedia("print").addEventListener("change", () => this.fill(), { signal });
    selection.addEventListener("ranges", () => this.sort(), { signal });
    selection.addEventListener("kept", () => this.fill(), { signal });
    selection.addEventListener("pointed", () => this.mark(), { signal });
    this.top();
    this.sort();
  }

  /** @param {number[]} shown */
  show(shown) {
    this.shown = shown;
    this.top();
    this.fill();
  }

  /** The row of heads. */
  top() {
    const { columns } = this.selection.table;
    const sorter = (/** @type {number} */ column, /** @type {string} */ text, /** @type {string} */ note) => {
      const { column: by, down } = this.sorted;
      const state = by === column ? (down ? "descending" : "ascending") : "none";
      return h("th", { scope: "col", class: column < 0 ? "" : "n", "aria-sort": state },
        h("button", { type: "button", class: "sorter", onclick: () => this.by(column) }, text,
          h("span", { "aria-hidden": "true", class: "way" }, by === column ? (down ? "▼" : "▲") : "")),
        note && h("span", { class: "soft small" }, note));
    };
    clear(this.head, h("tr", {}, sorter(-1, "Number", ""), sorter(-2, "What", ""), this.several && sorter(-3, "Layout", ""),
      ...this.shown.map((column) => sorter(column, heading(columns[column]), columns[column].note))), this.reference());
  }

  /** The submitted vehicle, which stays in sight. */
  reference() {
    const { columns } = this.selection.table;
    return h("tr", { class: "reference" }, h("th", { scope: "row", colspan: this.several ? 3 : 2 }, h("span", { class: "state" }, shape("submitted"), "submitted")),
      ...this.shown.map((column) => cell(columns[column], columns[column].submitted)));
  }

  /** @param {number} column */
  by(column) {
    const same = this.sorted.column === column;
    this.sorted = { column, down: same ? !this.sorted.down : columnIsBetterLarge(this.selection, column) };
    const held = this.head.contains(document.activeElement);
    this.top();
    this.sort();
    if (held) /** @type {HTMLElement | null} */ (this.head.querySelector("[aria-sort]:not([aria-sort=none]) button"))?.focus();
  }

  sort() {
    const { table, inside } = this.selection;
    const { column, down } = this.sorted;
    const value = (/** @type {number} */ i) => (column === -3 ? table.of[i] : column === -2 ? -weight(table, i) : column < 0 ? i : table.columns[column].values[i]);
    const rows = Array.from({ length: table.size }, (_, i) => i).filter((i) => this.outside || inside[i]);
    // Those that break a requirement stand apart, behind the others; no number comes last.
    const broken = (/** @type {number} */ i) => Number(table.marks[i] === "broken");
    const order = (/** @type {number} */ a, /** @type {number} */ b) => {
      const [x, y] = [value(a), value(b)];
      if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y));
      return down ? y - x : x - y;
    };
    this.rows = rows.sort((a, b) => broken(a) - broken(b) || order(a, b) || a - b);
    this.current = Math.min(this.current, Math.max(0, this.rows.length - 1));
    this.fill();
  }

  /** From which row to which; on paper nothing can be scrolled. */
  sight() {
    if (matchMedia("print").matches) return { first: 0, last: Math.min(this.rows.length, MOST_PRINTED) };
    const seen = this.place.clientHeight || 400;
    const first = Math.max(0, Math.floor(this.place.scrollTop / ROW) - MARGIN);
    return { first, last: Math.min(this.rows.length, first + Math.ceil(seen / ROW) + 2 * MARGIN) };
  }

  /** Makes the rows in sight. */
  fill() {
    const { first, last } = this.sight();
    const held = this.body.contains(document.activeElement);
    const blank = (/** @type {number} */ rows) => {
      const row = h("tr", { "aria-hidden": "true", class: "blank" });
      row.style.setProperty("block-size", `${rows * ROW}px`);
      return rows > 0 && row;
    };
    const made = this.rows.slice(first, last).map((index, i) => this.row(index, first + i));
    const scrolled = this.place.scrollTop;
    clear(this.body, blank(first), ...made, !matchMedia("print").matches && blank(this.rows.length - last));
    // Where the focused row goes, the browser lays out the empty body and scrolls back to its top.
    this.place.scrollTop = scrolled;
    this.table.setAttribute("aria-rowcount", String(this.rows.length + 1));
    this.caption.textContent = this.rows.length === 0 ? "No candidate lies inside the ranges." : "";
    if (held) this.focus();
  }

  /**
   * @param {number} index
   * @param {number} place
   */
  row(index, place) {
    const { table, kept, inside, pointed } = this.selection;
    const name = table.names[index];
    const reach = place === this.current ? 0 : -1;
    const box = h("input", {
      type: "checkbox", checked: kept.has(index), tabindex: reach, "aria-label": `Keep ${name} to compare`,
      onchange: () => this.selection.keep(index),
    });
    const link = h("a", { href: this.address(name), tabindex: reach }, String(name));
    return h("tr", {
      class: [inside[index] ? "" : "outside", pointed === index ? "pointed" : ""].join(" ").trim() || null, "data-index": index, "aria-rowindex": place + 2,
      onpointerenter: () => this.selection.point(index), onfocusin: () => this.selection.point(index),
    }, h("th", { scope: "row" }, h("span", { class: "row" }, box, link)), h("td", {}, this.what(index)), this.several && h("td", {}, table.layouts[table.of[index]]),
    ...this.shown.map((column) => cell(table.columns[column], table.columns[column].values[index])));
  }

  /** @param {number} index */
  what(index) {
    const mark = this.selection.table.marks[index];
    const near = this.selection.table.near[index];
    if (mark === "dot") return "";
    return h("span", { class: "state" }, shape(mark), near ? `nearest ${near}` : mark === "broken" ? "infeasible" : MARKS[mark].words);
  }

  /** Shows which row is looked at elsewhere. */
  mark() {
    for (const row of /** @type {NodeListOf<HTMLElement>} */ (this.body.querySelectorAll("[data-index]"))) {
      row.classList.toggle("pointed", Number(row.dataset.index) === this.selection.pointed);
    }
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (!this.body.contains(document.activeElement)) return;
    const page = Math.max(1, Math.floor(this.place.clientHeight / ROW) - 2);
    /** @type {Record<string, number>} */
    const to = {
      ArrowDown: this.current + 1, ArrowUp: this.current - 1, PageDown: this.current + page, PageUp: this.current - page,
      Home: 0, End: this.rows.length - 1,
    };
    if (!(event.key in to)) return;
    event.preventDefault();
    this.current = Math.min(this.rows.length - 1, Math.max(0, to[event.key]));
    const top = this.current * ROW;
    const head = this.head.offsetHeight;
    const seen = this.place.clientHeight - head - 2 * ROW;
    if (top < this.place.scrollTop) this.place.scrollTop = top;
    else if (top > this.place.scrollTop + seen) this.place.scrollTop = top - seen;
    this.fill();
    this.focus();
  }

  focus() {
    const row = this.body.querySelector(`[data-index="${this.rows[this.current]}"]`);
    /** @type {HTMLElement | null} */ (row?.querySelector("a") ?? row?.querySelector("input") ?? null)?.focus({ preventScroll: true });
  }
}

/**
 * A value, marked where it breaks a limit. A miss within rounding is none.
 * @param {import("./front_data.js").Column} column
 * @param {number | null} value
 */
function cell({ unit, atMost = Infinity, atLeast = -Infinity }, value) {
  const room = 1e-9 * Math.max(1, Math.abs(value ?? 0));
  const broken = value !== null && (value > atMost + room || value < atLeast - room);
  const mark = broken && h("span", { class: "broken" }, h("span", { "aria-hidden": "true" }, "! "), h("span", { class: "sr" }, "breaks the limit: "));
  return h("td", { class: "n" }, mark, figure(value, unit));
}

/**
 * @param {Selection} selection
 * @param {number} column
 */
const columnIsBetterLarge = (selection, column) => column >= 0 && selection.table.columns[column].better === "large";

/**
 * What is marked matters more: the nearest to the aspirations first, then knees.
 * @param {import("./front_data.js").Table} table
 * @param {number} index
 */
function weight(table, index) {
  const near = table.near[index];
  return near ? 10 - near : table.marks[index] === "knee" ? 1 : 0;
}
