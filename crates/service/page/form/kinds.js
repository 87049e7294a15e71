// What a JSON Schema asks for, as far as a form need know it.

import { capital, symbol, words } from "../lib/format.js";

/** @typedef {Record<string, any>} Schema */

const ENDINGS = /_(deg_per_mm|nm_per_kn|deg|mm|mps|n|g|nm|kg|m)$/;
/** @type {Record<string, string>} */
const UNITS = { deg: "°", deg_per_mm: "°/mm", nm_per_kn: "N·m/kN", mps: "m/s", n: "N", nm: "N·m" };

/**
 * @param {Schema} schema
 * @returns {"flag" | "choice" | "whole" | "number" | "text" | "numbers" | "row" | "list" | "variants" | "group"}
 */
export function kindOf(schema) {
  if (schema.enum) return "choice";
  if (schema.type === "boolean") return "flag";
  if (schema.type === "integer") return "whole";
  if (schema.type === "number") return "number";
  if (schema.type === "string") return "text";
  if (schema.type === "array") {
    if (schema.items.type !== "number") return "list";
    return schema.minItems === schema.maxItems ? "row" : "numbers";
  }
  return schema.oneOf && !schema.properties ? "variants" : "group";
}

/**
 * A name of the file as a label: `offset_from_mm` is "Offset from, mm".
 * @param {string} name
 */
export function labelOf(name) {
  const unit = ENDINGS.exec(name)?.[1];
  return capital(words(name)) + (unit ? `, ${UNITS[unit] ?? unit}` : "");
}

/**
 * The label of one of a list of words: a quantity with its unit, a point as words.
 * @param {string} word
 * @param {Map<string, string>} units Of the quantities.
 */
export function choiceLabel(word, units) {
  const unit = units.get(word);
  if (unit !== undefined) return words(word) + (unit ? `, ${symbol(unit)}` : "");
  return word.split(".").map(words).join(", ");
}

/**
 * The least document that a schema lets begin: what must be there, and nothing more.
 * @param {Schema} schema
 * @returns {any}
 */
export function blank(schema) {
  if (schema.const !== undefined) return schema.const;
  switch (kindOf(schema)) {
    case "variants": return blank(usual(schema.oneOf));
    case "group": {
      const wanted = [...(schema.required ?? []), ...(schema.oneOf?.[0]?.required ?? [])];
      return Object.fromEntries(wanted.map((name) => [name, blank(schema.properties[name])]));
    }
    case "list": return Array.from({ length: schema.minItems ?? 0 }, () => blank(schema.items));
    case "row": return Array(schema.minItems).fill(null);
    case "numbers": return [];
    case "choice": return schema.enum.length === 1 ? schema.enum[0] : null;
    case "flag": return true;
    default: return null;
  }
}

/**
 * The variant to begin with: the first by its word; without a word, the one that asks for most.
 * @param {Schema[]} variants
 */
function usual(variants) {
  if (tagOf(variants)) return variants[0];
  const asked = (/** @type {Schema} */ one) => one.required?.length ?? 0;
  return variants.reduce((most, one) => (asked(one) > asked(most) ? one : most));
}

/**
 * The name of the member that tells variants apart by a word, if one does.
 * @param {Schema[]} variants
 */
export function tagOf(variants) {
  const names = Object.keys(variants[0].properties ?? {});
  return names.find((name) => variants.every((one) => one.properties?.[name]?.const !== undefined)) ?? null;
}

/**
 * Which variant a value is meant to be.
 * @param {Schema[]} variants
 * @param {any} value
 */
export function variantOf(variants, value) {
  const tag = tagOf(variants);
  if (tag) return Math.max(0, variants.findIndex((one) => one.properties[tag].const === value?.[tag]));
  const fits = variants.map((one) => Object.keys(value ?? {}).filter((name) => one.properties?.[name]).length);
  return fits.indexOf(Math.max(...fits));
}

/**
 * @param {Schema[]} variants
 * @param {number} index
 */
export function variantLabel(variants, index) {
  const tag = tagOf(variants);
  return capital(words(tag ? variants[index].properties[tag].const : variants[index].required?.[0] ?? `form ${index + 1}`));
}

/**
 * The values that a number may have, in words.
 * @param {Schema} schema
 */
export function boundsText(schema) {
  const { minimum, maximum, exclusiveMinimum, exclusiveMaximum } = schema;
  const low = exclusiveMinimum !== undefined ? `above ${exclusiveMinimum}` : minimum !== undefined ? `from ${minimum}` : "";
  const high = exclusiveMaximum !== undefined ? `below ${exclusiveMaximum}` : maximum !== undefined && maximum < 1e9 ? `to ${maximum}` : "";
  return [low, high].filter(Boolean).join(" ").replaceAll("-", "−");
}
