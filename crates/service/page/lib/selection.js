// What the reader has chosen among candidates: ranges, the one looked at, those kept to compare. All
// views of a front share one selection and draw themselves anew when it changes.

/** @typedef {import("./front_data.js").Table} Table */

/** How many can be compared. */
export const MOST_KEPT = 6;

/** @type {Record<import("./marks.js").Mark, number>} */
const LAYER = { out: 0, dot: 1, broken: 1, knee: 2, near: 3, submitted: 3, kept: 4 };

export class Selection extends EventTarget {
  /** @param {Table} table */
  constructor(table) {
    super();
    this.table = table;
    /** @type {Map<number, [number, number]>} */
    this.ranges = new Map();
    /** @type {number | null} */
    this.layout = null;
    /** @type {Set<number>} */
    this.kept = new Set();
    /** @type {number | null} */
    this.pointed = null;
    this.inside = new Uint8Array(table.size).fill(1);
    this.count = table.size;
  }

  /**
   * Only candidates whose column lies between these ends; null takes the range away.
   * @param {number} column
   * @param {[number, number] | null} range
   */
  range(column, range) {
    this.ranges.delete(column);
    if (range) this.ranges.set(column, range);
    this.sift();
  }

  /**
   * Only candidates of one layout; null shows all.
   * @param {number | null} layout
   */
  only(layout) {
    this.layout = layout;
    this.sift();
  }

  clear() {
    this.ranges.clear();
    this.layout = null;
    this.sift();
  }

  sift() {
    const { inside, table } = this;
    for (let i = 0; i < table.size; i += 1) inside[i] = Number(this.layout === null || table.of[i] === this.layout);
    for (const [column, [low, high]] of this.ranges) {
      const { values } = table.columns[column];
      for (let i = 0; i < table.size; i += 1) {
        if (!(values[i] >= low && values[i] <= high)) inside[i] = 0;
      }
    }
    this.count = inside.reduce((sum, one) => sum + one, 0);
    this.tell("ranges");
  }

  /** @param {number | null} index */
  point(index) {
    if (index === this.pointed) return;
    this.pointed = index;
    this.tell("pointed");
  }

  /**
   * Keeps a candidate to compare, or lets it go.
   * @param {number} index
   */
  keep(index) {
    if (this.kept.has(index)) this.kept.delete(index);
    else if (this.kept.size < MOST_KEPT) this.kept.add(index);
    this.tell("kept");
  }

  /** The mark of each candidate as the selection stands. */
  marks() {
    const { table, inside, kept } = this;
    return table.marks.map((mark, i) => (kept.has(i) ? "kept" : inside[i] ? mark : "out"));
  }

  /** Candidates in the order of drawing: what matters most comes last and lies on top. */
  order() {
    /** @type {number[][]} */
    const layers = [[], [], [], [], []];
    for (const [i, mark] of this.marks().entries()) layers[LAYER[mark]].push(i);
    return layers.flat();
  }

  /** @param {string} what */
  tell(what) {
    this.dispatchEvent(new Event(what));
  }
}
