// The states of loading of a vehicle as a choice that stands in the address.

import { h } from "./dom.js";
import { capital } from "./format.js";

/** The state that a vehicle's masses describe. */
export const AS_DRAWN = "as drawn";
const EACH = "each";

/**
 * @param {any} vehicle
 * @param {URLSearchParams} query
 * @returns {{ loading: string, each: boolean }} The state asked for, or all over one another.
 */
export function chosenState(vehicle, query) {
  const names = (vehicle.loadings ?? []).map((/** @type {any} */ one) => one.name);
  const asked = query.get("loading") ?? "";
  return { loading: names.includes(asked) ? asked : "", each: names.length > 0 && query.get("states") === EACH };
}

/**
 * Links to every state; nothing where there is but one.
 * @param {any} vehicle
 * @param {{ loading: string, each: boolean }} chosen
 * @param {string} base The address without the choice.
 */
export function stateLinks(vehicle, chosen, base) {
  const loadings = vehicle.loadings ?? [];
  if (loadings.length === 0) return null;
  const link = (/** @type {string} */ label, /** @type {string} */ rest, /** @type {boolean} */ here) =>
    h("a", { href: `${base}${rest}`, "aria-current": here && "page" }, label);
  return h("nav", { class: "tabs no-print", "aria-label": "State of loading" },
    link(capital(AS_DRAWN), "", !chosen.each && chosen.loading === ""),
    ...loadings.map((/** @type {any} */ one) => link(capital(one.name), `&loading=${encodeURIComponent(one.name)}`, !chosen.each && chosen.loading === one.name)),
    link("All over one another", `&states=${EACH}`, chosen.each));
}
