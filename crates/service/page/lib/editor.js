// Points and sizes of a vehicle as numbers, one of them with a slider, and what was done before.

import { h, say } from "./dom.js";
import { capital } from "./format.js";
import { at, byCarrier, changed, pointWords, points, sizes } from "./points.js";

/** @typedef {{ path: string, axis: number | null, unit: string, label: string }} Place A coordinate of a point, or a size. */

const AXES = ["x", "y", "z"];
const SPAN = 40;

export class Editor {
  /**
   * @param {any} vehicle
   * @param {(vehicle: any) => void} tell Told of every change.
   */
  constructor(vehicle, tell) {
    this.start = vehicle;
    this.vehicle = vehicle;
    this.tell = tell;
    /** @type {any[]} */
    this.past = [];
    /** @type {any[]} */
    this.future = [];
    /** The coordinate that is being dragged: its steps are undone as one. */
    this.held = "";
    /** @type {Map<string, HTMLInputElement>} */
    this.fields = new Map();
    /** @type {Place | null} */
    this.chosen = null;
    this.slider = h("input", { type: "range", step: 0.1, "aria-label": "No coordinate chosen", disabled: true,
      oninput: () => this.slide(), onchange: () => (this.held = "") });
    this.name = h("span", { class: "slid" }, "Choose a number below to move it here");
    this.back = h("button", { type: "button", disabled: true, onclick: () => this.undo() }, "Undo");
    this.again = h("button", { type: "button", disabled: true, onclick: () => this.redo() }, "Redo");
    this.fresh = h("button", { type: "button", disabled: true, onclick: () => this.set(this.start, "start") }, "As it was");
    this.mover = h("div", { class: "slide-box" }, this.name, this.slider, h("div", { class: "row" }, this.back, this.again, this.fresh));
    this.list = h("div", { class: "moves" }, ...this.groups());
    this.choose(this.first());
  }

  /** The outer rod end is where most changes begin. */
  first() {
    const path = at(this.vehicle, "steering.rod_outer_mm") ? "steering.rod_outer_mm" : points(this.vehicle)[0].path;
    return { path, axis: 2, unit: "mm", label: `${capital(pointWords(path))}, z` };
  }

  groups() {
    const moved = points(this.vehicle).map((point) => ({ path: point.path, row: this.pointRow(point.path) }));
    const sized = sizes(this.vehicle).map(({ path, unit }) => ({ path, row: this.sizeRow(path, unit) }));
    return byCarrier(this.vehicle, [...moved, ...sized]).map(([carrier, list]) => {
      const usual = list.some((one) => /rod_outer|ball_joint/.test(one.path));
      return h("details", { open: usual }, h("summary", {}, carrier), ...list.map((one) => one.row));
    });
  }

  /** @param {string} path */
  pointRow(path) {
    const name = capital(pointWords(path));
    return h("div", { class: "point-row", role: "group", "aria-label": name }, h("span", {}, name),
      ...AXES.map((axis, k) => h("label", {}, axis, this.field({ path, axis: k, unit: "mm", label: `${name}, ${axis}` }))));
  }

  /**
   * @param {string} path
   * @param {string} unit
   */
  sizeRow(path, unit) {
    const name = capital(pointWords(path));
    return h("div", { class: "point-row", role: "group", "aria-label": name }, h("span", {}, name),
      h("label", {}, unit === "deg" ? "°" : unit, this.field({ path, axis: null, unit, label: name })));
  }

  /** @param {Place} place */
  field(place) {
    const input = h("input", {
      type: "number", step: place.unit === "deg" ? 0.1 : 0.5, value: round(this.read(place)), "aria-label": `${place.label}, ${place.unit}`, "data-path": key(place),
      onfocus: () => this.choose(place),
      oninput: () => Number.isFinite(input.valueAsNumber) && this.write(place, input.valueAsNumber),
      onchange: () => {
        this.held = "";
        if (!Number.isFinite(input.valueAsNumber)) input.value = round(this.read(place));
      },
    });
    this.fields.set(key(place), input);
    return input;
  }

  /** @param {Place} place @returns {number} */
  read(place, vehicle = this.vehicle) {
    const value = at(vehicle, place.path);
    return place.axis === null ? value : value[place.axis];
  }

  /** @param {Place} place */
  choose(place) {
    this.chosen = place;
    const from = this.read(place, this.start);
    const span = place.unit === "deg" ? 10 : SPAN;
    Object.assign(this.slider, { disabled: false, min: String(from - span), max: String(from + span), step: place.unit === "deg" ? "0.05" : "0.1" });
    this.slider.value = String(this.read(place));
    this.slider.setAttribute("aria-label", `${place.label}, ${place.unit}`);
    this.name.textContent = `${place.label}: `;
    this.name.append(h("output", {}, round(this.read(place))), ` ${place.unit}`);
    for (const [path, field] of this.fields) field.classList.toggle("chosen", path === key(place));
  }

  slide() {
    if (this.chosen) this.write(this.chosen, this.slider.valueAsNumber);
  }

  /**
   * @param {Place} place
   * @param {number} value
   */
  write(place, value) {
    const old = at(this.vehicle, place.path);
    const next = place.axis === null ? value : old.map((/** @type {number} */ x, /** @type {number} */ k) => (k === place.axis ? value : x));
    this.set(changed(this.vehicle, place.path, next), key(place));
  }

  /**
   * @param {any} vehicle
   * @param {string} held
   */
  set(vehicle, held) {
    if (this.held !== held) this.past.push(this.vehicle);
    this.held = held === "start" ? "" : held;
    this.future = [];
    this.become(vehicle);
  }

  undo() {
    const before = this.past.pop();
    if (!before) return;
    this.future.push(this.vehicle);
    this.held = "";
    this.become(before);
    say("Undone");
  }

  redo() {
    const after = this.future.pop();
    if (!after) return;
    this.past.push(this.vehicle);
    this.held = "";
    this.become(after);
    say("Done again");
  }

  /** @param {any} vehicle */
  become(vehicle) {
    this.vehicle = vehicle;
    this.back.disabled = this.past.length === 0;
    this.again.disabled = this.future.length === 0;
    this.fresh.disabled = vehicle === this.start;
    this.refresh();
    this.tell(vehicle);
  }

  refresh() {
    for (const [path, field] of this.fields) {
      const [name, axis] = path.split("#");
      const place = { path: name, axis: axis === "" ? null : Number(axis), unit: "", label: "" };
      const value = this.read(place);
      if (document.activeElement !== field || field.valueAsNumber !== value) field.value = round(value);
      field.classList.toggle("moved", Math.abs(value - this.read(place, this.start)) > 1e-9);
    }
    if (this.chosen) {
      this.slider.value = String(this.read(this.chosen));
      const shown = this.name.querySelector("output");
      if (shown) shown.textContent = round(this.read(this.chosen));
    }
  }
}

/** @param {Place} place */
const key = ({ path, axis }) => `${path}#${axis ?? ""}`;

/** @param {number} value */
const round = (value) => String(Number(value.toFixed(3)));
