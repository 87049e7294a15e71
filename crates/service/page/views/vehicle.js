// One saved vehicle: its name, notes and labels, and its versions.

import { Refused, ask, get, save } from "../lib/api.js";
import { clear, fresh, h, put, say } from "../lib/dom.js";
import { question } from "../lib/dialog.js";
import { notice } from "../lib/fault.js";
import { moment } from "../lib/format.js";
import { search } from "../lib/keep.js";
import { address, machineOf, written } from "../lib/machines.js";

export const sheets = ["machine.css"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { words, signal }) {
  const vehicle = await get(`/v1/vehicles/${words.id}`, signal);
  const title = h("h1", {}, vehicle.name);
  put(place, h("p", { class: "small" }, h("a", { href: "#/vehicles" }, "Saved vehicles")),
    h("div", { class: "head" }, title, h("button", { type: "button", class: "grave no-print", onclick: () => void remove(vehicle) }, "Delete")),
    about(vehicle, (name) => (title.textContent = name)),
    h("section", {}, h("h2", {}, "Versions"), versions(vehicle, signal)));
  return vehicle.name;
}

/**
 * Name, notes and labels. What another reader has changed meanwhile is not written over.
 * @param {any} vehicle
 * @param {(name: string) => void} renamed
 */
function about(vehicle, renamed) {
  const ids = { name: fresh("name"), notes: fresh("notes"), labels: fresh("labels"), hint: fresh("hint") };
  const name = h("input", { id: ids.name, value: vehicle.name, required: true, maxlength: 200 });
  const notes = h("textarea", { id: ids.notes, rows: 4, maxlength: 10000 }, vehicle.notes);
  const labels = h("input", { id: ids.labels, value: vehicle.labels.join(", "), "aria-describedby": ids.hint });
  const said = h("div", { role: "status" });
  let { revision } = vehicle;
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const body = { name: name.value.trim(), notes: notes.value, labels: labels.value.split(",").map((one) => one.trim()).filter(Boolean) };
    try {
      const answer = await ask(`/v1/vehicles/${vehicle.id}`, { method: "PATCH", body, headers: { "If-Match": `"r${revision}"` } });
      const now = await answer.json();
      ({ revision } = now);
      vehicle.revision = revision;
      renamed(now.name);
      clear(said, h("p", { class: "small" }, "Saved."));
      say("Saved");
    } catch (error) {
      const stale = error instanceof Refused && error.problem.status === 412;
      const again = h("button", { type: "button", onclick: () => dispatchEvent(new HashChangeEvent("hashchange")) }, "Show what stands now");
      clear(said, notice(error), stale && h("p", {}, "Your text is still above: copy what you want to keep. ", again));
    }
  };
  return h("form", { class: "about stack", onsubmit: submit },
    h("label", { for: ids.name }, "Name"), name, h("label", { for: ids.notes }, "Notes"), notes,
    h("label", { for: ids.labels }, "Labels"), labels, h("span", { id: ids.hint, class: "small soft" }, "Parted by commas"),
    h("div", { class: "row no-print" }, h("button", {}, "Save notes"), said));
}

/**
 * @param {any} vehicle
 * @param {AbortSignal} signal
 */
function versions(vehicle, signal) {
  const said = h("div", {});
  /** @type {Set<number>} */
  const chosen = new Set();
  const compare = h("a", { class: "button no-print", "aria-disabled": "true" }, "Compare the chosen");
  const mark = () => {
    const list = [...chosen].sort((a, b) => a - b).map((version) => written({ vehicle: vehicle.id, version }));
    if (list.length > 1) compare.setAttribute("href", `#/compare?with=${list.join(",")}`);
    else compare.removeAttribute("href");
    compare.setAttribute("aria-disabled", String(list.length < 2));
  };
  const item = (/** @type {any} */ version) => {
    const ref = { vehicle: vehicle.id, version: version.version };
    const box = h("input", { type: "checkbox", "aria-label": `Choose version ${version.version} to compare`, onchange: () => {
      if (box.checked) chosen.add(version.version);
      else chosen.delete(version.version);
      mark();
    } });
    const begin = () => machineOf(ref, signal).then((machine) => search(machine, machine.vehicle)).catch((error) => clear(said, notice(error)));
    return h("li", {}, box,
      h("div", {}, h("a", { class: "name", href: `#${address(ref)}` }, `Version ${version.version}`), " ", h("span", { class: "small soft" }, moment(version.created_at)),
        h("p", { class: "notes" }, version.note), version.from && origin(version.from)),
      h("div", { class: "row no-print" },
        h("a", { class: "button", href: `#/change?of=${written(ref)}` }, "Try a change"),
        h("button", { type: "button", onclick: () => void begin() }, "Search from here"),
        h("button", { type: "button", onclick: () => save(`/v1${address(ref)}`, "application/json", `${vehicle.id}-version-${version.version}.json`).catch((error) => clear(said, notice(error))) }, "File")));
  };
  return h("div", {}, h("ul", { class: "versions" }, ...vehicle.versions.toReversed().map(item)),
    vehicle.versions.length > 1 && h("p", {}, compare), said);
}

/** @param {import("../lib/machines.js").MachineRef} from */
function origin(from) {
  const text = from.job ? `candidate ${from.number} of job ${from.job}` : `version ${from.version}`;
  return h("p", { class: "small soft" }, "Made from ", h("a", { href: `#${address(from)}` }, text));
}

/** @param {any} vehicle */
async function remove(vehicle) {
  const gone = await question({
    title: "Delete this vehicle?", text: `${vehicle.name} and all its versions are deleted for good. Jobs made from it keep their own copy.`, action: "Delete it", grave: true,
    run: async () => {
      await ask(`/v1/vehicles/${vehicle.id}`, { method: "DELETE", headers: { "If-Match": `"r${vehicle.revision}"` } });
      return true;
    },
  });
  if (gone) location.hash = "/vehicles";
}
