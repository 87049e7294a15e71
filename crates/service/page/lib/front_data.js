// The candidates of a finished job as columns of numbers, whether the chosen ones or the whole archive.

import { ask, get } from "./api.js";
import { numbers } from "./csv.js";
import { asked as written, capital, posesText, symbol, words } from "./format.js";

/** @typedef {import("./types.js").Front} Front */
/** @typedef {import("./types.js").Candidate} Candidate */
/** @typedef {import("./types.js").QuantityValue} QuantityValue */
/** @typedef {import("./marks.js").Mark} Mark */

/**
 * A quantity or an offset, for every candidate. `better` is the end that is wanted of a goal; limits
 * are those of a requirement.
 * @typedef {{
 *   kind: "goal" | "requirement" | "freedom", label: string, note: string, quantity: string, unit: string,
 *   better: "small" | "large" | "", atMost?: number, atLeast?: number,
 *   values: Float64Array, submitted: number | null,
 * }} Column
 *
 * @typedef {{
 *   whole: boolean, size: number, columns: Column[], names: (number | null)[], marks: Mark[], near: (number | undefined)[],
 * }} Table
 * `names` are numbers on the front; a candidate of the archive alone has none.
 */

/**
 * @param {string} id
 * @param {AbortSignal} signal
 */
export async function loadFront(id, signal) {
  const path = `/v1/jobs/${id}`;
  /** @type {[Front, Candidate, string, any]} */
  const [front, submitted, csv, input] = await Promise.all([
    get(`${path}/front`, signal), get(`${path}/submitted`, signal),
    ask(`${path}/front`, { accept: "text/csv", signal }).then((answer) => answer.text()),
    get(`${path}/input`, signal),
  ]);
  return { front, submitted, chosen: chosen(front, submitted, csv, input.freedoms), freedoms: input.freedoms };
}

/**
 * @param {Front} front
 * @param {Candidate} submitted
 * @param {string} csv
 * @param {any[]} freedoms
 * @returns {Table}
 */
function chosen(front, submitted, csv, freedoms) {
  const table = numbers(csv);
  const asked = askedOf(submitted);
  // Number and feasibility come first; then every quantity asked for, in this very order.
  const columns = asked.map((column, i) => ({ ...column, values: table.columns[i + 2] ?? new Float64Array(table.rows) }));
  return {
    whole: false, size: front.candidates.length,
    columns: [...columns, ...offsets(freedoms, front.candidates)],
    names: front.candidates.map(({ number }) => number),
    marks: front.candidates.map((row) => (!row.feasible ? "broken" : row.nearest ? "near" : row.knee ? "knee" : "dot")),
    near: front.candidates.map((row) => row.nearest),
  };
}

/**
 * The whole archive: goals and offsets, for which nothing need be computed again.
 * @param {Front} front
 * @param {Candidate} submitted
 * @param {any[]} freedoms
 * @returns {Table}
 */
export function archive(front, submitted, freedoms) {
  const key = (/** @type {number[]} */ vector) => vector.join(" ");
  const known = new Map(front.candidates.map((row) => [key(row.vector), row]));
  const rows = front.archive.map((row) => known.get(key(row.vector)));
  const goals = askedOf(submitted).slice(0, front.goals.length).map((column, i) => ({
    ...column, values: Float64Array.from(front.archive, (row) => row.goals[i]),
  }));
  return {
    whole: true, size: front.archive.length,
    columns: [...goals, ...offsets(freedoms, front.archive)],
    names: rows.map((row) => row?.number ?? null),
    marks: rows.map((row) => (row?.nearest ? "near" : row?.knee ? "knee" : "dot")),
    near: rows.map((row) => row?.nearest),
  };
}

/**
 * Every quantity that the job asks for, once: goals first, then requirements; limits on the same
 * quantity over the same poses go together.
 * @param {Candidate} submitted
 * @returns {Omit<Column, "values">[]}
 */
function askedOf({ goals, requirements }) {
  /** @type {Map<string, Omit<Column, "values">>} */
  const found = new Map();
  for (const entry of [...goals, ...requirements]) {
    const key = JSON.stringify([entry.quantity, entry.over ?? null, entry.at ?? null]);
    const column = found.get(key) ?? fresh(entry);
    const { at_most: atMost, at_least: atLeast } = entry.limit ?? {};
    const limited = requirements.includes(entry);
    if (limited && typeof atMost === "number") column.atMost = Math.min(atMost, column.atMost ?? Infinity);
    if (limited && typeof atLeast === "number") column.atLeast = Math.max(atLeast, column.atLeast ?? -Infinity);
    found.set(key, column);
  }
  return [...found.values()];
}

/**
 * @param {QuantityValue} entry
 * @returns {Omit<Column, "values">}
 */
function fresh({ quantity, unit, role, value, over, at }) {
  const better = role === "minimise" ? "small" : role === "maximise" ? "large" : "";
  const built = at === "p95" ? "95 % of machines built" : "";
  return {
    kind: better ? "goal" : "requirement", label: capital(words(quantity)), quantity, unit, better,
    note: [built, posesText(over)].filter(Boolean).join(", "), submitted: value ?? null,
  };
}

/**
 * @param {any[]} freedoms
 * @param {{ vector: number[] }[]} rows
 * @returns {Column[]}
 */
function offsets(freedoms, rows) {
  return freedoms.map((freedom, i) => ({
    kind: "freedom", label: freedomText(freedom), note: freedom.parameter ? "" : "offset", quantity: "", unit: freedom.parameter ? "" : "mm",
    better: "", values: Float64Array.from(rows, (row) => row.vector[i]), submitted: freedom.parameter ? null : 0,
  }));
}

/** @param {any} freedom */
function freedomText({ point, axis, parameter }) {
  if (!point) return capital(words(parameter ?? "").replaceAll(".", " "));
  const parts = point.split(".").map(words);
  return `${capital(parts.join(", "))}, ${axis}`;
}

/** @param {Column} column */
export const heading = ({ label, unit }) => (unit && symbol(unit) ? `${label}, ${symbol(unit)}` : label);

/**
 * The limits of a requirement in words.
 * @param {Column} column
 */
export function limits({ atMost, atLeast, unit }) {
  const texts = [atLeast !== undefined && `at least ${written(atLeast, unit)}`, atMost !== undefined && `at most ${written(atMost, unit)}`];
  return texts.filter(Boolean).join(", ");
}
