// Server-sent events over fetch, which unlike EventSource can carry a token.

import { Refused, ask } from "./api.js";

/** @typedef {{ event: string, data: any, id: string }} Message */

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 15_000;

/**
 * Follows a stream until the server says that nothing is left (204) or the signal falls; comes back
 * after an interruption, behind the last number seen.
 * @param {string} path
 * @param {(message: Message) => void} hear
 * @param {AbortSignal} signal
 * @param {{ after?: string, linked?: (up: boolean) => void }} [options]
 * `linked` hears when the connection comes and goes.
 */
export async function follow(path, hear, signal, options = {}) {
  let { after = "" } = options;
  let pause = FIRST_PAUSE_MS;
  const told = (/** @type {Message} */ message) => {
    after = message.id || after;
    pause = FIRST_PAUSE_MS;
    hear(message);
  };
  while (!signal.aborted) {
    try {
      const headers = after ? { "Last-Event-ID": after } : undefined;
      const answer = await ask(path, { accept: "text/event-stream", headers, signal });
      if (answer.status === 204) return;
      options.linked?.(true);
      if (answer.body) await read(answer.body, told);
    } catch (error) {
      if (signal.aborted) return;
      if (error instanceof Refused && [401, 404].includes(error.problem.status)) throw error;
    }
    if (signal.aborted) return;
    options.linked?.(false);
    await rest(pause, signal);
    pause = Math.min(2 * pause, LONGEST_PAUSE_MS);
  }
}

/**
 * @param {ReadableStream<Uint8Array>} body
 * @param {(message: Message) => void} told
 */
async function read(body, told) {
  const reader = body.pipeThrough(/** @type {any} */ (new TextDecoderStream())).getReader();
  let kept = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    kept += value;
    const blocks = kept.split("\n\n");
    kept = blocks.pop() ?? "";
    for (const block of blocks) {
      const message = parse(block);
      if (message) told(message);
    }
  }
}

/**
 * @param {string} block
 * @returns {Message | null}
 */
function parse(block) {
  /** @type {Record<string, string>} */
  const fields = {};
  for (const line of block.split("\n")) {
    const colon = line.indexOf(":");
    if (colon > 0) fields[line.slice(0, colon)] = line.slice(colon + 1).trimStart();
  }
  if (fields.data === undefined) return null;
  return { event: fields.event ?? "message", data: JSON.parse(fields.data), id: fields.id ?? "" };
}

/**
 * @param {number} ms
 * @param {AbortSignal} signal
 */
function rest(ms, signal) {
  return new Promise((done) => {
    const timer = setTimeout(done, ms, undefined);
    signal.addEventListener("abort", () => {
      clearTimeout(timer);
      done(undefined);
    }, { once: true });
  });
}
