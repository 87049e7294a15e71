// What the machine does: steering error over lean and steer, what stops it, curves, figures.

import { h, put } from "../../lib/dom.js";
import { figureOf } from "../../lib/drawn.js";
import { capital, figure, withUnit } from "../../lib/format.js";
import { chosenState, stateLinks } from "../../lib/loadings.js";
import { address, assess } from "../../lib/machines.js";
import { difference, placeWords, quantityName, stopTable, stopsOver, table, verdict, wish } from "../../lib/tables.js";

/** @typedef {import("../../lib/machines.js").Machine} Machine */

const CURVES = ["steer_over_lean", "error_over_steer", "toe_over_travel", "contacts_over_lean", "ball_joints_over_lean", "angles_over_steer"];

/**
 * @param {HTMLElement} place
 * @param {Machine} machine
 * @param {AbortSignal} signal
 * @param {URLSearchParams} query
 */
export async function fill(place, machine, signal, query) {
  const { vehicle, before: other, reach, job } = machine;
  const chosen = chosenState(vehicle, query);
  const { loading, each } = chosen;
  const upright = ["error_map", "turn_top_view"];
  const [now, before, states] = await Promise.all([
    assess({ ...machine, loading }, each ? upright : [...upright, ...CURVES], signal),
    other ? assess({ vehicle: other, reach, job, loading }, [], signal).catch(() => null) : null,
    each ? assess({ vehicle, reach, loadings: true }, CURVES, signal) : null,
  ]);
  const [map, turn, ...curves] = [...now.pictures, ...(states?.pictures ?? [])];
  put(place,
    stateLinks(vehicle, chosen, `#${address(machine.ref)}?show=does`),
    chosen.loading !== "" && h("p", { class: "small soft" }, `Pictures, curves and stops are those of the state "${chosen.loading}"; figures are the worst over all states.`),
    h("div", { class: "pair" },
      h("section", {}, h("h2", {}, `Steering error over lean and steer${each ? ", as drawn" : ""}`), figureOf(map),
        h("p", { class: "small soft" }, reachWords(reachIn(vehicle, loading) ?? now.reach), " Steer is the angle that one wheel in the middle of the front axle would need for the turn that is made; the error counts against rolling without scrub.")),
      h("section", {}, h("h2", {}, "What stops steering and lean"), states ? stopsOver(states.loadings) : stopTable(now.stops, before?.stops), figureOf(turn))),
    wanted(now.asked, before?.asked, machine),
    h("section", {}, h("h2", {}, each ? "Curves, all states of loading over one another" : "Curves"),
      h("div", { class: "pictures" }, ...curves.map(figureOf))),
    every(now, before, machine),
    closing(now));
}

/**
 * The reach of a state of loading, where it has one of its own.
 * @param {any} vehicle
 * @param {string} loading
 */
const reachIn = (vehicle, loading) => vehicle.loadings?.find((/** @type {any} */ one) => one.name === loading)?.reach;

/** @param {any} reach */
const reachWords = (reach) =>
  `Outlined: balanced turns of the reach, ${reach.speed_mps[0]} to ${reach.speed_mps[1]} m/s, radius ${reach.radius_m[0]} to ${reach.radius_m[1]} m, lean to ${withUnit(reach.lean_limit_deg, "deg")}.`;

/**
 * @param {any} asked
 * @param {any} before
 * @param {Machine} machine
 */
function wanted(asked, before, machine) {
  if (!asked) return null;
  const old = before ? [...before.goals, ...before.requirements] : [];
  const rows = [...asked.goals, ...asked.requirements].map((entry, k) => [
    quantityName(entry), wish(entry), figure(entry.value, entry.unit),
    ...(before ? [figure(old[k]?.value, entry.unit)] : []), verdict(entry), placeWords(entry),
  ]);
  const heads = ["Quantity", "Wanted:", "Value", ...(before ? [capital(machine.beforeName)] : []), "Margin:", "Worst where:"];
  return h("section", {}, h("h2", {}, "What was asked of it"), table("Goals and requirements of the job", heads, rows));
}

/**
 * @param {any} now
 * @param {any} before
 * @param {Machine} machine
 */
function every(now, before, machine) {
  const rows = now.quantities.map((/** @type {any} */ entry) => {
    const old = before?.quantities.find((/** @type {any} */ one) => one.quantity === entry.quantity);
    const change = old && entry.value !== null && old.value !== null ? entry.value - old.value : null;
    return [quantityName(entry), figure(entry.value, entry.unit), ...(before ? [figure(old?.value, entry.unit), difference(change, entry.unit)] : []), placeWords(entry)];
  });
  const heads = ["Quantity", "Value", ...(before ? [capital(machine.beforeName), "Change"] : []), "Worst where:"];
  return h("details", {}, h("summary", {}, `All ${rows.length} quantities over their usual poses`), table("Every quantity", heads, rows));
}

/** @param {any} now */
function closing(now) {
  return h("details", { class: "small" }, h("summary", {}, "What the model leaves out, and cautions"),
    h("ul", {}, ...now.notes.map((/** @type {string} */ note) => h("li", {}, note))),
    h("ul", {}, ...now.cautions.map((/** @type {string} */ caution) => h("li", {}, caution))));
}

/**
 * Static set-up of both sides.
 * @param {any} now
 */
export function setUp(now) {
  const [left, right] = now.set_up;
  const rows = left.figures.map((/** @type {any} */ one, /** @type {number} */ k) => [
    quantityName({ quantity: one.name, unit: one.unit }), figure(one.value, one.unit),
    ...(now.symmetric ? [] : [figure(right.figures[k]?.value, one.unit)]),
  ]);
  return table("Set-up in the design pose", ["Figure", now.symmetric ? "Both sides" : "Left", ...(now.symmetric ? [] : ["Right"])], rows);
}
