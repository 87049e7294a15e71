// Shapes that say what a point is; the same in plots, tables and keys.

import { h, s } from "./dom.js";

/** @typedef {"dot" | "out" | "broken" | "knee" | "near" | "submitted" | "kept"} Mark */

/** @type {Record<Mark, { path: string, ink: keyof import("./ink.js").Inks, filled: boolean, words: string }>} */
export const MARKS = {
  dot: { path: "M-3.2 0a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0 -6.4 0z", ink: "first", filled: true, words: "candidate" },
  out: { path: "M-1.5 0a1.5 1.5 0 1 0 3 0a1.5 1.5 0 1 0 -3 0z", ink: "rule", filled: true, words: "outside the ranges" },
  broken: { path: "M-4 -4L4 4M4 -4L-4 4", ink: "limit", filled: false, words: "breaks a requirement" },
  knee: { path: "M0 -6.5L6.5 0L0 6.5L-6.5 0z", ink: "third", filled: true, words: "knee" },
  near: { path: "M-5 -5H5V5H-5z", ink: "fourth", filled: true, words: "nearest to the aspirations" },
  submitted: { path: "M0 -7V7M-7 0H7M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0", ink: "reference", filled: false, words: "submitted vehicle" },
  kept: { path: "M0 -7.5L2 -2.3L7.4 -2.3L3.1 1L4.7 6.4L0 3.2L-4.7 6.4L-3.1 1L-7.4 -2.3L-2 -2.3z", ink: "second", filled: true, words: "kept to compare" },
};

/**
 * The shape as a small picture.
 * @param {Mark} mark
 */
export function shape(mark) {
  const { path, ink, filled } = MARKS[mark];
  return s("svg", { viewBox: "-9 -9 18 18", class: "mark", "aria-hidden": "true", "stroke-width": 2, fill: "none" },
    s("path", { d: path, class: filled ? `f-${ink}` : `s-${ink}` }));
}

/**
 * What the shapes of a plot mean.
 * @param {Mark[]} marks
 */
export const key = (marks) => h("ul", { class: "key" }, ...marks.map((mark) => h("li", {}, shape(mark), MARKS[mark].words)));
