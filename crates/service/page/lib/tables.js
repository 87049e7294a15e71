// Tables of figures.

import { h } from "./dom.js";
import { capital, figure, symbol, withUnit, words } from "./format.js";

/** @typedef {import("./dom.js").Child} Child */

/**
 * @param {string} caption
 * @param {string[]} heads The first column names the row; the others are figures unless their head ends in a colon.
 * @param {Child[][]} rows
 */
export function table(caption, heads, rows) {
  const isText = heads.map((head, k) => k === 0 || head.endsWith(":"));
  const shown = heads.map((head) => head.replace(/:$/, ""));
  return h("div", { class: "wide", tabindex: 0, role: "group", "aria-label": caption },
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, ...shown.map((head, k) => h("th", { scope: "col", class: isText[k] ? "" : "n" }, head)))),
      h("tbody", {}, ...rows.map((row) => h("tr", {}, ...row.map((cell, k) => (k === 0
        ? h("th", { scope: "row" }, cell)
        : h("td", { class: isText[k] ? "" : "n" }, cell))))))));
}

/**
 * A difference with its sign; equal values say so.
 * @param {number | null | undefined} value
 * @param {string} unit
 */
export function difference(value, unit) {
  if (value === null || value === undefined) return "–";
  const text = figure(value, unit);
  if (!/[1-9]/.test(text)) return "same";
  return value > 0 ? `+${text}` : text;
}

/** @type {Record<string, string>} */
const ROLES = { minimise: "small", maximise: "large", report: "" };

/**
 * What is wanted of a quantity, in words.
 * @param {any} entry
 */
export function wish(entry) {
  const limit = entry.limit ?? {};
  const low = limit.at_least !== undefined && limit.at_least !== null ? `at least ${withUnit(limit.at_least, entry.unit)}` : "";
  const high = limit.at_most !== undefined && limit.at_most !== null ? `at most ${withUnit(limit.at_most, entry.unit)}` : "";
  return [low, high].filter(Boolean).join(", ") || (ROLES[entry.role] ?? "");
}

/**
 * A quantity's name with its poses where they are not the usual ones of the whole reach.
 * @param {any} entry
 */
export function quantityName(entry) {
  const over = entry.over ?? {};
  const ranges = [["lean_deg", "lean", "°"], ["steer_deg", "crank", "°"], ["travel_mm", "travel", " mm"]]
    .filter(([key]) => over[key])
    .map(([key, name, unit]) => `${name} ${[...new Set(over[key].map((/** @type {number} */ x) => String(x).replace("-", "−")))].join(" to ")}${unit}`);
  if (over.reach) ranges.push("reach");
  const at = entry.at === "p95" ? ", 95 % of machines built" : "";
  const unit = symbol(entry.unit);
  return `${capital(words(entry.quantity))}${unit ? `, ${unit}` : ""}${ranges.length > 0 ? ` (${ranges.join(", ")})` : ""}${at}`;
}

/**
 * A margin as shape and words: negative is broken.
 * @param {any} entry
 */
export function verdict(entry) {
  if (entry.margin === null || entry.margin === undefined) return "";
  const broken = entry.margin < 0 || entry.shortfall > 0;
  const text = entry.shortfall > 0 ? "poses not reached" : `${figure(entry.margin, entry.unit)} ${broken ? "beyond" : "to spare"}`;
  return h("span", { class: broken ? "broken" : "" }, `${broken ? "✕" : "✓"} ${text.replace("−", broken ? "" : "−")}`);
}

/**
 * Where a quantity is worst, in words: pose, state of loading, the parts that a gap lies between.
 * @param {any} entry
 */
export function placeWords({ worst, state, between }) {
  const parts = [];
  if (worst?.side) parts.push(worst.side);
  if (worst?.joint) parts.push(String(worst.joint).replaceAll("_", " "));
  if (worst?.lean_deg) parts.push(`lean ${withUnit(worst.lean_deg, "deg")}`);
  if (worst?.steer_deg) parts.push(`crank ${withUnit(worst.steer_deg, "deg")}`);
  if (worst?.travel_mm) parts.push(`travel ${withUnit(worst.travel_mm, "mm")}`);
  if (worst && parts.length === 0) parts.push("upright and straight");
  if (state) parts.push(state);
  if (between) parts.push(`between ${between.join(" and ")}`);
  return parts.join(", ");
}

/** @type {Record<string, string>} */
const MOTIONS = {
  steer_left: "Steer to the left, upright", steer_right: "Steer to the right, upright",
  steer_left_leaned: "Steer to the left, leaned into it", steer_right_leaned: "Steer to the right, leaned into it",
  lean_left: "Lean to the left", lean_right: "Lean to the right",
};

/**
 * What stops steering and lean. With what stood before, each end has both.
 * @param {any[]} stops
 * @param {any[] | null} [before]
 */
export function stopTable(stops, before) {
  const old = (/** @type {any} */ stop) => before?.find((one) => one.motion === stop.motion);
  const end = (/** @type {any} */ stop) => (!stop ? "–" : stop.at === null || stop.at === undefined ? "not in the range looked at" : withUnit(stop.at, stop.unit));
  const wheels = (/** @type {any} */ stop) => stop.inner_and_outer_deg
    ? stop.inner_and_outer_deg.map((/** @type {number} */ x) => withUnit(x, "deg")).join(" and ") : "";
  const heads = ["Motion", ...(before ? ["Before"] : []), before ? "Now" : "Ends at", "Inner and outer wheel", "What stops it:"];
  return table("What stops steering and lean", heads, stops.map((stop) => [
    MOTIONS[stop.motion] ?? stop.motion.replaceAll("_", " "), ...(before ? [end(old(stop))] : []), end(stop), wheels(stop),
    stop.at === null || stop.at === undefined ? "–" : stop.cause,
  ]));
}

/**
 * What stops steering and lean in each state of loading.
 * @param {any[]} states
 */
export function stopsOver(states) {
  const heads = ["Motion", ...states.map((one) => `${capital(one.loading)}:`)];
  const end = (/** @type {any} */ one, /** @type {string} */ motion) => {
    const stop = one.stops.find((/** @type {any} */ each) => each.motion === motion);
    if (!stop) return "–";
    return stop.at === null || stop.at === undefined ? "not in the range looked at" : `${withUnit(stop.at, stop.unit)}, ${stop.cause}`;
  };
  const motions = [...new Set(states.flatMap((one) => one.stops.map((/** @type {any} */ stop) => stop.motion)))];
  return table("What stops steering and lean in each state of loading", heads,
    motions.map((motion) => [MOTIONS[motion] ?? motion.replaceAll("_", " "), ...states.map((one) => end(one, motion))]));
}
