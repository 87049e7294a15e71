// A machine in space, drawn as lines from where the reader stands. Points are ground axes in mm: x
// forward, y left, z up. The projection is parallel, so lengths across the view stay true and the
// outline of a tyre is its ring drawn as wide as its section.

import { clear, s } from "./dom.js";

/**
 * @typedef {[number, number, number]} Point
 * @typedef {{ side?: string, centre_mm: Point, axis: Point, radius_mm: number, section_radius_mm: number }} Tyre
 * @typedef {{ part: string, side?: string, points_mm: Point[] }} Line
 * @typedef {{
 *   joint: string, side: string, at_mm: Point, angle_deg: number, limit_deg?: number, margin_deg?: number,
 * }} Joint
 * @typedef {{ side: string, knuckle_deg: number, crank_deg: number, least_deg: number }} Transmission
 * @typedef {{
 *   tyres: Tyre[], lines: Line[], joints: Joint[], transmissions: Transmission[], centre_of_gravity_mm?: Point,
 * }} Parts
 * @typedef {{ turn: number, rise: number }} Stand Where the reader stands: degrees about the upright axis from behind, and above the ground.
 */

const HALF = 190;
const ROUND = 48;
/** @type {Record<string, string>} */
export const INKS = {
  wishbone: "second", rod: "first", knuckle: "text", crank: "third", rocker: "fourth", frame: "rule", middle: "grid", kingpin: "soft", box: "soft",
};
/** @type {Record<string, number>} */
const WIDTHS = { wishbone: 3, rod: 3.4, knuckle: 3, crank: 3.4, rocker: 3, frame: 1.6, middle: 1.2, kingpin: 1, box: 1.2 };

/** @param {Stand} stand @returns {(p: Point) => Point} Right, down and towards the reader, in mm. */
export function projection({ turn, rise }) {
  const [a, b] = [turn, rise].map((deg) => (deg * Math.PI) / 180);
  const [ca, sa, cb, sb] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b)];
  return ([x, y, z]) => {
    const ahead = ca * x - sa * y;
    const left = sa * x + ca * y;
    return [-left, -(cb * z + sb * ahead), sb * z - cb * ahead];
  };
}

/** What can be said of a joint's margin, the worst first. */
export const STATES = /** @type {const} */ (["beyond", "near", "free", "unlimited"]);

/**
 * Beyond its limit, within a tenth of the limit of it, free of it, or without one.
 * @param {Joint} joint
 * @returns {typeof STATES[number]}
 */
export function stateOf({ limit_deg: limit, margin_deg: margin }) {
  if (limit === undefined || margin === undefined || limit === null) return "unlimited";
  if (margin < 0) return "beyond";
  return margin < 0.1 * limit ? "near" : "free";
}

/** @type {Record<typeof STATES[number], string>} Shapes about the origin, 5 units either way. */
const SHAPES = {
  beyond: "M-5 -5 5 5M-5 5 5 -5",
  near: "M0 -6 6 5H-6z",
  free: "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0",
  unlimited: "M-3.5 -3.5h7v7h-7z",
};

/** @param {typeof STATES[number]} state */
export function jointMark(state) {
  const solid = state === "free" || state === "unlimited";
  const ink = state === "beyond" || state === "near" ? "limit" : "text";
  return s("path", { d: SHAPES[state], class: `joint ${solid ? "f-paper" : "f-paper"} s-${ink}`, "stroke-width": state === "beyond" ? 2.6 : 1.6 });
}

/**
 * @param {Point} a
 * @param {Point} b
 * @returns {Point}
 */
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/** @param {Point} a @returns {Point} */
function unit(a) {
  const length = Math.hypot(...a) || 1;
  return [a[0] / length, a[1] / length, a[2] / length];
}

/**
 * Points round a tyre's ring, the circle that its section is centred on.
 * @param {Tyre} tyre
 * @returns {Point[]}
 */
export function ring({ centre_mm: c, axis, radius_mm: r, section_radius_mm: section }) {
  const forward = unit(cross(axis, [0, 0, 1]));
  const up = cross(forward, axis);
  return Array.from({ length: ROUND + 1 }, (_, k) => {
    const [cos, sin] = [Math.cos((2 * Math.PI * k) / ROUND), Math.sin((2 * Math.PI * k) / ROUND)];
    return /** @type {Point} */ ([0, 1, 2].map((i) => c[i] + (r - section) * (cos * forward[i] + sin * up[i])));
  });
}

/** A drawing that is kept and drawn again for every pose and every place of the reader. */
export class Turntable {
  /** @param {string} label */
  constructor(label) {
    this.ground = s("path", { class: "s-grid", "stroke-width": 1, fill: "none" });
    this.shapes = s("g", { fill: "none", "stroke-linejoin": "round", "stroke-linecap": "round" });
    this.element = s("svg", { viewBox: "0 0 380 300", role: "img", "aria-label": label, class: "turntable" }, this.ground, this.shapes);
    /** @type {Stand} */
    this.stand = { turn: 32, rise: 18 };
    /** @type {Parts | null} */
    this.parts = null;
    this.zoom = 1;
    /** Middle of what is shown and half of its width, mm; set once, so that motion is not followed. */
    this.middle = /** @type {Point} */ ([0, 0, 250]);
    this.reach = 600;
  }

  /**
   * Shows front axle or whole machine.
   * @param {Parts} parts
   * @param {boolean} whole
   */
  frame(parts, whole) {
    const all = [...parts.lines.filter((line) => whole || line.side).flatMap((line) => line.points_mm),
      ...parts.tyres.filter((tyre) => whole || tyre.side).flatMap(ring)];
    const low = [0, 1, 2].map((i) => Math.min(...all.map((p) => p[i])));
    const high = [0, 1, 2].map((i) => Math.max(...all.map((p) => p[i])));
    this.middle = /** @type {Point} */ ([0, 1, 2].map((i) => 0.5 * (low[i] + high[i])));
    this.reach = 0.5 * Math.hypot(high[0] - low[0], high[1] - low[1]) + 40;
    this.draw();
  }

  /** @param {Parts} parts */
  show(parts) {
    this.parts = parts;
    this.draw();
  }

  draw() {
    if (!this.parts) return;
    const scale = (this.zoom * HALF) / this.reach;
    const seen = projection(this.stand);
    const centre = seen(this.middle);
    const at = (/** @type {Point} */ p) => {
      const [x, y, near] = seen(p);
      return /** @type {Point} */ ([HALF + scale * (x - centre[0]), 150 + scale * (y - centre[1]), near]);
    };
    const drawn = [...this.tyres(at, scale), ...this.lines(at), ...this.joints(at)];
    drawn.sort((a, b) => a.near - b.near);
    clear(this.shapes, ...drawn.map((one) => one.element));
    this.ground.setAttribute("d", this.grid().map((line) => path(line.map(at))).join(""));
  }

  /** Lines on the ground, 200 mm apart. */
  grid() {
    const [cx, cy] = this.middle.map((x) => 200 * Math.round(x / 200));
    const half = 200 * Math.ceil(this.reach / 250);
    /** @type {Point[][]} */
    const lines = [];
    for (let d = -half; d <= half; d += 200) {
      lines.push([[cx + d, cy - half, 0], [cx + d, cy + half, 0]], [[cx - half, cy + d, 0], [cx + half, cy + d, 0]]);
    }
    return lines;
  }

  /**
   * @param {(p: Point) => Point} at
   * @param {number} scale
   */
  tyres(at, scale) {
    return (this.parts?.tyres ?? []).map((tyre) => {
      const d = path(ring(tyre).map(at));
      const width = 2 * tyre.section_radius_mm * scale;
      return {
        near: at(tyre.centre_mm)[2] - 1e4,
        element: s("g", { "data-part": "tyre", "data-side": tyre.side ?? "rear" },
          s("path", { d, class: "s-rule", "stroke-width": width + 1.6 }),
          s("path", { d, class: "s-grid", "stroke-width": Math.max(0.5, width - 0.6) })),
      };
    });
  }

  /** @param {(p: Point) => Point} at */
  lines(at) {
    return (this.parts?.lines ?? []).map(({ part, side, points_mm: points }) => {
      const places = points.map(at);
      const near = places.reduce((sum, p) => sum + p[2], 0) / places.length;
      const dash = part === "kingpin" ? "9 3 1.5 3" : part === "middle" ? "2 2.5" : null;
      return {
        near: part === "frame" || part === "middle" ? near - 1e3 : near,
        element: s("path", { d: path(places), class: `s-${INKS[part] ?? "text"}`, "stroke-width": WIDTHS[part] ?? 2, "stroke-dasharray": dash, "data-part": part, "data-side": side }),
      };
    });
  }

  /** @param {(p: Point) => Point} at */
  joints(at) {
    return (this.parts?.joints ?? []).map((joint) => {
      const [x, y, near] = at(joint.at_mm);
      const state = stateOf(joint);
      const mark = s("g", { transform: `translate(${x.toFixed(2)} ${y.toFixed(2)})`, "data-joint": `${joint.side} ${joint.joint}`, "data-state": state }, jointMark(state));
      if ((state === "near" || state === "beyond") && joint.margin_deg !== undefined) {
        mark.append(s("text", { x: 8, y: -7, class: "f-limit", "font-size": 11 }, `${joint.margin_deg.toFixed(1).replace("-", "−")}°`));
      }
      return { near: near + 1e4, element: mark };
    });
  }
}

/** @param {Point[]} places */
const path = (places) => places.map(([x, y], k) => `${k === 0 ? "M" : "L"}${x.toFixed(2)} ${y.toFixed(2)}`).join("");

/**
 * Turning by pointer and by keys.
 * @param {HTMLElement} place
 * @param {Turntable} table
 */
export function turnable(place, table) {
  const to = (/** @type {number} */ turn, /** @type {number} */ rise) => {
    table.stand = { turn: ((turn + 540) % 360) - 180, rise: Math.max(-5, Math.min(90, rise)) };
    table.draw();
  };
  place.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    place.setPointerCapture(event.pointerId);
    const [x, y, from] = [event.clientX, event.clientY, { ...table.stand }];
    const move = (/** @type {PointerEvent} */ now) => to(from.turn + 0.5 * (now.clientX - x), from.rise + 0.4 * (now.clientY - y));
    place.addEventListener("pointermove", move);
    const end = () => place.removeEventListener("pointermove", move);
    place.addEventListener("pointerup", end, { once: true });
    place.addEventListener("pointercancel", end, { once: true });
  });
  /** @type {Record<string, [number, number]>} */
  const keys = { ArrowLeft: [-5, 0], ArrowRight: [5, 0], ArrowUp: [0, 5], ArrowDown: [0, -5] };
  place.addEventListener("keydown", (event) => {
    const by = keys[event.key];
    if (!by) return;
    event.preventDefault();
    to(table.stand.turn + by[0], table.stand.rise + by[1]);
  });
}
