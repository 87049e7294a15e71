// The candidates kept to compare, and the way to the comparison.

import { clear, h, say } from "./dom.js";
import { written } from "./machines.js";
import { MOST_KEPT } from "./selection.js";

/** @typedef {import("./selection.js").Selection} Selection */
/** @typedef {import("./types.js").Job} Job */

export class Kept {
  /**
   * @param {Selection} selection
   * @param {Job} job
   * @param {AbortSignal} signal
   */
  constructor(selection, job, signal) {
    this.selection = selection;
    this.job = job;
    this.place = h("div", { class: "kept", hidden: true });
    selection.addEventListener("kept", () => this.draw(), { signal });
  }

  draw() {
    const { kept, table } = this.selection;
    this.place.hidden = kept.size === 0;
    const one = (/** @type {number} */ index) => h("li", {},
      h("a", { href: `#/jobs/${this.job.id}/candidates/${table.names[index]}` }, `Candidate ${table.names[index]}`),
      h("button", { type: "button", class: "plain", "aria-label": `Let candidate ${table.names[index]} go`, onclick: () => this.selection.keep(index) }, "×"));
    const wanted = [...kept].map((index) => written({ job: this.job.id, number: table.names[index] })).join(",");
    clear(this.place,
      h("span", {}, "Kept:"), h("ul", {}, ...[...kept].map(one)),
      kept.size > 1 && h("a", { class: "button main", href: `#/compare?with=${wanted}` }, `Compare these ${kept.size}`),
      kept.size === MOST_KEPT && h("span", { class: "soft small" }, `${MOST_KEPT} at most`));
    say(`${kept.size} kept`);
  }
}
