// The candidates of a finished job as columns of numbers, whether the chosen ones or the whole archive.

import { ask, get } from "./api.js";
import { numbers } from "./csv.js";
import { freedomsOf } from "./layouts.js";
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
 *   whole: boolean, size: number, columns: Column[], names: number[], marks: Mark[], near: (number | undefined)[],
 *   layouts: string[], of: number[],
 * }} Table
 * `layouts` are the names of the layouts where a job searched several, `of` the place of each candidate's.
 * `names` are numbers of candidates; those of the archive alone are numbered on from the front's last.
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
  const freedoms = freedomsOf(input);
  return { front, submitted, chosen: chosen(front, submitted, csv, freedoms), freedoms };
}

/**
 * @param {Front} front
 * @param {Candidate} submitted
 * @param {string} csv
 * @param {any[][]} freedoms
 * @returns {Table}
 */
function chosen(front, submitted, csv, freedoms) {
  return {
    whole: false, size: front.candidates.length,
    columns: [...figures(submitted, csv), ...offsets(freedoms, front.candidates, names(front))],
    ...placed(front, front.candidates),
    names: front.candidates.map(({ number }) => number),
    marks: front.candidates.map((row) => (!row.feasible ? "broken" : row.nearest ? "near" : row.knee ? "knee" : "dot")),
    near: front.candidates.map((row) => row.nearest),
  };
}

/**
 * The whole archive. A front keeps its goals and offsets; the server computes the rest again.
 * @param {string} id
 * @param {Front} front
 * @param {Candidate} submitted
 * @param {any[][]} freedoms
 * @param {AbortSignal} signal
 * @returns {Promise<Table>}
 */
export async function loadArchive(id, front, submitted, freedoms, signal) {
  const csv = await (await ask(`/v1/jobs/${id}/archive`, { accept: "text/csv", signal })).text();
  const key = (/** @type {{ layout?: number, vector: number[] }} */ row) => [row.layout ?? 0, ...row.vector].join(" ");
  const known = new Map(front.candidates.map((row) => [key(row), row]));
  const rows = front.archive.map((row) => known.get(key(row)));
  return {
    whole: true, size: front.archive.length,
    columns: [...figures(submitted, csv), ...offsets(freedoms, front.archive, names(front))],
    ...placed(front, front.archive),
    names: Array.from(numbers(csv).columns[0]),
    marks: rows.map((row) => (row?.nearest ? "near" : row?.knee ? "knee" : "dot")),
    near: rows.map((row) => row?.nearest),
  };
}

/** @param {Front} front */
const names = (front) => (front.layouts ?? []).map(({ name }) => name);

/**
 * @param {Front} front
 * @param {{ layout?: number }[]} rows
 */
const placed = (front, rows) => ({ layouts: names(front), of: rows.map(({ layout }) => layout ?? 0) });

/**
 * The quantities asked for, out of a table of candidates: number and feasibility come first there and,
 * of several layouts, the layout's name; then every quantity in this very order.
 * @param {Candidate} submitted
 * @param {string} csv
 * @returns {Column[]}
 */
function figures(submitted, csv) {
  const { heads, columns, rows } = numbers(csv);
  const first = heads.indexOf("layout") + 1 || 2;
  return askedOf(submitted).map((column, i) => ({ ...column, values: columns[i + first] ?? new Float64Array(rows).fill(NaN) }));
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
 * A column for each freedom of each layout; candidates of other layouts have no number there.
 * @param {any[][]} freedoms
 * @param {{ layout?: number, vector: number[] }[]} rows
 * @param {string[]} layouts
 * @returns {Column[]}
 */
function offsets(freedoms, rows, layouts) {
  const column = (/** @type {any} */ freedom, /** @type {number} */ i, /** @type {number} */ place) => ({
    kind: /** @type {"freedom"} */ ("freedom"), label: [layouts[place], freedomText(freedom)].filter(Boolean).join(": "),
    note: freedom.parameter ? "" : "offset",
    quantity: "", unit: unitOf(freedom), better: /** @type {""} */ (""),
    values: Float64Array.from(rows, (row) => ((row.layout ?? 0) === place ? row.vector[i] : NaN)), submitted: freedom.parameter ? null : 0,
  });
  return freedoms.flatMap((own, place) => own.map((freedom, i) => column(freedom, i, place)));
}

/** @param {any} freedom */
const unitOf = ({ parameter, direction }) => (parameter ? "" : direction ? "deg" : "mm");

/** @param {any} freedom */
function freedomText({ point, axis, parameter, direction, about }) {
  if (direction) return `${capital(words(direction).replaceAll(".", ", "))}, about ${about}`;
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
