// One number as it grows with another.

import { clear, h, s } from "./dom.js";
import { redrawn } from "./ink.js";
import { at, roomFor, scaleOf, stepText } from "./scale.js";

const ROOM = { right: 14, top: 12, bottom: 44 };

/**
 * @typedef {{ x: string, y: string, points: [number, number][], countX?: (value: number) => string, until?: number }} Line
 * `until` is where the run along x will end.
 */

export class Curve {
  /** @param {{ name: string, signal: AbortSignal, height?: number }} options */
  constructor(options) {
    this.options = options;
    this.drawing = s("svg", { class: "plot-axes", role: "img", "aria-label": options.name });
    this.place = h("div", { class: "plot" }, this.drawing);
    /** @type {Line | null} */
    this.line = null;
    redrawn(this.place, () => this.draw(), options.signal);
  }

  /** @param {Line} line */
  set(line) {
    this.line = line;
    this.draw();
  }

  draw() {
    const width = this.place.clientWidth;
    const { line } = this;
    if (!line || width === 0) return;
    const height = this.options.height ?? Math.round(Math.min(440, Math.max(240, width * 0.66)));
    const x = scaleOf([0, ...line.points.map(([a]) => a), ...(line.until ? [line.until] : [])], width < 420 ? 3 : 5);
    const y = scaleOf(line.points.map(([, b]) => b));
    const side = roomFor(y);
    const left = (/** @type {number} */ value) => side + at(x, value) * (width - side - ROOM.right);
    const top = (/** @type {number} */ value) => height - ROOM.bottom - at(y, value) * (height - ROOM.top - ROOM.bottom);
    const bottom = height - ROOM.bottom;
    const text = line.countX ?? ((/** @type {number} */ value) => stepText(x, value));
    const path = line.points.map(([a, b], i) => `${i ? "L" : "M"}${left(a).toFixed(1)} ${top(b).toFixed(1)}`).join("");
    const last = line.points.at(-1);
    this.drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.drawing.setAttribute("width", String(width));
    this.drawing.setAttribute("height", String(height));
    this.drawing.setAttribute("aria-label", `${this.options.name}: ${last ? `${last[1].toFixed(4)} after ${text(last[0])}` : "nothing yet"}`);
    clear(this.drawing,
      ...y.steps.map((step) => s("g", {},
        s("line", { x1: side, x2: width - ROOM.right, y1: top(step), y2: top(step), class: "s-grid" }),
        s("text", { x: side - 7, y: top(step) + 4, "text-anchor": "end" }, stepText(y, step)))),
      s("line", { x1: side, x2: width - ROOM.right, y1: bottom, y2: bottom, class: "s-rule" }),
      ...x.steps.filter((step) => step >= 0).map((step) => s("g", {},
        s("line", { x1: left(step), x2: left(step), y1: bottom, y2: bottom + 5, class: "s-rule" }),
        s("text", { x: left(step), y: bottom + 19, "text-anchor": "middle" }, text(step)))),
      s("text", { x: width - ROOM.right, y: height - 5, "text-anchor": "end", class: "axis-name" }, line.x),
      s("text", { transform: `translate(12 ${ROOM.top}) rotate(-90)`, "text-anchor": "end", class: "axis-name" }, line.y),
      s("path", { d: path, class: "plot-line s-first" }),
      last && s("circle", { cx: left(last[0]), cy: top(last[1]), r: 4, class: "f-first" }));
  }
}
