// Numbers, times and names as readers want them.

const ENDINGS = ["_nm_per_kn", "_deg_per_mm", "_deg", "_mm", "_mps", "_n", "_g", "_nm", "_kg", "_m"];
/** @type {Record<string, string>} */
const SYMBOLS = { deg: "°", "deg/mm": "°/mm" };

/**
 * Name of a quantity without its unit: `lean_steer_deg` is "lean steer".
 * @param {string} name
 */
export function words(name) {
  const ending = ENDINGS.find((one) => name.endsWith(one)) ?? "";
  return name.slice(0, name.length - ending.length).replaceAll("_", " ");
}

/** @param {string} text */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @param {string} unit */
export const symbol = (unit) => SYMBOLS[unit] ?? unit;

/**
 * A number to the places that make sense in its unit, with a true minus sign and no negative zero.
 * @param {number | null | undefined} value
 * @param {string} [unit]
 */
export function figure(value, unit = "") {
  if (value === null || value === undefined || !Number.isFinite(value)) return "–";
  const text = value.toFixed(places(Math.abs(value), unit));
  return /[1-9]/.test(text) ? text.replace("-", "−") : text.replace("-", "");
}

/**
 * @param {number} size
 * @param {string} unit
 */
function places(size, unit) {
  if (unit === "mm") return 1;
  if (unit === "deg/mm") return 4;
  if (unit === "m") return 2;
  if (size >= 100) return 1;
  return size < 0.1 && size > 0 ? 3 : 2;
}

/**
 * @param {number | null | undefined} value
 * @param {string} unit
 */
export function withUnit(value, unit) {
  const text = figure(value, unit);
  const sign = symbol(unit);
  if (text === "–" || sign === "") return text;
  return sign.startsWith("°") ? text + sign : `${text}\u00a0${sign}`;
}

/**
 * A number that somebody wrote, such as a limit: as it was written, with its unit.
 * @param {number} value
 * @param {string} unit
 */
export function asked(value, unit) {
  const sign = symbol(unit);
  return `${String(value).replace("-", "−")}${sign && !sign.startsWith("°") ? "\u00a0" : ""}${sign}`;
}

/**
 * The poses that a quantity is taken over, in words.
 * @param {import("./types.js").Over | null | undefined} over
 */
export function posesText(over) {
  if (!over) return "";
  const range = (/** @type {string} */ name, /** @type {string} */ unit, /** @type {number[] | undefined} */ ends) =>
    ends && (ends[0] === ends[1] ? `${name} ${ends[0]}${unit}` : `${name} ${ends[0]} to ${ends[1]}${unit}`).replaceAll("-", "−");
  const parts = [range("lean", "°", over.lean_deg), range("crank", "°", over.steer_deg), range("travel", " mm", over.travel_mm), over.reach && "reach"];
  return parts.filter(Boolean).join(", ");
}

/**
 * A whole number with narrow gaps between thousands.
 * @param {number} value
 */
export const count = (value) => String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, "\u202f");

/**
 * @param {string} at
 * @returns {string} such as "25 Nov, 17:23"
 */
export const moment = (at) =>
  new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" })
    .format(new Date(at));

/**
 * @param {number} ms
 * @returns {string} such as "2 min 5 s"
 */
export function duration(ms) {
  const seconds = Math.max(0, Math.round(ms / 1000));
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${minutes} min ${seconds % 60} s`;
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
