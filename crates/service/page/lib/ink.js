// Colours for canvases, which no stylesheet reaches.

const NAMES = /** @type {const} */ (["paper", "text", "soft", "grid", "rule", "first", "second", "third", "fourth", "reference", "limit"]);

/** @typedef {Record<typeof NAMES[number], string>} Inks */

/**
 * @param {Element} element
 * @returns {Inks}
 */
export function inks(element) {
  const style = getComputedStyle(element);
  const pairs = NAMES.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]);
  return Object.fromEntries(pairs);
}

/**
 * Calls `draw` whenever sizes or colours change: another width, a dark screen, paper.
 * @param {Element} element
 * @param {() => void} draw
 * @param {AbortSignal} signal
 */
export function redrawn(element, draw, signal) {
  const watch = new ResizeObserver(draw);
  watch.observe(element);
  signal.addEventListener("abort", () => watch.disconnect());
  for (const query of ["(prefers-color-scheme: dark)", "print"]) {
    matchMedia(query).addEventListener("change", draw, { signal });
  }
}

/**
 * A canvas of this size in CSS pixels, sharp on any screen and on paper; cleared.
 * @param {HTMLCanvasElement} canvas
 * @param {number} width
 * @param {number} height
 * @returns {CanvasRenderingContext2D}
 */
export function sized(canvas, width, height) {
  const density = Math.max(devicePixelRatio, matchMedia("print").matches ? 3 : 1);
  canvas.width = Math.round(width * density);
  canvas.height = Math.round(height * density);
  canvas.style.width = `${width}px`;
  canvas.style.height = `${height}px`;
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  context.setTransform(density, 0, 0, density, 0, 0);
  return context;
}
