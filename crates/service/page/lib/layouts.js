// The layouts that one job searches side by side: that of its vehicle, then those under `layouts`.

/**
 * The job of one layout alone, as if it had been submitted by itself.
 * @param {any} file
 * @param {number} place
 */
export function ofLayout(file, place) {
  const { layouts = [], ...rest } = file;
  const given = layouts[place - 1];
  if (!given) return rest;
  const { vehicle, freedoms, holds } = given;
  return { ...rest, vehicle, freedoms, holds };
}

/**
 * The freedoms of every layout.
 * @param {any} file
 * @returns {any[][]}
 */
export const freedomsOf = (file) => [file, ...(file.layouts ?? [])].map(({ freedoms }) => freedoms);
