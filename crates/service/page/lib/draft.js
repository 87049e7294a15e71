// A job file on its way to the form: from a dropped file, or from a job that is to run again.

import { ask } from "./api.js";

/** @typedef {{ text: string, parent?: string, from: string }} Draft `from` says where it comes from. */

/** @type {Draft | null} */
let waiting = null;

/** @param {Draft} draft */
export function hand(draft) {
  waiting = draft;
  if (location.hash === "#/new") dispatchEvent(new HashChangeEvent("hashchange"));
  else location.hash = "#/new";
}

/** @returns {Draft | null} */
export function taken() {
  const draft = waiting;
  waiting = null;
  return draft;
}

/**
 * A file that was chosen or dropped: a job file goes to the form, a finished job taken from another
 * server goes into the store.
 * @param {File} file
 */
export async function handFile(file) {
  const text = await file.text();
  if (!file.name.endsWith(".jsonl")) return hand({ text, from: file.name });
  const headers = { "Content-Type": "application/jsonl" };
  const job = await (await ask("/v1/imports", { method: "POST", text, headers })).json();
  location.hash = `#/jobs/${job.id}`;
}

/** @typedef {{ id: string, budget: any, findings: { pointer: string, message: string }[] }} Submitted */

/** @type {Submitted | null} */
let submitted = null;

/**
 * What the server said when it took a job, for the view of that job.
 * @param {Submitted} answer
 */
export const tell = (answer) => void (submitted = answer);

/**
 * @param {string} id
 * @returns {Submitted | null}
 */
export const told = (id) => (submitted?.id === id ? submitted : null);
