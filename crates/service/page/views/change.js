// Try a change: a point is moved by hand, and curves, limits and figures follow.

import { clear, fresh, h, put, say } from "../lib/dom.js";
import { redraw } from "../lib/drawn.js";
import { Editor } from "../lib/editor.js";
import { notice } from "../lib/fault.js";
import { capital, figure, words } from "../lib/format.js";
import { keepDialog, search } from "../lib/keep.js";
import { AS_DRAWN } from "../lib/loadings.js";
import { address, assess, machineOf, read } from "../lib/machines.js";
import { Newest, patient } from "../lib/poses.js";
import { difference, quantityName, stopTable, table, verdict, wish } from "../lib/tables.js";

/** @typedef {import("../lib/machines.js").Machine} Machine */

export const sheets = ["machine.css"];

const SHOWN = ["steer_over_lean", "error_over_steer", "toe_over_travel", "front_view", "top_view"];
const OTHERS = ["error_map", "corner_view"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { query, signal }) {
  const ref = read(query.get("of") ?? "");
  if (!ref) {
    put(place, h("h1", {}, "Try a change"), h("p", {}, "Choose a vehicle to change: open a candidate of a job, or a ", h("a", { href: "#/vehicles" }, "saved vehicle"), "."));
    return "Try a change";
  }
  const machine = await machineOf(ref, signal);
  const start = await assess({ ...machine, before: null }, [], signal);
  new Trial(place, machine, start, signal).begin();
  return `Try a change: ${machine.name} of ${machine.of}`;
}

class Trial {
  /**
   * @param {HTMLElement} place
   * @param {Machine} machine
   * @param {any} start
   * @param {AbortSignal} signal
   */
  constructor(place, machine, start, signal) {
    this.place = place;
    this.machine = machine;
    this.start = start;
    this.signal = signal;
    this.names = [...SHOWN];
    this.loading = "";
    this.editor = new Editor(machine.vehicle, (vehicle) => this.follow(vehicle));
    this.newest = new Newest((vehicle) => this.answer(vehicle));
    this.pictures = h("div", { class: "pictures", "aria-label": "Before and now", role: "group" });
    this.limits = h("div", {});
    this.figures = h("div", {});
    /** @type {any} */
    this.last = start;
    this.everyRows = h("div", {});
    this.every = h("details", { open: !start.asked, ontoggle: () => this.every.open && this.fillEvery() }, h("summary", {}, "Every quantity"), this.everyRows);
    this.said = h("div", { role: "alert" });
    this.time = h("p", { class: "small soft", "data-time": "" });
    this.results = h("div", { class: "results" }, this.said, this.pictures, this.limits, this.figures, this.time);
  }

  begin() {
    const { machine, editor } = this;
    put(this.place,
      h("p", { class: "small" }, h("a", { href: `#${address(machine.ref)}` }, `${machine.name} of ${machine.of}`)),
      h("div", { class: "head" }, h("h1", {}, "Try a change"),
        h("div", { class: "row no-print" },
          h("button", { type: "button", class: "main", onclick: () => void this.keep() }, "Save as a vehicle"),
          h("button", { type: "button", onclick: () => search(machine, editor.vehicle) }, "Search from here"))),
      h("div", { class: "trial" },
        h("div", { class: "left" }, editor.mover, editor.list), h("div", { class: "answers" }, this.states(), this.chooser(), this.results)));
    addEventListener("keydown", (event) => this.key(event), { signal: this.signal });
    this.follow(machine.vehicle);
  }

  /** The state of loading that pictures and stops are of; nothing where there is but one. */
  states() {
    const all = this.machine.vehicle.loadings ?? [];
    if (all.length === 0) return null;
    const id = fresh("state");
    const state = h("select", { id, onchange: async () => {
      this.loading = state.value;
      await this.restart().catch((error) => this.fault(error));
      this.follow(this.editor.vehicle);
    } }, h("option", { value: "" }, capital(AS_DRAWN)), ...all.map((/** @type {any} */ one) => h("option", { value: one.name }, capital(one.name))));
    return h("div", { class: "row no-print" }, h("label", { for: id }, "State of loading in pictures and stops"), state);
  }

  async restart() {
    this.start = await assess({ ...this.machine, before: null, loading: this.loading }, [], this.signal);
  }

  chooser() {
    const names = [...SHOWN, ...OTHERS, ...this.start.curves.map((/** @type {any} */ curve) => curve.name).filter((/** @type {string} */ name) => !SHOWN.includes(name))];
    const box = (/** @type {string} */ name) => {
      const input = h("input", { type: "checkbox", checked: this.names.includes(name), onchange: () => {
        this.names = names.filter((one) => (one === name ? input.checked : this.names.includes(one)));
        this.follow(this.editor.vehicle);
      } });
      return h("label", { class: "row" }, input, words(name));
    };
    return h("details", { class: "no-print small" }, h("summary", {}, "Pictures that follow"), h("div", { class: "choices" }, ...names.map(box)));
  }

  /** @param {any} vehicle */
  follow(vehicle) {
    void this.newest.ask(vehicle).catch((error) => this.fault(error));
  }

  /** @param {any} vehicle */
  async answer(vehicle) {
    const began = performance.now();
    const { before, reach, job } = { before: this.machine.vehicle, reach: this.machine.reach, job: this.machine.job };
    const found = await patient(() => assess({ vehicle, reach, before, job, loading: this.loading }, this.names, this.signal)).catch((error) => this.fault(error));
    if (!found) return;
    this.results.classList.remove("faint");
    clear(this.said);
    redraw(this.pictures, found.pictures ?? []);
    clear(this.limits, stopTable(found.stops, this.start.stops));
    clear(this.figures, ...this.tables(found));
    const took = performance.now() - began;
    this.time.dataset.time = took.toFixed(1);
    this.time.textContent = `Answered and drawn in ${Math.round(took)} ms.`;
  }

  /** @param {any} found */
  tables(found) {
    this.last = found;
    if (this.every.open) this.fillEvery();
    const { asked } = found;
    if (!asked) return [this.every];
    const old = [...this.start.asked.goals, ...this.start.asked.requirements];
    const rows = [...asked.goals, ...asked.requirements].map((entry, k) => [...row(entry, old[k]), wish(entry), verdict(entry)]);
    return [table(`What the job asks: ${asked.feasible ? "every requirement is met" : "not every requirement is met"}`, ["Quantity", "Before", "Now", "Change", "Wanted:", "Margin:"], rows), this.every];
  }

  /** Sixty rows are written only while somebody sees them. */
  fillEvery() {
    const rows = this.last.quantities.map((/** @type {any} */ entry) =>
      row(entry, this.start.quantities.find((/** @type {any} */ one) => one.quantity === entry.quantity)));
    clear(this.everyRows, table("Every quantity over its usual poses", ["Quantity", "Before", "Now", "Change"], rows));
  }

  /** @param {unknown} error */
  fault(error) {
    if (this.signal.aborted) return;
    this.results.classList.add("faint");
    clear(this.said, notice(error));
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    if (event.shiftKey) this.editor.redo();
    else this.editor.undo();
  }

  async keep() {
    const where = await keepDialog(this.machine, this.editor.vehicle).catch((error) => this.fault(error));
    if (!where) return;
    say("Saved");
    clear(this.said, h("p", { class: "note" }, "Saved. ", h("a", { href: `#${where}` }, "Open it"), ", or go on changing."));
  }
}

/**
 * @param {any} entry
 * @param {any} old
 */
function row(entry, old) {
  const change = entry.value !== null && old?.value !== null && old !== undefined ? entry.value - old.value : null;
  return [quantityName(entry), figure(old?.value, entry.unit), figure(entry.value, entry.unit), difference(change, entry.unit)];
}
