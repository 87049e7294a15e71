// Fields for single values. Each writes what it holds into the model as soon as it is changed.

import { fresh, h } from "../lib/dom.js";
import { boundsText, choiceLabel, kindOf, labelOf } from "./kinds.js";
import { pointer } from "./model.js";

/** @typedef {import("./kinds.js").Schema} Schema */
/** @typedef {import("./model.js").Path} Path */
/** @typedef {{ model: import("./model.js").Model, units: Map<string, string>, changed: () => void }} Desk */

const AXES = ["x", "y", "z"];

/**
 * A field with its label and what it means.
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} name
 * @param {boolean} [required]
 */
export function field(desk, schema, path, name, required = true) {
  const id = fresh("field");
  const hint = `${id}-hint`;
  const control = controlOf(desk, schema, path, { id, hint, required });
  const usual = schema.default ?? "";
  const text = [schema.description, usual !== "" && `by default ${JSON.stringify(usual)}`].filter(Boolean).join("; ");
  return h("div", { class: "field", "data-pointer": pointer(path) },
    h("label", { for: kindOf(schema) === "row" ? `${id}-0` : id }, labelOf(name)),
    h("div", { class: "control" }, control, text && h("p", { class: "hint", id: hint }, text)));
}

/**
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {{ id: string, hint: string, required: boolean }} how
 * @returns {HTMLElement}
 */
function controlOf(desk, schema, path, { id, hint, required }) {
  const { model } = desk;
  const write = (/** @type {any} */ value) => {
    model.set(path, value);
    desk.changed();
  };
  const value = model.get(path);
  const shared = { id, "aria-describedby": schema.description ? hint : null };
  switch (kindOf(schema)) {
    case "choice": return choice(desk, schema, { ...shared, required }, value, write);
    case "flag": {
      const box = h("input", { ...shared, type: "checkbox", checked: value === true, onchange: () => write(box.checked) });
      return box;
    }
    case "row": return row(desk, schema, path, id);
    case "numbers": {
      const list = h("input", { ...shared, type: "text", value: (value ?? []).join(", "), placeholder: "numbers, parted by commas",
        onchange: () => write(list.value.split(/[,;\s]+/).filter(Boolean).map(numeral)) });
      return list;
    }
    case "text": {
      const text = h("input", { ...shared, type: "text", class: "long", value: value ?? "", maxlength: schema.maxLength, onchange: () => write(text.value === "" ? undefined : text.value) });
      return text;
    }
    default: return number(schema, shared, value, (typed) => write(typed ?? (required ? null : undefined)));
  }
}

/**
 * @param {Schema} schema
 * @param {Record<string, any>} shared
 * @param {any} value
 * @param {(value: any) => void} write
 */
function number(schema, shared, value, write) {
  const input = h("input", {
    ...shared, type: "text", inputmode: "decimal", class: "number", value: value ?? "",
    placeholder: schema.default ?? "", title: boundsText(schema) || null,
    onchange: () => write(input.value.trim() === "" ? undefined : numeral(input.value)),
  });
  return input;
}

/**
 * The number that a text stands for; the text itself when it stands for none, so that the server says
 * what is wrong with it. A comma is a decimal point where it can be nothing else.
 * @param {string} text
 * @returns {any}
 */
export function numeral(text) {
  const plain = text.trim().replace("−", "-").replace(/^([+-]?\d+),(\d+)$/, "$1.$2");
  const value = Number(plain);
  return plain !== "" && Number.isFinite(value) ? value : text.trim();
}

/**
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Record<string, any>} shared
 * @param {any} value
 * @param {(value: any) => void} write
 */
function choice(desk, schema, shared, value, write) {
  const known = schema.enum.includes(value);
  const absent = shared.required ? null : undefined;
  const words = schema.enum.map((/** @type {any} */ word) =>
    h("option", { value: word, selected: word === value }, choiceLabel(String(word), desk.units)));
  const stray = value !== undefined && value !== null && !known && h("option", { value, selected: true }, `${value} (unknown)`);
  const select = h("select", {
    ...shared, required: false,
    // The words of a schema may be numbers, which a select would give back as text.
    onchange: () => write(schema.enum.find((/** @type {any} */ word) => String(word) === select.value) ?? (select.value || absent)),
  });
  if (!shared.required || (!known && !stray)) select.append(h("option", { value: "", selected: !known && !stray }, shared.required ? "choose …" : "not set"));
  if (stray) select.append(stray);
  select.append(...words);
  return select;
}

/**
 * Two or three numbers side by side: a range, a point, a direction.
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} id
 */
function row(desk, schema, path, id) {
  const count = schema.minItems;
  const names = count === 3 ? AXES : ["from", "to"];
  const values = desk.model.get(path) ?? [];
  const inputs = names.map((name, i) => {
    const input = h("input", {
      id: `${id}-${i}`, type: "text", inputmode: "decimal", class: "number", value: values[i] ?? "", "aria-label": name,
      "data-pointer": pointer([...path, i]),
      onchange: () => {
        const now = [...(desk.model.get(path) ?? Array(count).fill(null))];
        now[i] = input.value.trim() === "" ? null : numeral(input.value);
        desk.model.set(path, now);
        desk.changed();
      },
    });
    return h("span", { class: "part" }, h("span", { class: "soft small", "aria-hidden": "true" }, name), input);
  });
  return h("span", { class: "row parts", role: "group" }, ...inputs);
}
