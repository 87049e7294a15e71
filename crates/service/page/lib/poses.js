// Solved poses of one machine. The newest question is asked as soon as the one before is answered.

import { Refused, send } from "./api.js";

/**
 * @typedef {{ lean_deg: number, steer_deg: number, mean_travel_mm: number | null }} Asked
 * @typedef {{ pose?: any, unreachable?: string }} Found
 */

/**
 * Many poses at once, in the order asked.
 * @param {any} vehicle
 * @param {Asked[]} poses
 * @param {AbortSignal} [signal]
 * @returns {Promise<Found[]>}
 */
export async function solve(vehicle, poses, signal) {
  return (await send("POST", "/v1/poses", { vehicle, poses, parts: true }, signal)).poses;
}

/** Asks for one thing at a time; what is asked meanwhile waits, and only the newest of it. */
export class Newest {
  /** @param {(asked: any) => Promise<void>} run */
  constructor(run) {
    this.run = run;
    this.busy = false;
    /** @type {any} */
    this.waiting = undefined;
  }

  /** @param {any} asked */
  async ask(asked) {
    this.waiting = asked;
    if (this.busy) return;
    this.busy = true;
    try {
      while (this.waiting !== undefined) {
        const next = this.waiting;
        this.waiting = undefined;
        await this.run(next);
      }
    } finally {
      this.busy = false;
    }
  }
}

/**
 * Waits and asks again where the server is busy; anything else is thrown.
 * @template T
 * @param {() => Promise<T>} run
 * @returns {Promise<T>}
 */
export async function patient(run) {
  for (let wait = 60; ; wait *= 2) {
    try {
      return await run();
    } catch (error) {
      if (!(error instanceof Refused) || error.problem.status !== 503 || wait > 2000) throw error;
      await new Promise((done) => setTimeout(done, wait));
    }
  }
}
