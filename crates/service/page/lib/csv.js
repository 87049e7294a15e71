// Tables of numbers as RFC 4180 has them.

/**
 * The columns of a table by their place, with empty cells as NaN. Cells that are no numbers give NaN.
 * @param {string} text
 * @returns {{ heads: string[], columns: Float64Array[], rows: number }}
 */
export function numbers(text) {
  const lines = text.split(/\r?\n/).filter((line) => line !== "");
  const heads = lines[0]?.split(",") ?? [];
  const rows = Math.max(0, lines.length - 1);
  const columns = heads.map(() => new Float64Array(rows).fill(NaN));
  for (let row = 0; row < rows; row += 1) {
    const cells = split(lines[row + 1]);
    for (let i = 0; i < heads.length; i += 1) {
      if (cells[i] !== "" && cells[i] !== undefined) columns[i][row] = Number(cells[i]);
    }
  }
  return { heads, columns, rows };
}

/**
 * The cells of a line. Line breaks within a cell do not come up in our tables.
 * @param {string} line
 */
function split(line) {
  if (!line.includes('"')) return line.split(",");
  return [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(([, quoted, plain]) => quoted ?? plain);
}
