// Objects, lists and variants of a form, made from the schema; parts are made anew when they change shape.

import { fresh, h } from "../lib/dom.js";
import { field } from "./controls.js";
import { blank, kindOf, labelOf, tagOf, variantLabel, variantOf } from "./kinds.js";
import { pointer } from "./model.js";

/** @typedef {import("./controls.js").Desk} Desk */
/** @typedef {import("./kinds.js").Schema} Schema */
/** @typedef {import("./model.js").Path} Path */

/**
 * Whatever the schema asks for at this place. `name` labels it; `remove` takes it away where that is
 * allowed.
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} name
 * @param {(() => void) | null} [remove]
 * @param {boolean} [required]
 * @returns {HTMLElement}
 */
export function part(desk, schema, path, name, remove = null, required = true) {
  const kind = kindOf(schema);
  if (kind === "group" || kind === "variants") return framed(schema, path, name, remove, () => inner(desk, schema, path, name));
  if (kind === "list") return framed(schema, path, name, remove, () => list(desk, schema, path, name));
  const made = field(desk, schema, path, name, required);
  if (remove) made.append(taker(labelOf(name), remove));
  return made;
}

/**
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} name
 * @param {(() => void) | null} remove
 * @param {() => HTMLElement} make
 */
function framed(schema, path, name, remove, make) {
  return h("fieldset", { class: "group", "data-pointer": pointer(path) },
    h("legend", {}, labelOf(name)),
    remove && taker(labelOf(name), remove),
    schema.description && h("p", { class: "hint" }, schema.description), make());
}

/**
 * @param {string} name
 * @param {() => void} remove
 */
const taker = (name, remove) =>
  h("button", { type: "button", class: "plain taker", "aria-label": `Remove ${name}`, onclick: remove }, "Remove");

/**
 * The members of an object, or of the variant that the value is.
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} name
 * @returns {HTMLElement}
 */
export function inner(desk, schema, path, name) {
  const place = h("div", { class: "members" });
  const draw = () => {
    const variants = kindOf(schema) === "variants" ? schema.oneOf : null;
    const at = variants ? variantOf(variants, desk.model.get(path)) : 0;
    place.replaceChildren(
      ...(variants ? [switcher(desk, variants, at, path, name, draw)] : []),
      ...members(desk, variants ? variants[at] : schema, path, draw));
  };
  draw();
  return place;
}

/**
 * Chooses among variants. What both have in common stays.
 * @param {Desk} desk
 * @param {Schema[]} variants
 * @param {number} at
 * @param {Path} path
 * @param {string} name
 * @param {() => void} draw
 */
function switcher(desk, variants, at, path, name, draw) {
  const id = fresh("kind");
  const tag = tagOf(variants);
  const select = h("select", { id, onchange: () => {
    const wanted = variants[Number(select.value)];
    const old = desk.model.get(path) ?? {};
    const kept = Object.entries(old).filter(([key]) => key !== tag && wanted.properties?.[key]);
    desk.model.set(path, { ...blank(wanted), ...Object.fromEntries(kept) });
    desk.changed();
    draw();
    place(id);
  } }, ...variants.map((_, i) => h("option", { value: i, selected: i === at }, variantLabel(variants, i))));
  const label = tag ? labelOf(tag) : "Kind";
  return h("div", { class: "field", "data-pointer": tag ? pointer([...path, tag]) : null },
    h("label", { for: id }, label, h("span", { class: "sr" }, ` of ${labelOf(name)}`)), h("div", { class: "control" }, select));

  function place(/** @type {string} */ was) {
    /** @type {HTMLElement | null} */ (document.getElementById(was))?.focus();
  }
}

/**
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {() => void} draw
 * @returns {HTMLElement[]}
 */
function members(desk, schema, path, draw) {
  const { properties = {}, required = [] } = schema;
  const value = desk.model.get(path) ?? {};
  const either = eitherOf(schema);
  const names = [...required, ...Object.keys(properties).filter((name) => !required.includes(name))]
    .filter((name) => properties[name].const === undefined && !either.includes(name));
  const shown = names.filter((name) => required.includes(name) || value[name] !== undefined || plainHere(properties[name], path));
  const made = shown.map((name) => {
    const leaves = () => {
      desk.model.set([...path, name], undefined);
      desk.changed();
      draw();
    };
    const free = !required.includes(name) && !plainHere(properties[name], path);
    return part(desk, properties[name], [...path, name], name, free ? leaves : null, required.includes(name));
  });
  const missing = names.filter((name) => !shown.includes(name));
  return [
    ...(either.length > 0 ? [eitherPart(desk, schema, either, path, draw)] : []), ...made,
    ...(missing.length > 0 ? [adder(desk, properties, missing, path, draw)] : []),
  ];
}

/**
 * Single values of an object are shown even while absent, for the defaults to be seen.
 * @param {Schema} schema
 * @param {Path} path
 */
const plainHere = (schema, path) =>
  ["number", "whole", "text", "choice", "flag"].includes(kindOf(schema)) && path.length > 0;

/**
 * Names of which just one may be there: a goal is to be made small or large.
 * @param {Schema} schema
 * @returns {string[]}
 */
const eitherOf = (schema) =>
  schema.properties && schema.oneOf ? schema.oneOf.flatMap((/** @type {Schema} */ one) => one.required ?? []) : [];

/**
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {string[]} names
 * @param {Path} path
 * @param {() => void} draw
 */
function eitherPart(desk, schema, names, path, draw) {
  const value = desk.model.get(path) ?? {};
  const now = names.find((name) => value[name] !== undefined) ?? names[0];
  const id = fresh("either");
  const select = h("select", { id, onchange: () => {
    const held = desk.model.get([...path, now]);
    desk.model.set([...path, now], undefined);
    desk.model.set([...path, select.value], held ?? null);
    desk.changed();
    draw();
    document.getElementById(id)?.focus();
  } }, ...names.map((name) => h("option", { value: name, selected: name === now }, labelOf(name))));
  const made = field(desk, schema.properties[now], [...path, now], now);
  made.querySelector("label")?.replaceWith(h("span", { class: "lead" }, h("label", { for: id, class: "sr" }, "Wanted"), select));
  made.querySelector(".control select")?.setAttribute("aria-label", "Quantity");
  return made;
}

/**
 * @param {Desk} desk
 * @param {Record<string, Schema>} properties
 * @param {string[]} names
 * @param {Path} path
 * @param {() => void} draw
 */
function adder(desk, properties, names, path, draw) {
  const select = h("select", { "aria-label": "What to add" }, ...names.map((name) => h("option", { value: name }, labelOf(name))));
  const add = () => {
    const name = select.value;
    desk.model.set([...path, name], blank(properties[name]));
    desk.changed();
    const place = pointer([...path, name]);
    draw();
    first(place);
  };
  return h("div", { class: "row adder" }, select, h("button", { type: "button", onclick: add }, "Add"));
}

/** @param {string} place */
function first(place) {
  const made = document.querySelector(`[data-pointer="${CSS.escape(place)}"]`);
  /** @type {HTMLElement | null} */ (made?.querySelector("input, select, button") ?? null)?.focus();
}

/**
 * @param {Desk} desk
 * @param {Schema} schema
 * @param {Path} path
 * @param {string} name
 * @returns {HTMLElement}
 */
export function list(desk, schema, path, name) {
  const place = h("div", { class: "list" });
  const draw = () => {
    const items = desk.model.get(path) ?? [];
    const made = items.map((/** @type {any} */ _, /** @type {number} */ i) => {
      const take = () => {
        desk.model.set([...path, i], undefined);
        desk.changed();
        draw();
      };
      return h("div", { class: "item" }, part(desk, schema.items, [...path, i], `${singular(name)} ${i + 1}`, take));
    });
    const full = schema.maxItems !== undefined && items.length >= schema.maxItems;
    const add = h("button", { type: "button", disabled: full, onclick: () => {
      desk.model.set([...path, items.length], blank(schema.items));
      desk.changed();
      draw();
      first(pointer([...path, items.length]));
    } }, `Add ${singular(name)}`);
    place.replaceChildren(...made, h("div", { class: "row adder" }, add));
  };
  if (desk.model.get(path) === undefined) desk.model.set(path, []);
  draw();
  return place;
}

/** @param {string} name */
function singular(name) {
  const words = name.replaceAll("_", " ").replace(/ (mm|deg)$/, "");
  if (words.endsWith("ies")) return `${words.slice(0, -3)}y`;
  return words.endsWith("s") ? words.slice(0, -1) : words;
}
