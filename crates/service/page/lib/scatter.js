// Candidates as points over two quantities: marks on a canvas, axes as a drawing over it.

import { clear, h, s } from "./dom.js";
import { capital, symbol, words } from "./format.js";
import { inks, redrawn, sized } from "./ink.js";
import { MARKS } from "./marks.js";
import { at, roomFor, scaleOf, stepText } from "./scale.js";

/** @typedef {import("./marks.js").Mark} Mark */
/** @typedef {import("./scale.js").Scale} Scale */

/**
 * An axis: a quantity, its unit, and which end is the better one.
 * @typedef {{ quantity: string, unit: string, better: "small" | "large" | "" }} Side
 */

/**
 * Points in the order of drawing. Later ones lie on top. `ring` numbers the point that is looked at.
 * @typedef {{
 *   x: Side, y: Side, xs: ArrayLike<number>, ys: ArrayLike<number>,
 *   marks: Mark[], ring?: number, order?: number[],
 * }} Cloud
 */

const ROOM = { right: 14, top: 12, bottom: 46 };
const STAMP = 9;
const REACH = 16;
const DRAG = 6;

export class Scatter {
  /**
   * @param {{
   *   name: string, signal: AbortSignal, height?: number,
   *   point?: (index: number | null) => void, pick?: (index: number) => void,
   *   frame?: (x: [number, number], y: [number, number]) => void,
   * }} options
   */
  constructor(options) {
    this.options = options;
    this.canvas = h("canvas", { class: "plot-canvas", role: "img" });
    this.axes = s("svg", { class: "plot-axes", "aria-hidden": "true" });
    this.place = h("div", { class: "plot" }, this.canvas, this.axes);
    /** @type {Cloud | null} */
    this.cloud = null;
    /** @type {{ x: Scale, y: Scale }} */
    this.scales = { x: scaleOf([]), y: scaleOf([]) };
    this.width = 0;
    this.height = 0;
    this.side = 0;
    this.frame = s("rect", { class: "plot-frame" });
    redrawn(this.place, () => this.draw(), options.signal);
    if (options.point) this.hear();
  }

  /** @param {Cloud} cloud */
  set(cloud) {
    this.cloud = cloud;
    this.scales = { x: scaleOf(Array.from(cloud.xs)), y: scaleOf(Array.from(cloud.ys)) };
    this.side = roomFor(this.scales.y);
    this.draw();
  }

  /**
   * Other marks on the same points.
   * @param {Mark[]} marks
   * @param {number} [ring]
   * @param {number[]} [order]
   */
  mark(marks, ring, order) {
    if (!this.cloud) return;
    this.cloud = { ...this.cloud, marks, ring, order };
    this.points();
  }

  draw() {
    this.width = this.place.clientWidth;
    if (!this.cloud || this.width === 0) return;
    this.height = this.options.height ?? Math.round(Math.min(440, Math.max(260, this.width * 0.66)));
    this.points();
    this.lines(this.cloud);
  }

  points() {
    const { cloud } = this;
    if (!cloud || this.width === 0) return;
    const context = sized(this.canvas, this.width, this.height);
    const colours = inks(this.place);
    const stamps = new Map();
    for (const i of cloud.order ?? cloud.marks.keys()) {
      const [x, y] = this.spot(i);
      if (!Number.isFinite(x) || !Number.isFinite(y)) continue;
      const mark = cloud.marks[i];
      if (!stamps.has(mark)) stamps.set(mark, stamp(mark, colours));
      context.drawImage(stamps.get(mark), x - STAMP, y - STAMP, 2 * STAMP, 2 * STAMP);
    }
    if (cloud.ring !== undefined) this.ring(context, colours.text, cloud.ring);
    this.canvas.setAttribute("aria-label", this.words(cloud));
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {string} colour
   * @param {number} index
   */
  ring(context, colour, index) {
    const [x, y] = this.spot(index);
    context.beginPath();
    context.arc(x, y, 10, 0, 2 * Math.PI);
    context.lineWidth = 2;
    context.strokeStyle = colour;
    context.stroke();
  }

  /**
   * Where a point lies, in pixels.
   * @param {number} index
   * @returns {[number, number]}
   */
  spot(index) {
    const { cloud, scales } = this;
    if (!cloud) return [NaN, NaN];
    return [this.left(at(scales.x, cloud.xs[index])), this.top(at(scales.y, cloud.ys[index]))];
  }

  /** @param {number} part */
  left(part) {
    return this.side + part * (this.width - this.side - ROOM.right);
  }

  /** @param {number} part */
  top(part) {
    return this.height - ROOM.bottom - part * (this.height - ROOM.top - ROOM.bottom);
  }

  /** @param {Cloud} cloud */
  lines(cloud) {
    const { x, y } = this.scales;
    const [bottom, right] = [this.top(0), this.left(1)];
    const across = y.steps.map((step) => s("g", {},
      s("line", { x1: this.side, x2: right, y1: this.top(at(y, step)), y2: this.top(at(y, step)), class: "s-grid" }),
      s("text", { x: this.side - 7, y: this.top(at(y, step)) + 4, "text-anchor": "end" }, stepText(y, step))));
    const up = x.steps.map((step) => s("g", {},
      s("line", { x1: this.left(at(x, step)), x2: this.left(at(x, step)), y1: bottom, y2: bottom + 5, class: "s-rule" }),
      s("text", { x: this.left(at(x, step)), y: bottom + 19, "text-anchor": "middle" }, stepText(x, step))));
    this.axes.setAttribute("viewBox", `0 0 ${this.width} ${this.height}`);
    clear(this.axes, ...across,
      s("line", { x1: this.side, x2: right, y1: bottom, y2: bottom, class: "s-rule" }), ...up,
      s("text", { x: right, y: this.height - 6, "text-anchor": "end", class: "axis-name" }, sideText(cloud.x, "←", "→")),
      s("text", { x: 0, y: 0, class: "axis-name", transform: `translate(13 ${ROOM.top}) rotate(-90)`, "text-anchor": "end" }, sideText(cloud.y, "←", "→")),
      this.frame);
  }

  /** @param {Cloud} cloud */
  words(cloud) {
    return `${this.options.name}: ${cloud.marks.length} points, ${words(cloud.y.quantity)} over ${words(cloud.x.quantity)}. The table holds the same.`;
  }

  /**
   * The point nearest to a place in pixels, within reach of a finger.
   * @param {number} left
   * @param {number} top
   * @returns {number | null}
   */
  nearest(left, top) {
    const { cloud } = this;
    if (!cloud) return null;
    let best = null;
    let least = REACH * REACH;
    for (let i = 0; i < cloud.marks.length; i += 1) {
      const [x, y] = this.spot(i);
      const far = (x - left) ** 2 + (y - top) ** 2 + (cloud.marks[i] === "out" ? 60 : 0);
      if (far < least) [best, least] = [i, far];
    }
    return best;
  }

  hear() {
    const { point, pick, frame } = this.options;
    /** @type {[number, number] | null} */
    let from = null;
    const spot = (/** @type {PointerEvent} */ event) => /** @type {[number, number]} */ ([event.offsetX, event.offsetY]);
    const dragged = (/** @type {[number, number]} */ to) =>
      from !== null && (Math.abs(to[0] - from[0]) > DRAG || Math.abs(to[1] - from[1]) > DRAG);
    this.canvas.addEventListener("pointerdown", (event) => {
      // A finger that drags scrolls the page; ranges are set on the axes there.
      if (!frame || event.button !== 0 || event.pointerType === "touch") return;
      from = spot(event);
      this.canvas.setPointerCapture(event.pointerId);
    });
    this.canvas.addEventListener("pointermove", (event) => {
      const to = spot(event);
      if (from && dragged(to)) this.show(from, to);
      else if (!from) point?.(this.nearest(...to));
    });
    this.canvas.addEventListener("pointerleave", () => point?.(null));
    this.canvas.addEventListener("pointerup", (event) => {
      const to = spot(event);
      if (from && dragged(to)) frame?.(this.span("x", from[0], to[0]), this.span("y", from[1], to[1]));
      else {
        const hit = this.nearest(...to);
        if (hit !== null) pick?.(hit);
      }
      from = null;
      this.show([0, 0], [0, 0]);
    });
  }

  /**
   * @param {[number, number]} from
   * @param {[number, number]} to
   */
  show(from, to) {
    const box = { x: Math.min(from[0], to[0]), y: Math.min(from[1], to[1]), width: Math.abs(to[0] - from[0]), height: Math.abs(to[1] - from[1]) };
    for (const [name, value] of Object.entries(box)) this.frame.setAttribute(name, String(value));
  }

  /**
   * The quantity's range between two pixels.
   * @param {"x" | "y"} side
   * @param {number} a
   * @param {number} b
   * @returns {[number, number]}
   */
  span(side, a, b) {
    const { low, high } = this.scales[side];
    const [start, end] = side === "x" ? [this.left(0), this.left(1)] : [this.top(0), this.top(1)];
    const value = (/** @type {number} */ pixel) => low + ((pixel - start) / (end - start)) * (high - low);
    return [Math.min(value(a), value(b)), Math.max(value(a), value(b))];
  }
}

/**
 * @param {Side} side
 * @param {string} small
 * @param {string} large
 */
export function sideText({ quantity, unit, better }, small, large) {
  const sign = symbol(unit);
  const arrow = better === "small" ? ` (${small} better)` : better === "large" ? ` (better ${large})` : "";
  return `${capital(words(quantity))}${sign ? `, ${sign}` : ""}${arrow}`;
}

/**
 * A mark drawn once, to be copied to where its points lie: thousands of copies cost less than
 * thousands of drawings.
 * @param {Mark} mark
 * @param {import("./ink.js").Inks} colours
 */
function stamp(mark, colours) {
  const { path, ink, filled } = MARKS[mark];
  const canvas = document.createElement("canvas");
  const context = sized(canvas, 2 * STAMP, 2 * STAMP);
  context.translate(STAMP, STAMP);
  const shape = new Path2D(path);
  context.lineWidth = filled ? 1.2 : 2;
  context.strokeStyle = filled ? colours.paper : colours[ink];
  context.fillStyle = colours[ink];
  if (filled) context.fill(shape);
  if (mark !== "out") context.stroke(shape);
  return canvas;
}
