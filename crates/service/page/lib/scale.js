// Scales of axes: round numbers, and where they stand.

/** @typedef {{ low: number, high: number, steps: number[], digits: number }} Scale */

/**
 * A scale that holds all numbers, with about `wanted` round steps.
 * @param {Iterable<number>} numbers
 * @param {number} [wanted]
 * @returns {Scale}
 */
export function scaleOf(numbers, wanted = 5) {
  let low = Infinity;
  let high = -Infinity;
  for (const number of numbers) {
    if (!Number.isFinite(number)) continue;
    low = Math.min(low, number);
    high = Math.max(high, number);
  }
  if (low > high) return { low: 0, high: 1, steps: [0, 1], digits: 0 };
  if (low === high) {
    const room = Math.abs(low) * 0.05 || 1;
    low -= room;
    high += room;
  }
  const room = (high - low) * 0.03;
  return { low: low - room, high: high + room, ...round(low - room, high + room, wanted) };
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} wanted
 */
function round(low, high, wanted) {
  const rough = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((one) => one >= rough) ?? rough;
  const steps = [];
  for (let i = Math.ceil(low / step); i * step <= high; i += 1) steps.push(i * step);
  return { steps, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

/**
 * Where a number stands between 0 and 1.
 * @param {Scale} scale
 * @param {number} number
 */
export const at = (scale, number) => (number - scale.low) / (scale.high - scale.low);

/**
 * @param {Scale} scale
 * @param {number} number
 */
export const stepText = (scale, number) => {
  const text = number.toFixed(scale.digits);
  return /[1-9]/.test(text) ? text.replace("-", "−") : text.replace("-", "");
};

/**
 * Room for the step texts of an upright axis, in pixels.
 * @param {Scale} scale
 */
export const roomFor = (scale) => 26 + 8 * Math.max(...scale.steps.map((step) => stepText(scale, step).length));
