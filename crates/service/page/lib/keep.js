// Keeping a vehicle: as a new one, or as one more version of a saved one; and a search from it.

import { ask, get } from "./api.js";
import { clear, fresh, h, say } from "./dom.js";
import { hand } from "./draft.js";
import { notice } from "./fault.js";
import { written } from "./machines.js";

/** @typedef {import("./machines.js").Machine} Machine */

/**
 * Asks where and under what name, and saves.
 * @param {Machine} machine What the vehicle was made from.
 * @param {any} vehicle
 * @returns {Promise<string | null>} The address of the saved version; nothing when the reader thought better of it.
 */
export async function keepDialog(machine, vehicle) {
  const list = await get("/v1/vehicles?limit=200");
  const ids = { name: fresh("name"), note: fresh("note"), into: fresh("into"), title: fresh("title") };
  const name = h("input", { id: ids.name, value: `${machine.vehicle.name || machine.of}`, maxlength: 200 });
  const note = h("textarea", { id: ids.note, rows: 3, maxlength: 10000 });
  const into = h("select", { id: ids.into, onchange: () => shown() }, h("option", { value: "" }, "a new vehicle"),
    ...list.vehicles.map((/** @type {any} */ one) => h("option", { value: one.id, selected: one.id === machine.ref.vehicle }, `version ${one.newest_version + 1} of ${one.name}`)));
  const named = h("div", { class: "stack" }, h("label", { for: ids.name }, "Name"), name);
  const said = h("div", {});
  const shown = () => (named.hidden = into.value !== "");
  shown();
  const dialog = h("dialog", { "aria-labelledby": ids.title });
  return new Promise((done) => {
    const submit = async (/** @type {Event} */ event) => {
      event.preventDefault();
      try {
        const place = await save(machine, list.vehicles, { vehicle, into: into.value, name: name.value.trim(), note: note.value });
        done(place);
        dialog.close();
        say("Saved");
      } catch (error) {
        clear(said, notice(error));
      }
    };
    dialog.append(h("form", { class: "stack", onsubmit: submit },
      h("h2", { id: ids.title }, "Save this vehicle"),
      h("label", { for: ids.into }, "Keep it as"), into, named,
      h("label", { for: ids.note }, "Note on this version"), note, said,
      h("div", { class: "row" }, h("button", { class: "main" }, "Save"), h("button", { type: "button", onclick: () => dialog.close() }, "Leave it"))));
    dialog.addEventListener("close", () => {
      dialog.remove();
      done(null);
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}

/**
 * @param {Machine} machine
 * @param {any[]} list
 * @param {{ vehicle: any, into: string, name: string, note: string }} wanted
 */
async function save(machine, list, { vehicle, into, name, note }) {
  const from = machine.ref.job || machine.ref.vehicle ? machine.ref : undefined;
  if (!into) {
    const answer = await ask("/v1/vehicles", { method: "POST", body: { vehicle: { ...vehicle, name: name || vehicle.name }, name: name || undefined, note, from } });
    const saved = await answer.json();
    return `/vehicles/${saved.id}/versions/1`;
  }
  const seen = list.find((one) => one.id === into);
  const answer = await ask(`/v1/vehicles/${into}/versions`, { method: "POST", body: { vehicle, note, from }, headers: { "If-Match": `"r${seen.revision}"` } });
  // Pressed again after a refusal, it counts on what stands now.
  return (answer.headers.get("Location") ?? "").replace("/v1", "");
}

/**
 * Hands a job with this vehicle to the form.
 * @param {Machine} machine
 * @param {any} vehicle
 */
export function search(machine, vehicle) {
  const file = machine.jobFile ? { ...machine.jobFile, vehicle } : firstJob(machine, vehicle);
  delete file.start_from;
  hand({ text: JSON.stringify(file, null, 2), parent: machine.job ?? undefined, from: machine.ref.job || machine.ref.vehicle ? `${machine.name} of ${machine.of} (${written(machine.ref)})` : machine.of });
}

/**
 * A job to begin with: the outer rod ends may move a little.
 * @param {Machine} machine
 * @param {any} vehicle
 */
function firstJob(machine, vehicle) {
  const freedom = (/** @type {string} */ axis) => ({ point: "steering.rod_outer_mm", axis, offset_from_mm: -20, offset_to_mm: 20 });
  return {
    name: `From ${machine.of}`, vehicle, freedoms: ["y", "z"].map(freedom),
    requirements: [{ quantity: "transmission_angle_deg", at_least: 20 }],
    goals: [{ minimise: "lean_steer_deg" }, { minimise: "steering_error_deg" }],
  };
}
