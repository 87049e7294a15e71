// What a reader is told when the server refuses, and where a token is asked for.

import { Refused } from "./api.js";
import { fresh, h } from "./dom.js";
import { keepToken } from "./token.js";

/**
 * A refusal in place of a view. `again` is called once something may have changed.
 * @param {unknown} error
 * @param {() => void} again
 * @returns {HTMLElement}
 */
export function refusal(error, again) {
  const problem = error instanceof Refused ? error.problem : null;
  if (problem?.status === 401) return door(problem.detail, again);
  const retry = h("button", { type: "button", onclick: again }, "Try again");
  return h("div", { class: "view" },
    h("h1", {}, problem ? problem.title : "A fault of this page"),
    notice(error), h("p", {}, retry));
}

/**
 * A refusal in a few lines, to stand beside what was asked for.
 * @param {unknown} error
 * @returns {HTMLElement}
 */
export function notice(error) {
  const faults = error instanceof Refused ? error.problem.faults ?? [] : [];
  const text = error instanceof Error ? error.message : String(error);
  const list = faults.length > 1 && h("ul", {}, ...faults.map((fault) =>
    h("li", {}, h("code", {}, fault.pointer || "/"), ` ${fault.message}; allowed: ${fault.allowed}`)));
  return h("div", { class: "care", role: "alert" }, h("p", {}, text), list);
}

/**
 * @param {string} detail
 * @param {() => void} again
 */
function door(detail, again) {
  const id = fresh("token");
  const field = h("input", { id, type: "password", autocomplete: "off", required: true });
  const enter = (/** @type {Event} */ event) => {
    event.preventDefault();
    keepToken(field.value.trim());
    again();
  };
  return h("div", { class: "view" }, h("h1", {}, "Token"),
    h("p", {}, `The server says: ${detail}. The token stands in the file that the server was started with.`),
    h("form", { class: "row", onsubmit: enter },
      h("label", { for: id }, "Token"), field, h("button", { class: "main" }, "Enter")));
}
