// Every quantity on an axis of its own, one below the other; each candidate a line through all of them.
// Two grips on each axis set the range that candidates must lie in.

import { clear, h, s } from "./dom.js";
import { heading, limits } from "./front_data.js";
import { Grips } from "./grips.js";
import { inks, redrawn, sized } from "./ink.js";
import { at, scaleOf, stepText } from "./scale.js";

/** @typedef {import("./front_data.js").Column} Column */
/** @typedef {import("./selection.js").Selection} Selection */
/** @typedef {import("./scale.js").Scale} Scale */

const ROW = 68;
const TOP = 36;
export const SIDE = 14;

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
    this.over = h("canvas", { class: "plot-over", "aria-hidden": "true" });
    this.lines = s("svg", { class: "plot-axes", "aria-hidden": "true" });
    this.grips = new Grips(selection, this);
    this.place = h("div", { class: "plot axes" }, this.canvas, this.over, this.lines, this.grips.place);
    this.scales = selection.table.columns.map((column) => scaleOf(reached(column)));
    this.width = 0;
    this.queued = false;
    for (const change of ["ranges", "kept"]) {
      selection.addEventListener(change, () => this.soon(change === "ranges"), { signal });
    }
    selection.addEventListener("pointed", () => this.look(), { signal });
    redrawn(this.place, () => this.draw(), signal);
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
    if (ranges) this.grips.settle();
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
    this.look();
    this.frame();
    this.grips.make();
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
    const { inside, table, kept } = selection;
    const every = Array.from({ length: table.size }, (_, i) => i);
    const few = selection.count < 60;
    this.stroke(context, every.filter((i) => !inside[i]), colours.grid, 1, 0.7);
    this.stroke(context, every.filter((i) => inside[i] && table.marks[i] !== "broken"), colours.first, 1, few ? 0.8 : selection.count < 400 ? 0.35 : 0.12);
    this.stroke(context, every.filter((i) => inside[i] && table.marks[i] === "broken"), colours.limit, 1, 0.9);
    this.reference(context, colours.reference);
    this.stroke(context, [...kept], colours.second, 2.5, 1);
    this.canvas.setAttribute("aria-label",
      `${table.size} candidates over ${this.shown.length} quantities, ${selection.count} inside the ranges. The table holds the same.`);
  }

  /** The candidate looked at, on a sheet of its own: a pointer moves more often than ranges do. */
  look() {
    if (this.width === 0) return;
    const context = sized(this.over, this.width, this.height ?? 0);
    const { pointed } = this.selection;
    if (pointed !== null) this.stroke(context, [pointed], inks(this.place).text, 2.5, 1);
  }

  /**
   * Strokes one line after another: one path of them all would hide how dense they lie.
   * @param {CanvasRenderingContext2D} context
   * @param {number[]} candidates
   * @param {string} colour
   * @param {number} thick
   * @param {number} alpha
   */
  stroke(context, candidates, colour, thick, alpha) {
    context.globalAlpha = alpha;
    context.lineWidth = thick;
    context.strokeStyle = colour;
    for (const i of candidates) {
      context.beginPath();
      this.thread(context, i);
      context.stroke();
    }
    context.globalAlpha = 1;
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {number} candidate
   */
  thread(context, candidate) {
    const { columns } = this.selection.table;
    for (const [place, column] of this.shown.entries()) {
      const x = this.left(column, columns[column].values[candidate]);
      if (!Number.isFinite(x)) continue;
      if (place === 0) context.moveTo(x, this.top(0));
      else context.lineTo(x, this.top(place));
    }
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
}

/** Hatching for what is not allowed. */
const hatch = () => s("defs", {}, s("pattern", { id: "barred", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
  s("line", { x1: 0, x2: 0, y1: 0, y2: 5, class: "s-limit", "stroke-width": 2.5 })));

/** @param {Column} column */
function* reached({ values, submitted }) {
  yield* values;
  if (submitted !== null) yield submitted;
}
