// The two grips of each axis, which set the range that candidates must lie in: by pointer, by finger, and as
// sliders by keyboard.

import { SIDE } from "./axes.js";
import { clear, h } from "./dom.js";
import { withUnit } from "./format.js";
import { heading } from "./front_data.js";

/** @typedef {import("./selection.js").Selection} Selection */

const FINE = 100;

export class Grips {
  /**
   * @param {Selection} selection
   * @param {import("./axes.js").Axes} axes
   */
  constructor(selection, axes) {
    this.selection = selection;
    this.axes = axes;
    this.place = h("div", { class: "grips" });
    this.hear();
  }

  /** Makes them for the axes shown. */
  make() {
    const { columns } = this.selection.table;
    clear(this.place, ...this.axes.shown.flatMap((column, place) =>
      /** @type {("low" | "high")[]} */ (["low", "high"]).map((end) => {
        const grip = h("div", {
          class: `grip ${end}`, role: "slider", tabindex: 0, "data-column": column, "data-end": end,
          "aria-label": `${heading(columns[column])}, ${end === "low" ? "at least" : "at most"}`,
          "aria-valuemin": this.axes.scales[column].low, "aria-valuemax": this.axes.scales[column].high,
        });
        grip.style.setProperty("--top", `${this.axes.top(place)}px`);
        return grip;
      })));
    this.settle();
  }

  /** Puts the grips where the ranges are. */
  settle() {
    for (const grip of /** @type {NodeListOf<HTMLElement>} */ (this.place.querySelectorAll(".grip"))) {
      const { column, end } = spotOf(grip);
      const range = this.selection.ranges.get(column);
      const { low, high } = this.axes.scales[column];
      const value = range ? range[end === "low" ? 0 : 1] : end === "low" ? low : high;
      const held = Math.min(high, Math.max(low, value));
      grip.style.setProperty("--left", `${this.axes.left(column, held)}px`);
      grip.classList.toggle("set", range !== undefined && value > low && value < high);
      grip.setAttribute("aria-valuenow", String(held));
      grip.setAttribute("aria-valuetext", withUnit(held, this.selection.table.columns[column].unit));
    }
  }

  hear() {
    /** @type {HTMLElement | null} */
    let held = null;
    this.place.addEventListener("pointerdown", (event) => {
      held = /** @type {HTMLElement} */ (event.target).closest(".grip");
      held?.setPointerCapture(event.pointerId);
    });
    this.place.addEventListener("pointermove", (event) => {
      if (held) this.pull(held, event.clientX - this.place.getBoundingClientRect().left);
    });
    this.place.addEventListener("pointerup", () => (held = null));
    this.place.addEventListener("dblclick", (event) => {
      const grip = /** @type {HTMLElement} */ (event.target).closest(".grip");
      if (grip instanceof HTMLElement) this.selection.range(spotOf(grip).column, null);
    });
    this.place.addEventListener("keydown", (event) => this.press(event));
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    const grip = /** @type {HTMLElement} */ (event.target);
    const { column, end } = spotOf(grip);
    const { low, high } = this.axes.scales[column];
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
    const { low, high } = this.axes.scales[column];
    this.limit(column, end, low + ((left - SIDE) / (this.axes.width - 2 * SIDE)) * (high - low));
  }

  /**
   * @param {number} column
   * @param {"low" | "high"} end
   * @param {number} value
   */
  limit(column, end, value) {
    const { low, high } = this.axes.scales[column];
    const range = this.selection.ranges.get(column) ?? [low, high];
    const [from, to] = [Math.max(low, range[0]), Math.min(high, range[1])];
    const [a, b] = end === "low" ? [Math.min(value, to), to] : [from, Math.max(value, from)];
    this.selection.range(column, a <= low && b >= high ? null : [a <= low ? -Infinity : a, b >= high ? Infinity : b]);
  }
}

/** @param {HTMLElement} grip */
const spotOf = (grip) => ({
  column: Number(grip.dataset.column), end: /** @type {"low" | "high"} */ (grip.dataset.end),
});
