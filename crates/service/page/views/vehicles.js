// Saved vehicles, newest first.

import { ask, get } from "../lib/api.js";
import { clear, h, put } from "../lib/dom.js";
import { notice } from "../lib/fault.js";
import { moment } from "../lib/format.js";

export const sheets = ["machine.css"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { query, signal }) {
  const wanted = new URLSearchParams();
  for (const name of ["name", "label"]) {
    const value = query.get(name);
    if (value) wanted.set(name, value);
  }
  const first = await get(`/v1/vehicles?${wanted}`, signal);
  const list = h("ul", { class: "vehicles" }, ...first.vehicles.map(row));
  put(place,
    h("div", { class: "head" }, h("h1", {}, "Saved vehicles"), opener()),
    filters(wanted),
    first.vehicles.length > 0 ? list : empty(wanted.size > 0),
    further(wanted, first.next_cursor, list, signal));
  return "Saved vehicles";
}

/** @param {any} vehicle */
function row(vehicle) {
  const labels = vehicle.labels.flatMap((/** @type {string} */ label) => [" ", h("a", { class: "label", href: `#/vehicles?label=${encodeURIComponent(label)}` }, label)]);
  const versions = vehicle.newest_version === 1 ? "1 version" : `${vehicle.newest_version} versions`;
  return h("li", {},
    h("div", {}, h("a", { class: "name", href: `#/vehicles/${vehicle.id}` }, vehicle.name), ...labels),
    h("p", { class: "notes small soft" }, vehicle.notes),
    h("span", { class: "small soft" }, `${versions}, changed ${moment(vehicle.changed_at)}`));
}

/** @param {boolean} filtered */
function empty(filtered) {
  if (filtered) return h("div", { class: "empty" }, h("p", {}, "No saved vehicle is like that."), h("p", {}, h("a", { href: "#/vehicles" }, "All vehicles")));
  return h("div", { class: "empty" }, h("p", {}, "No vehicle is saved yet."), h("p", {}, "Open a candidate of a finished job and save it, or open a vehicle file here."));
}

/**
 * @param {URLSearchParams} wanted
 * @param {string | undefined} cursor
 * @param {HTMLElement} list
 * @param {AbortSignal} signal
 */
function further(wanted, cursor, list, signal) {
  if (!cursor) return null;
  let next = cursor;
  const button = h("button", { type: "button", onclick: async () => {
    const page = await get(`/v1/vehicles?${wanted}&cursor=${encodeURIComponent(next)}`, signal);
    put(list, ...page.vehicles.map(row));
    next = page.next_cursor;
    button.hidden = !next;
  } }, "Older vehicles");
  return h("p", {}, button);
}

/** @param {URLSearchParams} wanted */
function filters(wanted) {
  const field = (/** @type {string} */ name, /** @type {string} */ hint) => {
    const input = h("input", { type: "search", "aria-label": hint, placeholder: hint, value: wanted.get(name) ?? "", size: 16, onchange: () => {
      if (input.value.trim()) wanted.set(name, input.value.trim());
      else wanted.delete(name);
      location.hash = `/vehicles?${wanted}`;
    } });
    return input;
  };
  return h("div", { class: "row tools" }, field("name", "Name contains"), field("label", "Label"));
}

function opener() {
  const said = h("div", {});
  const save = async (/** @type {File} */ file) => {
    try {
      const text = await file.text();
      const answer = await ask("/v1/vehicles", { method: "POST", text: `{"vehicle": ${text.trim() || "null"}, "note": ${JSON.stringify(`from ${file.name}`)}}` });
      location.hash = `/vehicles/${(await answer.json()).id}`;
    } catch (error) {
      clear(said, notice(error));
    }
  };
  const pick = h("input", { type: "file", accept: ".json,application/json", class: "sr", tabindex: -1, "aria-label": "Vehicle file",
    onchange: () => pick.files?.[0] && void save(pick.files[0]) });
  return h("div", {}, h("button", { type: "button", onclick: () => pick.click() }, "Open a vehicle file"), pick, said);
}
