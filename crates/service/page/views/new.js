// A job written: by form or as text, from nothing, the example, a file or another job.

import { Refused, ask, get } from "../lib/api.js";
import { clear, h, put, say } from "../lib/dom.js";
import { hand, taken, tell } from "../lib/draft.js";
import { notice } from "../lib/fault.js";
import { field } from "../form/controls.js";
import { forget, place as placeFaults } from "../form/faults.js";
import { inner, list } from "../form/groups.js";
import { blank, kindOf, labelOf } from "../form/kinds.js";
import { Model } from "../form/model.js";

/** @typedef {import("../form/kinds.js").Schema} Schema */

export const sheets = ["form.css"];

const ORDER = ["name", "vehicle", "freedoms", "holds", "requirements", "goals", "reach", "tolerance", "grid_mm", "search", "start_from"];
const CLOSED = ["vehicle", "tolerance", "start_from"];

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { query, signal }) {
  const draft = taken() ?? (query.get("example") === null ? null : { text: await example(signal), from: "the example" });
  /** @type {[Schema, { name: string, unit: string }[]]} */
  const [schema, quantities] = await Promise.all([get("/v1/schema/job", signal), get("/v1/quantities", signal)]);
  const units = new Map(quantities.map(({ name, unit }) => [name, unit]));
  const sheet = new Sheet(schema, units, draft);
  put(place, h("div", { class: "head" }, h("h1", {}, "New job"), sheet.openers()), sheet.origin(), sheet.summary, sheet.tabs, sheet.body, sheet.queueing(), sheet.foot());
  addEventListener("dragover", (event) => event.preventDefault(), { signal });
  addEventListener("drop", (event) => {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file) void openFile(file);
  }, { signal });
  return "New job";
}

/** @param {AbortSignal} signal */
async function example(signal) {
  return (await ask("/page/example-job.json", { signal })).text();
}

/** @param {File} file */
async function openFile(file) {
  hand({ text: await file.text(), from: file.name });
}

class Sheet {
  /**
   * @param {Schema} schema
   * @param {Map<string, string>} units
   * @param {import("../lib/draft.js").Draft | null} draft
   */
  constructor(schema, units, draft) {
    this.schema = schema;
    this.draft = draft;
    this.summary = h("div", {});
    this.body = h("div", {});
    this.tabs = h("div", { class: "row tools", role: "group", "aria-label": "How to write it" });
    const read = draft ? parsed(draft.text) : { document: blank(schema) };
    this.model = new Model(read.document ?? {});
    this.desk = { model: this.model, units, changed: () => {} };
    this.text = draft?.text ?? "";
    this.asText = read.document === undefined || !hasForm(read.document);
    this.life = { labels: h("input", { type: "text", id: "labels" }), priority: h("select", { id: "priority" }) };
    this.draw();
    if (read.fault) clear(this.summary, notice(read.fault));
  }

  draw() {
    const tab = (/** @type {string} */ label, /** @type {boolean} */ text) =>
      h("button", { type: "button", "aria-pressed": String(this.asText === text), onclick: () => this.turn(text) }, label);
    clear(this.tabs, tab("Form", false), tab("Text", true));
    clear(this.body, this.asText ? this.writing() : this.form());
  }

  /** @param {boolean} asText */
  turn(asText) {
    if (asText === this.asText) return;
    if (asText) this.text = JSON.stringify(this.model.document, null, 2);
    else {
      const read = parsed(this.text);
      if (read.document === undefined) return void clear(this.summary, notice(read.fault));
      if (!hasForm(read.document)) return void clear(this.summary, notice(new Error("Readings of a machine as built have no form; they are written as text.")));
      this.model.document = read.document;
    }
    this.asText = asText;
    clear(this.summary);
    this.draw();
  }

  writing() {
    const area = h("textarea", { class: "writing", spellcheck: "false", rows: 30, "aria-label": "The job file", oninput: () => (this.text = area.value) });
    area.value = this.text;
    return area;
  }

  form() {
    const { properties, required } = this.schema;
    const names = [...ORDER.filter((name) => properties[name]), ...Object.keys(properties).filter((name) => !ORDER.includes(name))]
      .filter((name) => name !== "version");
    return h("div", { class: "form" }, ...names.map((name) => this.section(name, properties[name], required.includes(name))));
  }

  /**
   * @param {string} name
   * @param {Schema} schema
   * @param {boolean} required
   */
  section(name, schema, required) {
    const kind = kindOf(schema);
    if (!["group", "variants", "list"].includes(kind)) return field(this.desk, schema, [name], name);
    const place = h("div", {});
    const absent = !required && this.model.get([name]) === undefined;
    const fill = () => place.replaceChildren(kind === "list" ? list(this.desk, schema, [name], name) : inner(this.desk, schema, [name], name));
    const begin = () => {
      this.model.set([name], blank(schema));
      fill();
    };
    if (absent && kind !== "list") place.append(h("button", { type: "button", onclick: begin }, `Set ${labelOf(name).toLowerCase()}`));
    else fill();
    const open = !CLOSED.includes(name) || !this.draft;
    return h("details", { class: "section", open: open && !(absent && CLOSED.includes(name)), "data-pointer": `/${name}` },
      h("summary", {}, h("h2", {}, labelOf(name)), h("span", { class: "soft small" }, schema.description ?? "")), place);
  }

  openers() {
    const pick = h("input", { type: "file", accept: ".json,application/json", class: "sr", tabindex: -1, "aria-label": "Job file",
      onchange: () => pick.files?.[0] && void openFile(pick.files[0]) });
    return h("div", { class: "row" }, h("a", { class: "button", href: "#/new?example" }, "The example"),
      h("button", { type: "button", onclick: () => pick.click() }, "Open a file"), pick);
  }

  origin() {
    if (!this.draft) return h("p", { class: "soft" }, "A vehicle, the coordinates that may move, and what is asked of it. The example shows one whole.");
    const parent = this.draft.parent;
    return h("p", { class: "soft" }, parent ? "Made from " : "From ", parent ? h("a", { href: `#/jobs/${parent}` }, this.draft.from) : this.draft.from, ".");
  }

  queueing() {
    put(this.life.priority, ...["normal", "urgent", "background"].map((word) => h("option", { value: word }, word)));
    return h("div", { class: "row queueing" }, h("label", { for: "labels" }, "Labels, parted by commas"), this.life.labels,
      h("label", { for: "priority" }, "Priority"), this.life.priority);
  }

  foot() {
    const go = h("button", { type: "button", class: "main", onclick: () => void this.submit(go) }, "Submit");
    return h("div", { class: "foot" }, go);
  }

  /** @param {HTMLButtonElement} go */
  async submit(go) {
    const text = this.asText ? this.text : JSON.stringify(this.model.document, null, 2);
    const query = new URLSearchParams({ priority: this.life.priority.value });
    const labels = this.life.labels.value.split(",").map((one) => one.trim()).filter(Boolean);
    if (labels.length > 0) query.set("labels", labels.join(","));
    if (this.draft?.parent) query.set("parent", this.draft.parent);
    go.disabled = true;
    clear(this.summary);
    forget(this.body);
    try {
      const made = await (await ask(`/v1/jobs?${query}`, { method: "POST", text })).json();
      tell(made);
      location.hash = `#/jobs/${made.id}`;
    } catch (error) {
      this.refused(error);
    } finally {
      go.disabled = false;
    }
  }

  /** @param {unknown} error */
  refused(error) {
    if (!(error instanceof Refused)) throw error;
    const { faults = [], detail, title } = error.problem;
    placeFaults(this.body, this.summary, faults, detail || title);
    this.summary.scrollIntoView({ block: "nearest" });
    say(`Not accepted: ${detail || title}`);
  }
}

/**
 * The form is that of a search.
 * @param {any} document
 */
const hasForm = (document) => document.kind !== "as_built";

/**
 * @param {string} text
 * @returns {{ document?: any, fault?: Error }}
 */
function parsed(text) {
  try {
    const document = JSON.parse(text);
    if (document !== null && typeof document === "object" && !Array.isArray(document)) return { document };
    return { fault: new Error("The file is no JSON object.") };
  } catch (error) {
    return { fault: new Error(`The file is not JSON: ${error instanceof Error ? error.message : error}`) };
  }
}
