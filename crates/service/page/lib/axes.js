// Every quantity on an axis of its own, one below the other; each candidate a line through all of them.
// Two grips on each axis set the range that candidates must lie in.

import { clear, h, s } from "./dom.js";
import { withUnit } from "./format.js";
import { heading, limits } from "./front_data.js";
import { inks, redrawn, sized } from "./ink.js";
import { at, scaleOf, stepText } from "./scale.js";

/** @typedef {import("./front_data.js").Column} Column */
/** @typedef {import("./selection.js").Selection} Selection */
/** @typedef {import("./scale.js").Scale} Scale */

const ROW = 68;
const TOP = 36;
const SIDE = 14;
const FINE = 100;

export class Axes {
  /**
   * @param {Selection} selection
   * @param {number[]} shown Columns, from the top.
   * @param {AbortSignal} signal
   */
  constructor(selection, shown, signal) {
    this.selection = selection;
    this.shown = shown;
    this.canvas = h("canvas", { class: "plot-canvas", role: "img" });
    this.lines = s("svg", { class: "plot-axes", "aria-hidden": "true" });
    this.grips = h("div", { class: "grips" });
    this.place = h("div", { class: "plot axes" }, this.canvas, this.lines, this.grips);
    this.scales = selection.table.columns.map((column) => scaleOf(reached(column)));
    this.width = 0;
    this.queued = false;
    for (const change of ["ranges", "pointed", "kept"]) {
      selection.addEventListener(change, () => this.soon(change === "ranges"), { signal });
    }
    redrawn(this.place, () => this.draw(), signal);
    this.hear();
  }

  /** @param {number[]} shown */
  show(shown) {
    this.shown = shown;
    this.draw();
  }

  /**
   * Draws once before the next frame, however many changes there were.
   * @param {boolean} ranges
   */
  soon(ranges) {
    if (ranges) this.settle();
    if (this.queued) return;
    this.queued = true;
    requestAnimationFrame(() => {
      this.queued = false;
      this.threads();
    });
  }

  draw() {
    if (this.place.clientWidth === 0) return;
    this.width = this.place.clientWidth;
    this.height = TOP + ROW * this.shown.length - 14;
    this.threads();
    this.frame();
    this.handles();
  }

  /**
   * Where a value lies across, in pixels.
   * @param {number} column
   * @param {number} value
   */
  left(column, value) {
    return SIDE + at(this.scales[column], value) * (this.width - 2 * SIDE);
  }

  /** @param {number} place */
  top(place) {
    return TOP + ROW * place;
  }

  /** The lines of the candidates: those outside the ranges first and faint. */
  threads() {
    const { selection, width } = this;
    if (width === 0) return;
    const context = sized(this.canvas, width, this.height ?? 0);
    const colours = inks(this.place);
    const { inside, table, kept, pointed } = selection;
    const every = Array.from({ length: table.size }, (_, i) => i);
    const few = selection.count < 60;
    this.stroke(context, every.filter((i) => !inside[i]), colours.grid, 1, 0.7);
    this.stroke(context, every.filter((i) => inside[i] && table.marks[i] !== "broken"), colours.first, 1, few ? 0.8 : selection.count < 400 ? 0.35 : 0.12);
    this.stroke(context, every.filter((i) => inside[i] && table.marks[i] === "broken"), colours.limit, 1, 0.9);
    this.reference(context, colours.reference);
    this.stroke(context, [...kept], colours.second, 2.5, 1);
    if (pointed !== null) this.stroke(context, [pointed], colours.text, 2.5, 1);
    this.canvas.setAttribute("aria-label",
      `${table.size} candidates over ${this.shown.length} quantities, ${selection.count} inside the ranges. The table holds the same.`);
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {Iterable<number>} candidates
   * @param {string} colour
   * @param {number} thick
   * @param {number} alpha
   */
  stroke(context, candidates, colour, thick, alpha) {
    const { columns } = this.selection.table;
    context.beginPath();
    for (const i of candidates) {
      this.shown.forEach((column, place) => {
        const x = this.left(column, columns[column].values[i]);
        if (!Number.isFinite(x)) return;
        if (place === 0) context.moveTo(x, this.top(0));
        else context.lineTo(x, this.top(place));
      });
    }
    context.globalAlpha = alpha;
    context.lineWidth = thick;
    context.strokeStyle = colour;
    context.stroke();
    context.globalAlpha = 1;
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {string} colour
   */
  reference(context, colour) {
    const { columns } = this.selection.table;
    context.beginPath();
    context.setLineDash([6, 4]);
    let begun = false;
    this.shown.forEach((column, place) => {
      const { submitted } = columns[column];
      if (submitted === null) return;
      const x = this.left(column, submitted);
      if (begun) context.lineTo(x, this.top(place));
      else context.moveTo(x, this.top(place));
      begun = true;
    });
    context.lineWidth = 2;
    context.strokeStyle = colour;
    context.stroke();
    context.setLineDash([]);
  }

  frame() {
    const { columns } = this.selection.table;
    this.lines.setAttribute("viewBox", `0 0 ${this.width} ${this.height}`);
    clear(this.lines, hatch(), ...this.shown.map((column, place) => this.axis(columns[column], column, place)));
  }

  /**
   * @param {Column} one
   * @param {number} column
   * @param {number} place
   */
  axis(one, column, place) {
    const scale = this.scales[column];
    const y = this.top(place);
    const [start, end] = [SIDE, this.width - SIDE];
    const wish = one.better === "small" ? "← better" : one.better === "large" ? "better →" : limits(one);
    const note = [one.note, wish].filter(Boolean).join(" · ");
    return s("g", {},
      s("line", { x1: start, x2: end, y1: y, y2: y, class: "s-rule" }),
      ...this.barred(one, column, y),
      ...scale.steps.map((step) => s("g", {},
        s("line", { x1: this.left(column, step), x2: this.left(column, step), y1: y, y2: y + 4, class: "s-rule" }),
        s("text", { x: this.left(column, step), y: y + 16, "text-anchor": "middle", class: "halo" }, stepText(scale, step)))),
      s("text", { x: start - 8, y: y - 12, class: "halo" }, s("tspan", { class: "axis-name" }, heading(one)), note && s("tspan", { dx: 8 }, note)));
  }

  /**
   * The part of an axis that a requirement forbids.
   * @param {Column} one
   * @param {number} column
   * @param {number} y
   */
  barred(one, column, y) {
    const { low, high } = this.scales[column];
    const part = (/** @type {number} */ from, /** @type {number} */ to) => {
      const [a, b] = [this.left(column, Math.max(low, from)), this.left(column, Math.min(high, to))];
      return b > a && s("rect", { x: a, y: y - 6, width: b - a, height: 12, fill: "url(#barred)" });
    };
    const parts = [one.atMost !== undefined && part(one.atMost, high), one.atLeast !== undefined && part(low, one.atLeast)];
    return parts.filter((found) => found instanceof Element);
  }

  handles() {
    const { columns } = this.selection.table;
    clear(this.grips, ...this.shown.flatMap((column, place) =>
      /** @type {("low" | "high")[]} */ (["low", "high"]).map((end) => {
        const grip = h("div", {
          class: `grip ${end}`, role: "slider", tabindex: 0, "data-column": column, "data-end": end,
          "aria-label": `${heading(columns[column])}, ${end === "low" ? "at least" : "at most"}`,
          "aria-valuemin": this.scales[column].low, "aria-valuemax": this.scales[column].high,
        });
        grip.style.setProperty("--top", `${this.top(place)}px`);
        return grip;
      })));
    this.settle();
  }

  /** Puts the grips where the ranges are. */
  settle() {
    for (const grip of /** @type {NodeListOf<HTMLElement>} */ (this.grips.querySelectorAll(".grip"))) {
      const { column, end } = spotOf(grip);
      const range = this.selection.ranges.get(column);
      const { low, high } = this.scales[column];
      const value = range ? range[end === "low" ? 0 : 1] : end === "low" ? low : high;
      const held = Math.min(high, Math.max(low, value));
      grip.style.setProperty("--left", `${this.left(column, held)}px`);
      grip.classList.toggle("set", range !== undefined && value > low && value < high);
      grip.setAttribute("aria-valuenow", String(held));
      grip.setAttribute("aria-valuetext", withUnit(held, this.selection.table.columns[column].unit));
    }
  }

  hear() {
    /** @type {HTMLElement | null} */
    let held = null;
    this.grips.addEventListener("pointerdown", (event) => {
      held = /** @type {HTMLElement} */ (event.target).closest(".grip");
      held?.setPointerCapture(event.pointerId);
    });
    this.grips.addEventListener("pointermove", (event) => {
      if (held) this.pull(held, event.clientX - this.place.getBoundingClientRect().left);
    });
    this.grips.addEventListener("pointerup", () => (held = null));
    this.grips.addEventListener("dblclick", (event) => {
      const grip = /** @type {HTMLElement} */ (event.target).closest(".grip");
      if (grip instanceof HTMLElement) this.selection.range(spotOf(grip).column, null);
    });
    this.grips.addEventListener("keydown", (event) => this.press(event));
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    const grip = /** @type {HTMLElement} */ (event.target);
    const { column, end } = spotOf(grip);
    const { low, high } = this.scales[column];
    const now = Number(grip.getAttribute("aria-valuenow"));
    const step = (high - low) / FINE;
    /** @type {Record<string, number>} */
    const to = {
      ArrowRight: now + step, ArrowUp: now + step, ArrowLeft: now - step, ArrowDown: now - step,
      PageUp: now + 10 * step, PageDown: now - 10 * step, Home: low, End: high,
    };
    if (event.key === "Escape") this.selection.range(column, null);
    else if (event.key in to) this.limit(column, end, to[event.key]);
    else return;
    event.preventDefault();
  }

  /**
   * @param {HTMLElement} grip
   * @param {number} left
   */
  pull(grip, left) {
    const { column, end } = spotOf(grip);
    const { low, high } = this.scales[column];
    this.limit(column, end, low + ((left - SIDE) / (this.width - 2 * SIDE)) * (high - low));
  }

  /**
   * @param {number} column
   * @param {"low" | "high"} end
   * @param {number} value
   */
  limit(column, end, value) {
    const { low, high } = this.scales[column];
    const range = this.selection.ranges.get(column) ?? [low, high];
    const [from, to] = [Math.max(low, range[0]), Math.min(high, range[1])];
    const [a, b] = end === "low" ? [Math.min(value, to), to] : [from, Math.max(value, from)];
    this.selection.range(column, a <= low && b >= high ? null : [a <= low ? -Infinity : a, b >= high ? Infinity : b]);
  }
}

/** Hatching for what is not allowed. */
const hatch = () => s("defs", {}, s("pattern", { id: "barred", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
  s("line", { x1: 0, x2: 0, y1: 0, y2: 5, class: "s-limit", "stroke-width": 2.5 })));

/** @param {HTMLElement} grip */
const spotOf = (grip) => ({
  column: Number(grip.dataset.column), end: /** @type {"low" | "high"} */ (grip.dataset.end),
});

/** @param {Column} column */
function* reached({ values, submitted }) {
  yield* values;
  if (submitted !== null) yield submitted;
}
