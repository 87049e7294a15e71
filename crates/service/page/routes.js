// The addresses of the page and the module that shows each: a new view is a file and a line here.

/**
 * What a view is told: the words of its address, the query behind it, and a signal that falls when
 * the reader goes elsewhere. Whatever goes on after `show` has returned (streams, timers, listeners
 * on the window) must end with the signal.
 * @typedef {{ words: Record<string, string>, query: URLSearchParams, signal: AbortSignal }} Visit
 */

/**
 * A module of a view. `show` fills the place and gives the title, once there is something to see.
 * `sheets` are stylesheets under styles/ that only this view needs.
 * @typedef {{
 *   show: (place: HTMLElement, visit: Visit) => Promise<string>,
 *   sheets?: string[],
 * }} View
 */

/**
 * @typedef {{ path: string, load: () => Promise<View>, nav?: string }} Route
 * `nav` is the label in the bar at the top, for the few places that stand there.
 */

/** @type {Route[]} */
export const ROUTES = [
  { path: "/jobs", load: () => import("./views/jobs.js"), nav: "Jobs" },
  { path: "/new", load: () => import("./views/new.js"), nav: "New job" },
  { path: "/jobs/:id/front", load: () => import("./views/front.js") },
  { path: "/jobs/:id", load: () => import("./views/job.js") },
  { path: "/jobs/:id/candidates/:n", load: () => import("./views/machine.js") },
  { path: "/vehicles", load: () => import("./views/vehicles.js"), nav: "Vehicles" },
  { path: "/vehicles/:id", load: () => import("./views/vehicle.js") },
  { path: "/vehicles/:id/versions/:n", load: () => import("./views/machine.js") },
  { path: "/compare", load: () => import("./views/compare.js"), nav: "Compare" },
  { path: "/change", load: () => import("./views/change.js") },
];

export const HOME = "/jobs";

/**
 * The route of an address such as `/jobs/00f1?candidate=3`, with the words in its path.
 * @param {string} address
 * @returns {{ route: Route, words: Record<string, string>, query: URLSearchParams } | null}
 */
export function find(address) {
  const [path, query = ""] = address.split("?", 2);
  for (const route of ROUTES) {
    const words = match(route.path, path);
    if (words) return { route, words, query: new URLSearchParams(query) };
  }
  return null;
}

/**
 * @param {string} pattern
 * @param {string} path
 * @returns {Record<string, string> | null}
 */
function match(pattern, path) {
  const wanted = pattern.split("/");
  const given = path.split("/");
  if (wanted.length !== given.length) return null;
  /** @type {Record<string, string>} */
  const words = {};
  for (const [i, part] of wanted.entries()) {
    if (part.startsWith(":")) words[part.slice(1)] = decodeURIComponent(given[i]);
    else if (part !== given[i]) return null;
  }
  return words;
}
