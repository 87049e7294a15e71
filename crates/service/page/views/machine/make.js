// What to make: points by the part that carries them, rods, set-up, loads, what errors do, files.

import { ask, get, keep, save } from "../../lib/api.js";
import { clear, h, put } from "../../lib/dom.js";
import { notice } from "../../lib/fault.js";
import { capital, figure, symbol, words } from "../../lib/format.js";
import { keepDialog } from "../../lib/keep.js";
import { address, assess } from "../../lib/machines.js";
import { at, byCarrier, pointWords, points, sideWords } from "../../lib/points.js";
import { difference, quantityName, table } from "../../lib/tables.js";
import { setUp } from "./does.js";

/** @typedef {import("../../lib/machines.js").Machine} Machine */

/**
 * @param {HTMLElement} place
 * @param {Machine} machine
 * @param {AbortSignal} signal
 */
export async function fill(place, machine, signal) {
  const { vehicle, before, reach } = machine;
  const [now, old] = await Promise.all([
    assess({ vehicle, reach }, [], signal), before ? assess({ vehicle: before, reach }, [], signal).catch(() => null) : null,
  ]);
  put(place,
    h("p", { class: "care" }, "Figures come from rigid bodies without play. Have strength, brakes and stability checked by somebody licensed to do so where that is the practice, and keep to local rules."),
    h("section", {}, h("h2", {}, "Points by the part that carries them"),
      h("p", { class: "small soft" }, "Millimetres in frame axes: x forward, y left, z up, from the ground midway between the front contacts."),
      bench(machine)),
    sizesTable(machine),
    h("section", {}, h("h2", {}, "Rods"), rods(now, old, machine)),
    h("section", {}, h("h2", {}, "Set-up"), setUp(now)),
    now.strength && loads(now.strength),
    study(machine, signal),
    files(machine, signal));
}

/** @param {Machine} machine */
function bench({ vehicle, before, beforeName }) {
  const heads = ["Point", "Side", "x", "y", "z", ...(before ? ["Δx", "Δy", "Δz"] : [])];
  const caption = before ? `Δ is the change against ${beforeName === "submitted" ? "the submitted vehicle" : beforeName}; moved points stand out` : "All points";
  const row = (/** @type {import("../../lib/points.js").Hardpoint} */ point) => {
    const old = before ? at(before, point.path) : null;
    const change = point.at.map((x, k) => (old ? x - old[k] : null));
    const moved = change.some((d) => d !== null && Math.abs(d) > 1e-9);
    const name = capital(pointWords(point.path));
    const changes = before ? change.map((d) => (d === null ? "new" : Math.abs(d) < 1e-9 ? "0" : signed(d))) : [];
    return h("tr", {}, h("th", { scope: "row" }, moved ? h("strong", {}, name) : name), h("td", {}, sideWords(vehicle, point)),
      ...[...point.at.map(place), ...changes].map((text) => h("td", { class: "n" }, text)));
  };
  const group = (/** @type {[string, import("../../lib/points.js").Hardpoint[]]} */ [carrier, list]) =>
    h("tbody", {}, h("tr", { class: "carrier" }, h("th", { colspan: heads.length, scope: "rowgroup" }, carrier)), ...list.map(row));
  return h("div", { class: "wide", tabindex: 0, role: "group", "aria-label": "Points" },
    h("table", {}, h("caption", {}, caption), h("thead", {}, h("tr", {}, ...heads.map((head, k) => h("th", { scope: "col", class: k > 1 ? "n" : "" }, head)))),
      ...byCarrier(vehicle, points(vehicle)).map(group)));
}

/** @param {number} x */
const place = (x) => x.toFixed(2).replace("-", "−");
/** @param {number} d */
const signed = (d) => `${d > 0 ? "+" : "−"}${Math.abs(d).toFixed(2)}`;

/** @param {Machine} machine */
function sizesTable({ candidate }) {
  const sizes = candidate?.sizes ?? [];
  if (sizes.length === 0) return null;
  return h("section", {}, h("h2", {}, "Sizes from lists"), table("Sizes chosen from their lists, mm", ["Size", "Submitted", "Now"],
    sizes.map((/** @type {any} */ size) => [capital(size.parameter.replaceAll("_", " ").replaceAll(".", ", ")), figure(size.submitted_mm, "mm"), figure(size.chosen_mm, "mm")])));
}

/** @type {[string, string][]} */
const RODS = [["left_mm", "Rod to the left knuckle"], ["right_mm", "Rod to the right knuckle"], ["drag_link_mm", "Drag link"], ["centre_link_mm", "Centre link"]];

/**
 * @param {any} now
 * @param {any} old
 * @param {Machine} machine
 */
function rods(now, old, machine) {
  const rows = RODS.filter(([key]) => now.rod_lengths[key] !== undefined).map(([key, name]) => {
    const [length, before] = [now.rod_lengths[key], old?.rod_lengths[key]];
    return [name, place(length), ...(old ? [before === undefined ? "–" : place(before), before === undefined ? "–" : difference(length - before, "mm")] : [])];
  });
  return table("Lengths between the centres of the ends, mm; they set the toe", ["Rod", "Now", ...(old ? [capital(machine.beforeName), "Change"] : [])], rows);
}

/** @param {any} sheet */
function loads(sheet) {
  const members = sheet.loads[0]?.left.map((/** @type {any} */ one) => one.name) ?? [];
  const rows = members.map((/** @type {string} */ name, /** @type {number} */ k) => {
    let worst = { value: 0, load_case: 0, side: "left" };
    for (const row of sheet.loads) {
      for (const side of ["left", "right"]) {
        const value = row[side][k]?.value;
        if (value !== null && value !== undefined && Math.abs(value) > Math.abs(worst.value)) worst = { value, load_case: row.load_case, side };
      }
    }
    return [capital(words(name)), figure(worst.value, "N"), sheet.loads[0].left[k].unit, worst.side, sheet.load_cases[worst.load_case]];
  });
  const standing = sheet.standing.map((/** @type {any} */ one) => [capital(one.loading), figure(one.total_kg), figure(one.mean_travel_mm, "mm"), ...one.level_n.map((/** @type {number} */ x) => figure(x, "N")),
    figure(Math.min(...one.nose_up_n, ...one.nose_down_n, ...one.left_up_n, ...one.right_up_n), "N")]);
  const slope = sheet.standing[0]?.slope_deg;
  return h("section", {}, h("h2", {}, "Loads"),
    h("p", { class: "small soft" }, `First figures, no proof. Load cases: ${sheet.load_case_source.replace(/\.$/, "")}.${sheet.standing.length > 1 ? " Forces and stub axle are those of the machine as drawn; the worst over all states of loading stands among the figures." : ""}`),
    table("Largest force of each part over all load cases and turns; tension is positive in legs, rods and links", ["Part", "Force", "Unit:", "Side:", "Load case:"], rows),
    axle(sheet.stub_axle, sheet.load_cases),
    table(`Wheel loads on the level, N, and the smallest of any wheel parked on ${slope}° in four directions`, ["Loading", "kg", "Mean travel, mm", "Left front", "Right front", "Rear", "Smallest parked"], standing));
}

/**
 * @param {any} sheet
 * @param {string[]} cases
 */
function axle(sheet, cases) {
  if (!sheet) return null;
  const rows = sheet.spots.map((/** @type {any} */ spot) => {
    const worst = spot.safety.reduce((/** @type {any} */ a, /** @type {any} */ b) => (b.factor < a.factor ? b : a));
    return [`${figure(spot.place_mm, "mm")} mm from the root`, figure(spot.diameter_mm, "mm"), figure(spot.notch), figure(worst.factor), worst.criterion.replaceAll("_", " "), cases[worst.load_case], figure(spot.damage)];
  });
  return table(`Stub axle of ${sheet.material} (${sheet.material_source}); least safety asked ${sheet.least_safety}`, ["Spot", "Diameter, mm", "Notch factor", "Least safety", "By:", "Load case:", "Miner's sum"], rows);
}

/**
 * @param {Machine} machine
 * @param {AbortSignal} signal
 */
function study({ ref, jobFile, candidate }, signal) {
  if (candidate?.study) return h("section", {}, h("h2", {}, "What the workshop's errors do"), studied(candidate.study));
  if (!ref.job || !jobFile?.tolerance) return null;
  const into = h("div", {});
  const run = async () => {
    go.disabled = true;
    clear(into, h("p", { role: "status" }, "Building machines with errors…"));
    try {
      const found = await get(`/v1/jobs/${ref.job}/candidates/${ref.number}/study`, signal);
      clear(into, studied(found));
    } catch (error) {
      clear(into, notice(error));
      go.disabled = false;
    }
  };
  const go = h("button", { type: "button", class: "no-print", onclick: () => void run() }, "Build machines with the workshop's errors");
  return h("section", {}, h("h2", {}, "What the workshop's errors do"), go, into);
}

/** @param {any} found */
function studied(found) {
  const rows = found.quantities.map((/** @type {any} */ entry) => [quantityName(entry), figure(entry.nominal, entry.unit), figure(entry.p50, entry.unit), figure(entry.p95, entry.unit), figure(entry.worst, entry.unit),
    entry.causes.slice(0, 2).map((/** @type {any} */ cause) => `${cause.of}${cause.axis ? ` ${cause.axis}` : ""} (${Math.round(100 * cause.share)} %)`).join(", ")]);
  return h("div", {}, h("p", {}, `${found.samples} machines with ${found.errors} errors each, standard deviation ${found.sigma_mm} mm; ${found.unassembled} do not assemble.`),
    table("Quantities as drawn and as built", ["Quantity", "As drawn", "Half keep", "95 % keep", "Worst", "Strongest errors:"], rows));
}

/** @type {[string, string, string, string][]} Of a candidate: label, path, media type, file name. */
const FILES = [
  ["Report", "/report", "text/html", "report.html"],
  ["Everything, JSON", "", "application/json", "candidate.json"],
  ["Hardpoints, CSV", "/hardpoints", "text/csv", "hardpoints.csv"],
  ["Hardpoints, Parquet", "/hardpoints", "application/vnd.apache.parquet", "hardpoints.parquet"],
];

/**
 * @param {Machine} machine
 * @param {AbortSignal} signal
 */
function files(machine, signal) {
  const { ref, vehicle, reach } = machine;
  const said = h("div", {});
  const stem = ref.job ? `${ref.job}-${ref.number}` : `${ref.vehicle}-version-${ref.version}`;
  const guarded = (/** @type {() => Promise<unknown>} */ run) => () => void run().then(() => clear(said), (error) => clear(said, notice(error)));
  const button = (/** @type {string} */ label, /** @type {() => Promise<unknown>} */ run) => h("button", { type: "button", onclick: guarded(run) }, label);
  const text = () => (ref.job ? JSON.stringify(vehicle, null, 2) : ask(`/v1${address(ref)}`, { signal }).then((answer) => answer.text()));
  const drawn = async (/** @type {string} */ accept, /** @type {string} */ ending, /** @type {string} */ query) => {
    const answer = await ask(`/v1/assessments${query}`, { method: "POST", accept, body: { vehicle, reach: reach ?? undefined }, signal });
    keep(await answer.blob(), `${stem}-${ending}`);
  };
  const own = ref.job
    ? FILES.map(([label, path, accept, name]) => button(label, () => save(`/v1${address(ref)}${path}`, accept, `${stem}-${name}`)))
    : [button("Report", () => drawn("text/html", "report.html", ""))];
  const pictures = [["Front view", "front_view"], ["Top view", "top_view"], ["Side view of the corner", "corner_view"], ["Steering error", "error_map"], ["Steer over lean", "steer_over_lean"]];
  return h("section", { class: "no-print" }, h("h2", {}, "Files"),
    h("div", { class: "row" }, ...own, button("Vehicle file, JSON", async () => keep(new Blob([await text()], { type: "application/json" }), `${stem}-vehicle.json`))),
    h("h3", {}, "Pictures, SVG"),
    h("div", { class: "row" }, ...pictures.map(([label, name]) => button(label, () => drawn("image/svg+xml", `${name}.svg`, `?picture=${name}`)))),
    h("h3", {}, "Keep it"),
    h("p", {}, h("button", { type: "button", onclick: () => void keepDialog(machine, vehicle) }, "Save as a vehicle")),
    said, h("p", { class: "small soft" }, `Units: ${symbol("mm")}, ${symbol("deg")}, N. Files carry the unit in each name.`));
}
