// The pictures of a search under way: its front as it grows, and its hypervolume.

import { get } from "./api.js";
import { Curve } from "./curve.js";
import { h } from "./dom.js";
import { capital, count, symbol, words } from "./format.js";
import { Scatter } from "./scatter.js";
import { isOpen } from "./state.js";

/** @typedef {import("./types.js").Job} Job */
/** @typedef {import("./types.js").JobEvent} JobEvent */
/** @typedef {import("./types.js").Found} Found */

const LEAST_PAUSE_MS = 1500;

export class Course {
  /**
   * @param {Job} job
   * @param {AbortSignal} signal
   */
  constructor(job, signal) {
    this.job = job;
    this.signal = signal;
    /** @type {[number, number][]} */
    this.gained = [];
    /** @type {Found | null} */
    this.found = null;
    this.sides = [0, 1];
    this.asking = false;
    this.askedAt = 0;
    this.scatter = new Scatter({ name: "Front so far", signal, height: 300 });
    this.curve = new Curve({ name: "Hypervolume", signal, height: 300 });
    this.choice = h("div", { class: "row tools" });
    this.title = h("h2", {}, "Front so far");
    this.front = h("section", { hidden: true }, this.title, this.scatter.place, this.choice);
    this.growth = h("section", { hidden: true }, h("h2", {}, "Hypervolume"), this.curve.place, h("p", { class: "soft small" },
      "How much of the goals' space the front dominates, on scales that do not move. Where the curve no longer rises, more search gains little."));
    this.place = h("div", { class: "course" }, this.front, this.growth);
    this.settle(job);
    void this.look();
  }

  /**
   * The job as it now stands.
   * @param {Job} job
   */
  settle(job) {
    this.job = job;
    this.title.textContent = isOpen(job) ? "Front so far" : "Front as the search left it";
  }

  /** @param {JobEvent} event */
  take(event) {
    const { evaluations, hypervolume, planned } = event.body ?? {};
    if (typeof evaluations !== "number") return;
    if (typeof hypervolume === "number") this.gained.push([evaluations, hypervolume]);
    if (this.gained.length > 0) {
      this.growth.hidden = false;
      this.curve.set({ x: "Evaluations", y: "Hypervolume", points: this.gained, countX: count, until: event.kind === "done" ? undefined : planned });
    }
    void this.look();
  }

  /** Asks for the front so far, not more often than makes sense. */
  async look() {
    if (this.asking || this.signal.aborted) return;
    this.asking = true;
    const rest = this.askedAt + LEAST_PAUSE_MS - Date.now();
    if (rest > 0) await new Promise((done) => setTimeout(done, rest));
    this.askedAt = Date.now();
    this.asking = false;
    /** @type {Found | null} */
    const found = await get(`/v1/jobs/${this.job.id}/found`, this.signal).catch(() => null);
    if (!found || this.signal.aborted) return;
    if (!this.found) this.choose(found);
    this.found = found;
    this.draw();
  }

  draw() {
    const { found } = this;
    if (!found || found.goals.length < 2) return;
    this.front.hidden = found.points.length === 0 && !isOpen(this.job);
    const [x, y] = this.sides;
    const side = (/** @type {number} */ i) => ({
      quantity: found.goals[i].quantity, unit: found.goals[i].unit,
      better: /** @type {"small" | "large"} */ (found.goals[i].role === "maximise" ? "large" : "small"),
    });
    this.scatter.set({
      x: side(x), y: side(y), xs: found.points.map((point) => point[x]), ys: found.points.map((point) => point[y]),
      marks: found.points.map(() => "dot"),
    });
  }

  /** @param {Found} found */
  choose(found) {
    if (found.goals.length < 3) return;
    const pick = (/** @type {string} */ label, /** @type {0 | 1} */ at) => {
      const select = h("select", { "aria-label": label, onchange: () => {
        this.sides[at] = Number(select.value);
        this.draw();
      } }, ...found.goals.map((goal, i) => h("option", { value: i, selected: this.sides[at] === i },
        `${capital(words(goal.quantity))}${goal.unit ? `, ${symbol(goal.unit)}` : ""}`)));
      return select;
    };
    this.choice.replaceChildren(pick("Upright", 1), h("span", {}, "over"), pick("Across", 0));
  }
}
