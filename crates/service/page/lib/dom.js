// Elements without markup in strings: what a caller named is text, never markup.

/** @typedef {Node | string | number | null | undefined | false} Child */
/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Attributes */

/**
 * An element. `on…` attributes are listeners; true stands for an empty attribute; false, null and
 * undefined leave it out. There is no style attribute, which the page's policy would refuse: set a
 * class, or a custom property by `element.style.setProperty`.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  dress(element, attributes);
  return put(element, ...children);
}

/**
 * An element of a drawing.
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {SVGElementTagNameMap[K]}
 */
export function s(tag, attributes = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  dress(element, attributes);
  return put(element, ...children);
}

/**
 * @param {Element} element
 * @param {Attributes} attributes
 */
function dress(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(name, String(value));
    }
  }
}

/**
 * Appends what is there of these.
 * @template {Element} E
 * @param {E} element
 * @param {...Child} children
 * @returns {E}
 */
export function put(element, ...children) {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue;
    element.append(typeof child === "number" ? String(child) : child);
  }
  return element;
}

/**
 * Puts these in the place of all that an element holds.
 * @template {Element} E
 * @param {E} element
 * @param {...Child} children
 * @returns {E}
 */
export function clear(element, ...children) {
  element.replaceChildren();
  return put(element, ...children);
}

/**
 * Tells a screen reader what has changed.
 * @param {string} text
 */
export function say(text) {
  const status = document.getElementById("status");
  if (status) status.textContent = text;
}

let made = 0;

/**
 * An id that no other element has.
 * @param {string} stem
 */
export function fresh(stem) {
  made += 1;
  return `${stem}-${made}`;
}
