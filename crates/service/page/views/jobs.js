// All jobs, newest first, each with its state as it changes.

import { get } from "../lib/api.js";
import { clear, h, put, say } from "../lib/dom.js";
import { handFile } from "../lib/draft.js";
import { notice } from "../lib/fault.js";
import { row } from "../lib/job_row.js";
import { isOpen } from "../lib/state.js";
import { follow } from "../lib/stream.js";

/** @typedef {import("../lib/types.js").Job} Job */
/** @typedef {import("../lib/types.js").JobList} JobList */
/** @typedef {import("../lib/types.js").Worker} Worker */

export const sheets = ["jobs.css"];

const STATES = ["queued", "running", "done", "failed", "cancelled"];
const WAIT_MS = 300;

/**
 * @param {HTMLElement} place
 * @param {import("../routes.js").Visit} visit
 */
export async function show(place, { query, signal }) {
  const wanted = new URLSearchParams();
  for (const name of ["state", "name", "label", "parent"]) {
    const value = query.get(name);
    if (value) wanted.set(name, value);
  }
  const asked = wanted.toString();
  /** @type {[JobList, Worker[]]} */
  const [first, workers] = await Promise.all([get(`/v1/jobs?${asked}`, signal), get("/v1/workers", signal)]);
  const list = new List(asked, first);
  const said = h("div", {});
  const take = (/** @type {File} */ file) => void handFile(file).catch((error) => clear(said, notice(error)));
  put(place,
    h("div", { class: "head" }, h("h1", {}, "Jobs"),
      h("div", { class: "row" }, opener(take), h("a", { class: "button main", href: "#/new" }, "New job"))),
    said,
    filters(wanted),
    idle(workers, first.jobs),
    list.place,
    list.more,
  );
  droppable(place, take, signal);
  listen(list, asked, signal);
  return "Jobs";
}

/** The rows on the page, by job. */
class List {
  /**
   * @param {string} asked
   * @param {JobList} first
   */
  constructor(asked, first) {
    this.asked = asked;
    /** @type {Map<string, Job>} */
    this.jobs = new Map();
    this.cursor = first.next_cursor;
    this.place = h("div", {});
    this.rows = h("ul", { class: "jobs" });
    this.more = h("p", {}, h("button", { type: "button", onclick: () => void this.further() }, "Older jobs"));
    this.add(first);
  }

  /** @param {JobList} page */
  add(page) {
    for (const job of page.jobs) this.jobs.set(job.id, job);
    this.cursor = page.next_cursor;
    this.more.hidden = !this.cursor;
    this.draw();
  }

  async further() {
    this.add(await get(`/v1/jobs?${this.asked}&cursor=${encodeURIComponent(this.cursor ?? "")}`));
  }

  /** @param {Job} job */
  take(job) {
    const state = new URLSearchParams(this.asked).get("state");
    const known = this.jobs.get(job.id);
    if (state && job.state !== state) this.jobs.delete(job.id);
    else this.jobs.set(job.id, job);
    if (known && known.state !== job.state) say(`${job.name}: ${job.state}`);
    const old = known && this.rows.querySelector(`[data-job="${job.id}"]`);
    if (old && this.jobs.has(job.id)) {
      // The link keeps the keyboard's focus while the rest of its row is made anew.
      const held = old.contains(document.activeElement);
      const fresh = row(job);
      old.replaceWith(fresh);
      if (held) fresh.querySelector("a")?.focus({ preventScroll: true });
    } else this.draw();
  }

  /**
   * Lets go of jobs that went while nobody listened: those that should stand among these.
   * @param {string[]} ids
   * @param {boolean} whole
   */
  keep(ids, whole) {
    const known = ids.flatMap((id) => this.jobs.get(id)?.created_at ?? []);
    const oldest = whole ? "" : known.sort()[0] ?? "~";
    for (const job of this.jobs.values()) {
      if (job.created_at >= oldest && !ids.includes(job.id)) this.jobs.delete(job.id);
    }
    this.draw();
  }

  /** @param {string} id */
  drop(id) {
    this.jobs.delete(id);
    this.draw();
  }

  draw() {
    const jobs = [...this.jobs.values()].sort((a, b) => (a.created_at < b.created_at ? 1 : -1));
    clear(this.rows, ...jobs.map(row));
    clear(this.place, jobs.length > 0 ? this.rows : nothing(this.asked !== ""));
  }
}

/** @param {boolean} filtered */
function nothing(filtered) {
  if (filtered) {
    return h("div", { class: "empty" }, h("p", {}, "No job is like that."), h("p", {}, h("a", { href: "#/jobs" }, "All jobs")));
  }
  return h("div", { class: "empty" },
    h("p", {}, "No job yet. A job is a vehicle, the coordinates that may move, and what is asked of it."),
    h("p", {}, h("a", { class: "button main", href: "#/new?example" }, "Begin with the example"), " ",
      h("a", { class: "button", href: "#/new" }, "Begin with an empty form")),
    h("p", {}, "Or drop a job file here."));
}

/**
 * @param {Worker[]} workers
 * @param {Job[]} jobs
 */
function idle(workers, jobs) {
  if (workers.some((worker) => worker.alive) || !jobs.some(isOpen)) return null;
  return h("p", { class: "care" }, "No worker is running, so open jobs wait. Start one with ",
    h("code", {}, "leanwright work"), ", or the server with ", h("code", {}, "--workers 1"), " or more.");
}

/** @param {(file: File) => void} take */
function opener(take) {
  const pick = h("input", {
    type: "file", accept: ".json,.jsonl,application/json", class: "sr", tabindex: -1, "aria-label": "Job file",
    onchange: () => pick.files?.[0] && take(pick.files[0]),
  });
  return h("span", {}, h("button", { type: "button", onclick: () => pick.click() }, "Open a file"), pick);
}

/** @param {URLSearchParams} wanted */
function filters(wanted) {
  const go = (/** @type {string} */ name, /** @type {string} */ value) => {
    if (value) wanted.set(name, value);
    else wanted.delete(name);
    const text = wanted.toString();
    history.replaceState(null, "", text ? `#/jobs?${text}` : "#/jobs");
    dispatchEvent(new HashChangeEvent("hashchange"));
  };
  const state = h("select", { "aria-label": "State", onchange: () => go("state", state.value) },
    h("option", { value: "" }, "every state"), ...STATES.map((word) => h("option", { value: word, selected: wanted.get("state") === word }, word)));
  const field = (/** @type {string} */ name, /** @type {string} */ hint) => {
    const input = h("input", { type: "search", "aria-label": hint, placeholder: hint, value: wanted.get(name) ?? "", size: 16, onchange: () => go(name, input.value.trim()) });
    return input;
  };
  const parent = wanted.get("parent");
  return h("div", { class: "row tools filters" }, field("name", "Name contains"), field("label", "Label"), state,
    parent && h("span", { class: "label" }, `made from ${parent} `, h("button", { type: "button", class: "plain", onclick: () => go("parent", "") }, "show all")));
}

/**
 * @param {HTMLElement} place
 * @param {(file: File) => void} take
 * @param {AbortSignal} signal
 */
function droppable(place, take, signal) {
  const over = (/** @type {DragEvent} */ event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    place.classList.add("dropping");
  };
  const out = () => place.classList.remove("dropping");
  const drop = (/** @type {DragEvent} */ event) => {
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    out();
    take(file);
  };
  addEventListener("dragover", over, { signal });
  addEventListener("dragleave", (event) => event.relatedTarget === null && out(), { signal });
  addEventListener("drop", drop, { signal });
}

/**
 * @param {List} list
 * @param {string} asked
 * @param {AbortSignal} signal
 */
function listen(list, asked, signal) {
  const lost = h("p", { class: "note", hidden: true }, "The server does not answer; what stands here may be old.");
  list.place.before(lost);
  let timer = 0;
  const linked = (/** @type {boolean} */ up) => {
    clearTimeout(timer);
    // A short gap is not worth a word.
    timer = setTimeout(() => (lost.hidden = up), up ? 0 : WAIT_MS);
  };
  follow(`/v1/events?${asked}`, ({ event, data }) => {
    if (event === "gone") list.drop(data.id);
    else if (event === "list") list.keep(data.ids, data.whole);
    else list.take(data);
  }, signal, { linked }).catch((error) => list.place.before(notice(error)));
}
