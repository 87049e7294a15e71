// How the machine moves: linkage and wheels in space, by solved poses.

import { clear, h, put, s, say } from "../../lib/dom.js";
import { notice } from "../../lib/fault.js";
import { capital, figure, withUnit } from "../../lib/format.js";
import { assess } from "../../lib/machines.js";
import { Newest, patient, solve } from "../../lib/poses.js";
import { table } from "../../lib/tables.js";
import { INKS, STATES, Turntable, jointMark, stateOf, turnable } from "../../lib/turntable.js";

/** @typedef {import("../../lib/machines.js").Machine} Machine */
/** @typedef {import("../../lib/poses.js").Asked} Asked */
/** @typedef {"lean_deg" | "steer_deg" | "mean_travel_mm"} Drive */

const TRAVEL = 60;
const FRAMES = 60;
const FRAME_MS = 33;

/** @type {[string, number, number][]} */
const STANDS = [["Corner", 32, 18], ["From behind", 0, 0], ["From above", 0, 90], ["From the left", -90, 0], ["From the front", 180, 6]];

/** @type {Record<typeof STATES[number], string>} */
const STATE_WORDS = { beyond: "beyond its limit", near: "within a tenth of its limit", free: "free of its limit", unlimited: "without a given limit" };

/**
 * @param {HTMLElement} place
 * @param {Machine} machine
 * @param {AbortSignal} signal
 */
export async function fill(place, machine, signal) {
  const straight = { lean_deg: 0, steer_deg: 0, mean_travel_mm: null };
  const [assessment, [first]] = await Promise.all([
    assess({ vehicle: machine.vehicle, reach: machine.reach }, [], signal), solve(machine.vehicle, [straight], signal),
  ]);
  new Motion(place, machine, assessment, signal).begin(first);
}

/**
 * How far the crank turns and the machine leans, a little beyond what stops either.
 * @param {any} assessment
 * @returns {Record<Drive, [number, number]>}
 */
export function ranges({ stops, reach }) {
  const crank = stops.filter((/** @type {any} */ stop) => /^steer_(left|right)$/.test(stop.motion)).map((/** @type {any} */ stop) => stop.pose.steer_deg);
  const lean = stops.filter((/** @type {any} */ stop) => stop.motion.startsWith("lean_")).map((/** @type {any} */ stop) => stop.pose.lean_deg);
  const out = (/** @type {number[]} */ ends, /** @type {number} */ least, /** @type {number} */ most) => {
    const far = Math.min(most, Math.ceil(Math.max(least, ...ends.map(Math.abs)) + 3));
    return /** @type {[number, number]} */ ([-far, far]);
  };
  return { lean_deg: out(lean, reach.lean_limit_deg, 60), steer_deg: out(crank, 20, 120), mean_travel_mm: [-TRAVEL, TRAVEL] };
}

class Motion {
  /**
   * @param {HTMLElement} place
   * @param {Machine} machine
   * @param {any} assessment
   * @param {AbortSignal} signal
   */
  constructor(place, machine, assessment, signal) {
    this.place = place;
    this.vehicle = machine.vehicle;
    this.signal = signal;
    this.rocker = machine.vehicle.lean_coupling?.kind === "rocker";
    this.ranges = ranges(assessment);
    /** @type {Record<Drive, number>} */
    this.drive = { lean_deg: 0, steer_deg: 0, mean_travel_mm: 0 };
    this.table = new Turntable("The linkage in space");
    this.stage = h("div", { class: "stage", tabindex: 0, role: "group", "aria-label": "View in space; the arrow keys turn it" }, this.table.element);
    this.said = h("div", { class: "said", role: "alert" });
    this.readout = h("div", { class: "readout" });
    /** @type {Map<Drive, { slider: HTMLInputElement, number: HTMLInputElement, play: HTMLButtonElement }>} */
    this.controls = new Map();
    this.newest = new Newest((asked) => this.solved(asked));
    this.playing = 0;
    signal.addEventListener("abort", () => this.rest());
  }

  /** @param {import("../../lib/poses.js").Found} first */
  begin(first) {
    turnable(this.stage, this.table);
    this.take(first);
    if (first.pose) this.table.frame(first.pose.parts, false);
    put(this.place,
      h("div", { class: "motion" },
        h("div", {}, this.stage, this.stands(), key(this.vehicle)),
        h("div", {}, this.sliders(), this.said, this.readout)));
  }

  sliders() {
    const one = (/** @type {Drive} */ drive, /** @type {string} */ label, /** @type {string} */ unit, /** @type {[string, string]} */ ends) => {
      const [low, high] = this.ranges[drive];
      const set = (/** @type {number} */ value) => this.set({ [drive]: Math.max(low, Math.min(high, Number.isFinite(value) ? value : 0)) });
      const slider = h("input", { type: "range", min: low, max: high, step: 0.1, value: 0, "aria-label": `${label}, ${unit}`, "data-drive": drive, oninput: () => set(slider.valueAsNumber) });
      const number = h("input", { type: "number", min: low, max: high, step: 0.1, value: 0, "aria-label": `${label} as a number, ${unit}`, onchange: () => set(number.valueAsNumber) });
      const play = h("button", { type: "button", "aria-pressed": false, "aria-label": `Sweep ${label.toLowerCase()}`, onclick: () => void this.sweep(drive) }, "Sweep");
      this.controls.set(drive, { slider, number, play });
      return h("div", { class: "drive" }, h("span", { class: "drive-name" }, `${label}, ${unit === "deg" ? "°" : unit}`), number, play, slider,
        h("span", { class: "ends small soft" }, h("span", {}, ends[0]), h("span", {}, ends[1])));
    };
    const crank = this.vehicle.steering?.layout === "slider" ? "Handlebar" : "Crank";
    return h("fieldset", { class: "drives" }, h("legend", {}, "Pose"),
      one("lean_deg", "Lean", "deg", ["left", "right"]),
      one("steer_deg", crank, "deg", ["clockwise", "counter-clockwise from above"]),
      one("mean_travel_mm", "Travel of both wheels", "mm", ["wheels down", "wheels up"]),
      this.rocker && h("p", { class: "small soft" }, "The rocker fixes travel: it can be chosen only upright and straight, with the rocker taken off."),
      h("button", { type: "button", onclick: () => this.set({ lean_deg: 0, steer_deg: 0, mean_travel_mm: 0 }) }, "Upright and straight"));
  }

  stands() {
    const to = (/** @type {number} */ turn, /** @type {number} */ rise) => {
      this.table.stand = { turn, rise };
      this.table.draw();
    };
    const closer = (/** @type {number} */ factor) => {
      this.table.zoom = Math.max(0.4, Math.min(6, this.table.zoom * factor));
      this.table.draw();
    };
    const whole = h("button", { type: "button", "aria-pressed": false, onclick: () => {
      const now = whole.getAttribute("aria-pressed") !== "true";
      whole.setAttribute("aria-pressed", String(now));
      if (this.table.parts) this.table.frame(this.table.parts, now);
    } }, "Whole machine");
    return h("div", { class: "row no-print stands", role: "group", "aria-label": "Where to look from" },
      ...STANDS.map(([label, turn, rise]) => h("button", { type: "button", onclick: () => to(turn, rise) }, label)),
      h("button", { type: "button", "aria-label": "Closer", onclick: () => closer(1.25) }, "+"),
      h("button", { type: "button", "aria-label": "Further away", onclick: () => closer(0.8) }, "−"), whole);
  }

  /** @param {Partial<Record<Drive, number>>} change */
  set(change) {
    this.rest();
    const next = { ...this.drive, ...change };
    if (this.rocker && (next.lean_deg || next.steer_deg)) next.mean_travel_mm = 0;
    this.mark(next);
    void this.newest.ask(this.asked(next)).catch((error) => this.fault(error));
  }

  /** @param {Record<Drive, number>} drive @returns {Asked} */
  asked(drive) {
    return { ...drive, mean_travel_mm: drive.mean_travel_mm === 0 ? null : drive.mean_travel_mm };
  }

  /** @param {Asked} asked */
  async solved(asked) {
    const [found] = await patient(() => solve(this.vehicle, [asked], this.signal));
    this.take(found);
  }

  /**
   * Plays solved poses from the middle to one end, to the other and back.
   * @param {Drive} drive
   */
  async sweep(drive) {
    const again = this.playing === 0 || this.controls.get(drive)?.play.getAttribute("aria-pressed") !== "true";
    this.rest();
    if (!again) return;
    this.controls.get(drive)?.play.setAttribute("aria-pressed", "true");
    const [low, high] = this.ranges[drive];
    const turn = (/** @type {number} */ k) => Math.sin((2 * Math.PI * k) / (2 * FRAMES));
    const drives = Array.from({ length: 2 * FRAMES + 1 }, (_, k) => ({
      ...this.drive, ...(this.rocker && drive === "mean_travel_mm" ? { lean_deg: 0, steer_deg: 0 } : {}),
      ...(this.rocker && drive !== "mean_travel_mm" ? { mean_travel_mm: 0 } : {}),
      [drive]: Number((turn(k) >= 0 ? high * turn(k) : -low * turn(k)).toFixed(2)),
    }));
    try {
      const found = await patient(() => solve(this.vehicle, drives.map((one) => this.asked(one)), this.signal));
      // Where no pose is, the motion ends and turns back.
      const reached = drives.map((one, k) => ({ drive: one, found: found[k] })).filter((one) => one.found.pose);
      this.frames(reached, 0);
    } catch (error) {
      this.rest();
      this.fault(error);
    }
  }

  /**
   * @param {{ drive: Record<Drive, number>, found: import("../../lib/poses.js").Found }[]} frames
   * @param {number} k
   */
  frames(frames, k) {
    if (k >= frames.length || this.signal.aborted) return this.rest();
    this.mark(frames[k].drive);
    this.take(frames[k].found);
    this.playing = setTimeout(() => this.frames(frames, k + 1), FRAME_MS);
  }

  rest() {
    clearTimeout(this.playing);
    this.playing = 0;
    for (const { play } of this.controls.values()) play.setAttribute("aria-pressed", "false");
  }

  /** @param {Record<Drive, number>} drive */
  mark(drive) {
    this.drive = drive;
    for (const [name, { slider, number }] of this.controls) {
      slider.value = String(drive[name]);
      if (document.activeElement !== number || number.valueAsNumber !== drive[name]) number.value = String(drive[name]);
      slider.setAttribute("aria-valuetext", `${drive[name]}`);
    }
  }

  /** @param {import("../../lib/poses.js").Found} found */
  take({ pose, unreachable }) {
    this.stage.classList.toggle("faint", !pose);
    if (!pose) {
      clear(this.said, h("p", { class: "care" }, `This pose is not reached: ${unreachable}. The view keeps the last one that is.`));
      return;
    }
    clear(this.said);
    this.table.show(pose.parts);
    clear(this.readout, wheels(pose), joints(pose.parts));
  }

  /** @param {unknown} error */
  fault(error) {
    if (this.signal.aborted) return;
    clear(this.said, notice(error));
    say("No pose");
  }
}

/** @param {any} pose */
function wheels(pose) {
  const row = (/** @type {string} */ name, /** @type {any} */ corner) => [name, withUnit(corner.heading_deg, "deg"), withUnit(corner.inclination_deg, "deg"),
    ...corner.contact_mm.slice(0, 2).map((/** @type {number} */ x) => figure(x, "mm"))];
  return h("div", {},
    table("Wheels in this pose; steer is positive to the left, inclination with the top to the right, contacts in mm on the ground", ["Wheel", "Steer", "Inclination", "Contact, ahead", "Contact, left"],
      [row("Left", pose.left), row("Right", pose.right)]),
    h("p", { class: "small" }, frameWords(pose.frame)));
}

/** @param {{ height_change_mm: number, pitch_deg: number }} frame */
function frameWords({ height_change_mm: height, pitch_deg: pitch }) {
  const up = `${withUnit(Math.abs(height), "mm")} ${height < 0 ? "lower" : "higher"} than drawn`;
  return `The frame stands ${up}, its nose ${withUnit(Math.abs(pitch), "deg")} ${pitch < 0 ? "up" : "down"}.`;
}

/** @param {import("../../lib/turntable.js").Parts} parts */
function joints(parts) {
  const mark = (/** @type {typeof STATES[number]} */ state) => h("span", { class: "joint-state" }, s("svg", { viewBox: "-8 -8 16 16", "aria-hidden": "true", class: "mark" }, jointMark(state)), STATE_WORDS[state]);
  const rows = parts.joints.map((joint) => [
    `${capital(joint.side)} ${joint.joint.replaceAll("_", " ")}`, withUnit(joint.angle_deg, "deg"),
    joint.limit_deg === undefined ? "–" : withUnit(joint.limit_deg, "deg"), joint.margin_deg === undefined ? "–" : withUnit(joint.margin_deg, "deg"), mark(stateOf(joint)),
  ]);
  const angles = parts.transmissions.map((one) => [
    `${capital(one.side)} side`, withUnit(one.knuckle_deg, "deg"), withUnit(one.crank_deg, "deg"), withUnit(one.least_deg, "deg"),
  ]);
  return h("div", {}, table("Joints in this pose", ["Joint", "Angle", "Limit", "Margin", "State:"], rows),
    table("Rod against knuckle arm and crank arm; the steering stops at the least", ["Side", "At the knuckle", "At the crank", "Least"], angles));
}

/** @param {any} vehicle */
function key(vehicle) {
  const parts = ["wishbone", "knuckle", "rod", "crank", "frame"];
  if (vehicle.lean_coupling?.kind === "rocker") parts.push("rocker");
  if (vehicle.shapes?.boxes?.length || vehicle.front_wheels?.caliper) parts.push("box");
  const line = (/** @type {string} */ part) => h("li", {}, s("svg", { viewBox: "0 0 16 8", "aria-hidden": "true", class: "mark" }, s("path", { d: "M1 4h14", class: `s-${INKS[part]}`, "stroke-width": 3, fill: "none" })), part === "crank" ? "what drives the rods" : part);
  const state = (/** @type {typeof STATES[number]} */ one) => h("li", {}, s("svg", { viewBox: "-8 -8 16 16", "aria-hidden": "true", class: "mark" }, jointMark(one)), `joint ${STATE_WORDS[one]}`);
  return h("ul", { class: "key" }, ...parts.map(line), ...STATES.map(state), h("li", {}, "squares on the ground: 200 mm"));
}
