// The document under a form, and the places in it: JSON pointers of RFC 6901.

/** @typedef {(string | number)[]} Path */

/** @param {Path} path */
export const pointer = (path) =>
  path.map((step) => `/${String(step).replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");

export class Model {
  /** @param {any} document */
  constructor(document) {
    this.document = document;
  }

  /**
   * @param {Path} path
   * @returns {any}
   */
  get(path) {
    let here = this.document;
    for (const step of path) here = here?.[step];
    return here;
  }

  /**
   * Sets a value; undefined takes it away. Objects on the way are made.
   * @param {Path} path
   * @param {any} value
   */
  set(path, value) {
    if (path.length === 0) {
      this.document = value;
      return;
    }
    let here = this.document;
    for (const [i, step] of path.slice(0, -1).entries()) {
      here[step] ??= typeof path[i + 1] === "number" ? [] : {};
      here = here[step];
    }
    const last = path[path.length - 1];
    if (value !== undefined) here[last] = value;
    else if (Array.isArray(here)) here.splice(Number(last), 1);
    else delete here[last];
  }
}
