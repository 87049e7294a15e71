// Machines that the page shows: a candidate of a job, or a version of a saved vehicle, each with the
// vehicle that it was made from.

import { Refused, get, send } from "./api.js";
import { ofLayout } from "./layouts.js";

/**
 * @typedef {{ job?: string, number?: number, vehicle?: string, version?: number }} MachineRef
 * Either `job` with `number`, or `vehicle` with `version`.
 *
 * @typedef {Record<string, any>} Vehicle A vehicle file.
 *
 * @typedef {{
 *   ref: MachineRef, name: string, of: string, up: string, vehicle: Vehicle, reach: any,
 *   before: Vehicle | null, beforeName: string, candidate: any, jobFile: any, job: string | null,
 *   saved: any,
 * }} Machine
 * `of` and `up` are name and address of the job or the saved vehicle; `job` is the job whose goals and
 * requirements it is measured by.
 */

/**
 * As `JOB/N` or `VEHICLE@V`: the form in addresses and on the command line.
 * @param {MachineRef} ref
 */
export const written = (ref) => (ref.job ? `${ref.job}/${ref.number}` : `${ref.vehicle}@${ref.version}`);

/**
 * @param {string} text
 * @returns {MachineRef | null}
 */
export function read(text) {
  const found = /^([0-9a-f]{16})([/@])(\d{1,9})$/.exec(text.trim());
  if (!found) return null;
  const number = Number(found[3]);
  return found[2] === "/" ? { job: found[1], number } : { vehicle: found[1], version: number };
}

/** @param {MachineRef} ref */
export const address = (ref) =>
  ref.job ? `/jobs/${ref.job}/candidates/${ref.number}` : `/vehicles/${ref.vehicle}/versions/${ref.version}`;

/**
 * @param {MachineRef} ref
 * @param {AbortSignal} [signal]
 * @returns {Promise<Machine>}
 */
export const machineOf = (ref, signal) => (ref.job ? ofJob(ref, signal) : ofVehicle(ref, signal));

/**
 * @param {MachineRef} ref
 * @param {AbortSignal} [signal]
 * @returns {Promise<Machine>}
 */
async function ofJob(ref, signal) {
  const place = `/v1/jobs/${ref.job}`;
  const [candidate, file] = await Promise.all([
    get(`${place}/candidates/${ref.number}`, signal), get(`${place}/input`, signal),
  ]);
  const own = ofLayout(file, candidate.layout?.place ?? 0);
  return {
    ref, name: `Candidate ${ref.number}`, of: file.name || `job ${ref.job}`, up: `/jobs/${ref.job}`,
    vehicle: candidate.vehicle, reach: file.reach, before: own.vehicle ?? null, beforeName: own.vehicle ? "submitted" : "",
    candidate, jobFile: own, job: ref.job ?? null, saved: null,
  };
}

/**
 * @param {MachineRef} ref
 * @param {AbortSignal} [signal]
 * @returns {Promise<Machine>}
 */
async function ofVehicle(ref, signal) {
  const place = `/v1/vehicles/${ref.vehicle}`;
  const [saved, vehicle] = await Promise.all([
    get(place, signal), get(`${place}/versions/${ref.version}`, signal),
  ]);
  const row = saved.versions.find((/** @type {any} */ one) => one.version === ref.version);
  const from = row?.from ?? (ref.version && ref.version > 1 ? { vehicle: ref.vehicle, version: ref.version - 1 } : null);
  const origin = from ? await kept(from, signal) : null;
  return {
    ref, name: `Version ${ref.version}`, of: saved.name, up: `/vehicles/${ref.vehicle}`, vehicle,
    reach: origin?.file?.reach, before: origin?.vehicle ?? null, beforeName: origin ? label(from, ref) : "",
    candidate: null, jobFile: origin?.file ?? null, job: origin?.file ? from.job : null, saved,
  };
}

/**
 * What a version was made from, if that is still there.
 * @param {MachineRef} from
 * @param {AbortSignal} [signal]
 * @returns {Promise<{ vehicle: Vehicle, file: any } | null>}
 */
async function kept(from, signal) {
  try {
    if (!from.job) return { vehicle: await get(`/v1${address(from)}`, signal), file: null };
    const [candidate, file] = await Promise.all([
      get(`/v1${address(from)}`, signal), get(`/v1/jobs/${from.job}/input`, signal),
    ]);
    return { vehicle: candidate.vehicle, file: ofLayout(file, candidate.layout?.place ?? 0) };
  } catch (error) {
    if (error instanceof Refused && error.problem.status === 404) return null;
    throw error;
  }
}

/**
 * @param {MachineRef} from
 * @param {MachineRef} of
 */
function label(from, of) {
  if (from.job) return `candidate ${from.number}`;
  return from.vehicle === of.vehicle ? `version ${from.version}` : `version ${from.version} of another vehicle`;
}

/**
 * The assessment of a vehicle with the pictures named, over the vehicle that it is measured against; in
 * one state of loading, or with all of them over one another and nothing else.
 * @param {{ vehicle: Vehicle, reach?: any, before?: Vehicle | null, job?: string | null, name?: string, beforeName?: string, loading?: string, loadings?: boolean }} machine
 * @param {string[]} pictures
 * @param {AbortSignal} [signal]
 * @returns {Promise<any>}
 */
export function assess({ vehicle, reach, before, job, name, beforeName, loading, loadings }, pictures, signal) {
  const labels = before && name && beforeName ? [name.toLowerCase(), beforeName] : undefined;
  const body = { labels, vehicle, reach: reach ?? undefined, job: job ?? undefined, against: (!loadings && before) || undefined, pictures,
    loading: loading || undefined, loadings: loadings || undefined };
  return send("POST", "/v1/assessments", body, signal);
}
