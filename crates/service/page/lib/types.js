// What the page reads of the server's answers; /v1/openapi.json has all of it.

/**
 * @typedef {{ pointer: string, message: string, value: unknown, allowed: string }} InputFault
 * @typedef {{ type?: string, title: string, status: number, detail: string, faults?: InputFault[] }} Problem
 *
 * @typedef {{ quantity: string, unit: string, value: number | null }} BestValue
 * @typedef {{
 *   phase: string, evaluations: number, planned: number, feasible: number, front: number,
 *   hypervolume: number | null, hypervolume_is_estimate: boolean, best: BestValue[],
 * }} Progress
 *
 * @typedef {"queued" | "running" | "done" | "failed" | "cancelled"} JobState
 * @typedef {{
 *   id: string, kind: "search" | "as_built", name: string, state: JobState, paused: boolean, priority: string, labels: string[],
 *   parent?: string, keep_days?: number, reason?: string, planned_evaluations: number,
 *   islands: number, progress?: Progress, last_event: number, build?: string,
 *   input_sha256: string, created_at: string, started_at?: string, finished_at?: string,
 * }} Job
 * @typedef {{ jobs: Job[], next_cursor?: string }} JobList
 * @typedef {{ number: number, kind: string, at: string, body: any }} JobEvent
 * @typedef {{ quantity: string, unit: string, role: string, over?: any, at?: string, aspiration?: number }} Goal
 * @typedef {{ goals: Goal[], evaluations: number, feasible: number, front: number, points: number[][] }} Found
 * @typedef {{ lean_deg?: number[], steer_deg?: number[], travel_mm?: number[], reach?: boolean }} Over
 * @typedef {{
 *   quantity: string, role: string, value?: number | null, unit: string, over?: Over, at?: string,
 *   limit?: { at_most?: number, at_least?: number, origin: string }, margin?: number, shortfall: number,
 * }} QuantityValue
 * @typedef {{ feasible: boolean, failure?: string, vector: number[], goals: QuantityValue[], requirements: QuantityValue[], vehicle: any, layout?: { place: number, name: string } }} Candidate
 * @typedef {{ number: number, feasible: boolean, knee: boolean, nearest?: number, layout?: number, vector: number[], goals: (number | null)[] }} FrontRow
 * @typedef {{ requirement: string, failed: number, failed_alone: number, smallest_miss: number | null }} BlockRow
 * @typedef {{
 *   name: string, seed: number, evaluations: number, feasible: number, hypervolume: number | null, goals: Goal[],
 *   end: { by: string, epochs: number, planned_epochs: number }, findings: { message?: string }[],
 *   candidates: FrontRow[], archive: { layout?: number, vector: number[], goals: number[] }[], layouts?: { name: string, evaluations: number, feasible: number }[],
 *   blocks?: { not_assembled: number, requirements: BlockRow[] },
 * }} Front
 * @typedef {{ name: string, build: string, threads: number, alive: boolean, slices: number, started_at: string, seen_at: string }} Worker
 */

export {};
