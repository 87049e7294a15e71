// Pictures that came within an answer of the server.

import { h } from "./dom.js";

/** @typedef {{ name: string, title: string, description: string, svg: string }} Drawn */

/**
 * An SVG text of the server as an element of the page.
 * @param {string} text
 * @returns {SVGElement}
 */
export function drawing(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return /** @type {SVGElement} */ (/** @type {unknown} */ (document.importNode(parsed, true)));
}

/** @param {Drawn} drawn */
export function figureOf(drawn) {
  return h("figure", { class: "drawn", "data-picture": drawn.name }, drawing(drawn.svg));
}

/**
 * The pictures in place of those that stood there, each where it stood.
 * @param {HTMLElement} place
 * @param {Drawn[]} all
 */
export function redraw(place, all) {
  const same = place.children.length === all.length
    && all.every((one, k) => /** @type {HTMLElement} */ (place.children[k]).dataset.picture === one.name);
  if (same) all.forEach((one, k) => place.children[k].replaceChildren(drawing(one.svg)));
  else place.replaceChildren(...all.map(figureOf));
}
