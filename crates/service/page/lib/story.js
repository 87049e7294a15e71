// Events in words.

import { h } from "./dom.js";
import { count, moment } from "./format.js";

/** @typedef {import("./types.js").JobEvent} JobEvent */

/** @type {Record<string, (body: any) => string>} */
const WORDS = {
  submitted: () => "submitted",
  started: () => "begun",
  progress: (body) => `${count(body.evaluations)} evaluations, ${count(body.front)} on the front`,
  merged: (body) => `islands joined: ${count(body.front)} on the front`,
  polished: (body) => `polished ${body.point + 1} of ${body.of}`,
  done: (body) => `done after ${count(body.evaluations ?? 0)} evaluations`,
  failed: () => "failed",
  cancelled: () => "cancelled",
  paused: () => "paused",
  resumed: () => "resumed",
  rescued: () => "taken over from a worker that fell silent",
  rewound: () => "went back to the last whole checkpoints",
  stopped: () => "stopped early, for want of gain",
  restarted: () => "begun again from its seed",
};

/** @param {JobEvent} event */
export function happened(event) {
  const text = (WORDS[event.kind] ?? (() => event.kind))(event.body ?? {});
  return h("li", {}, h("time", { datetime: event.at, class: "soft" }, moment(event.at)), ` ${text}`);
}
