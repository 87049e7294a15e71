// The frame around the views: the bar at the top, the view of the address, and its faults.

import { Refused } from "./lib/api.js";
import { clear, h, say } from "./lib/dom.js";
import { refusal } from "./lib/fault.js";
import { HOME, ROUTES, find } from "./routes.js";

const main = /** @type {HTMLElement} */ (document.getElementById("main"));
const nav = /** @type {HTMLElement} */ (document.getElementById("nav"));

let visit = new AbortController();
/** @type {Set<string>} */
const sheets = new Set();

const address = () => location.hash.slice(1) || HOME;

async function arrive() {
  visit.abort();
  const here = (visit = new AbortController());
  const found = find(address());
  mark(address());
  // The new view is made beside the old one, so that nothing flickers while it asks the server.
  const place = h("div", { class: "view" });
  try {
    const title = found ? await open(found, place, here.signal) : missing(place);
    if (here.signal.aborted) return;
    document.title = `${title} – leanwright`;
    clear(main, place);
    say(title);
  } catch (error) {
    if (here.signal.aborted) return;
    document.title = "leanwright";
    clear(main, refusal(error, arrive));
    if (!(error instanceof Refused)) throw error;
  }
}

/**
 * @param {NonNullable<ReturnType<typeof find>>} found
 * @param {HTMLElement} place
 * @param {AbortSignal} signal
 */
async function open({ route, words, query }, place, signal) {
  const view = await route.load();
  await Promise.all((view.sheets ?? []).map(sheet));
  return view.show(place, { words, query, signal });
}

/** @param {HTMLElement} place */
function missing(place) {
  place.append(h("h1", {}, "Nothing here"), h("p", {}, h("a", { href: `#${HOME}` }, "To the jobs")));
  return "Nothing here";
}

/**
 * Loads a stylesheet once.
 * @param {string} name
 */
function sheet(name) {
  if (sheets.has(name)) return Promise.resolve();
  sheets.add(name);
  return new Promise((done) => {
    const link = h("link", { rel: "stylesheet", href: `/page/styles/${name}` });
    link.addEventListener("load", done, { once: true });
    link.addEventListener("error", done, { once: true });
    document.head.append(link);
  });
}

/** @param {string} here */
function mark(here) {
  for (const link of nav.querySelectorAll("a")) {
    const its = (link.getAttribute("href") ?? "").slice(1);
    if (here === its || here.startsWith(`${its}?`)) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

for (const { path, nav: label } of ROUTES) {
  if (label) nav.append(h("a", { href: `#${path}` }, label));
}
document.getElementById("skip")?.addEventListener("click", () => main.focus());
addEventListener("hashchange", () => {
  void arrive().then(() => {
    scrollTo(0, 0);
    main.focus({ preventScroll: true });
  });
});
void arrive();
