// Requests to the server that this page came from. Every refusal is a problem document (RFC 9457).

import { token } from "./token.js";

/** @typedef {import("./types.js").Problem} Problem */

/** An answer that is not the one asked for. */
export class Refused extends Error {
  /** @param {Problem} problem */
  constructor(problem) {
    super(problem.detail || problem.title);
    this.problem = problem;
  }
}

/**
 * @typedef {{
 *   method?: string, accept?: string, body?: unknown, text?: string, signal?: AbortSignal,
 *   headers?: Record<string, string>,
 * }} Asked
 * `body` is sent as JSON; `text` is JSON already and sent as it stands.
 */

/**
 * The answer to a request, or a {@link Refused}.
 * @param {string} path
 * @param {Asked} [asked]
 * @returns {Promise<Response>}
 */
export async function ask(path, asked = {}) {
  const { method = "GET", accept = "application/json", body, text, signal } = asked;
  const headers = new Headers({ Accept: accept, ...asked.headers });
  const held = token();
  if (held) headers.set("Authorization", `Bearer ${held}`);
  const sent = text ?? (body === undefined ? undefined : JSON.stringify(body));
  if (sent !== undefined && !headers.has("Content-Type")) headers.set("Content-Type", "application/json");
  const answer = await fetch(path, { method, headers, body: sent, signal }).catch((error) => {
    if (signal?.aborted) throw error;
    throw new Refused({ title: "No answer", status: 0, detail: "The server does not answer." });
  });
  if (!answer.ok) throw new Refused(await problemOf(answer));
  return answer;
}

/**
 * @param {Response} answer
 * @returns {Promise<Problem>}
 */
async function problemOf(answer) {
  const { status, statusText } = answer;
  const plain = { title: statusText || `Status ${status}`, status, detail: "" };
  return answer.json().then((found) => ({ ...plain, ...found }), () => plain);
}

/**
 * A JSON resource.
 * @template T
 * @param {string} path
 * @param {AbortSignal} [signal]
 * @returns {Promise<T>}
 */
export async function get(path, signal) {
  return (await ask(path, { signal })).json();
}

/**
 * Sends JSON and gives the JSON of the answer, if it has one.
 * @param {string} method
 * @param {string} path
 * @param {unknown} [body]
 * @param {AbortSignal} [signal]
 * @returns {Promise<any>}
 */
export async function send(method, path, body, signal) {
  const answer = await ask(path, { method, body, signal });
  return answer.status === 204 ? undefined : answer.json();
}

/**
 * A picture of the server, to stand in the page: it takes the page's colours by its classes.
 * @param {string} path
 * @param {AbortSignal} [signal]
 * @returns {Promise<SVGElement>}
 */
export async function picture(path, signal) {
  const text = await (await ask(path, { accept: "image/svg+xml", signal })).text();
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const drawing = /** @type {SVGElement} */ (/** @type {unknown} */ (document.importNode(parsed, true)));
  drawing.removeAttribute("width");
  drawing.removeAttribute("height");
  return drawing;
}

/**
 * Hands a resource to the reader as a file. A plain link could not carry a token.
 * @param {string} path
 * @param {string} accept
 * @param {string} name
 */
export async function save(path, accept, name) {
  const blob = await (await ask(path, { accept })).blob();
  keep(blob, name);
}

/**
 * Hands bytes to the reader as a file.
 * @param {Blob} blob
 * @param {string} name
 */
export function keep(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
