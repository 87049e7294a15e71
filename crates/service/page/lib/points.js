// Points and sizes of a vehicle file by their paths, and the part of the machine that carries each.

/**
 * @typedef {[number, number, number]} Point
 * @typedef {{ path: string, at: Point }} Hardpoint
 */

/**
 * Every point of a vehicle, in the order of the file.
 * @param {any} vehicle
 * @returns {Hardpoint[]}
 */
export function points(vehicle) {
  /** @type {Hardpoint[]} */
  const found = [];
  visit(vehicle, "", (path, value) => {
    if (path.endsWith("_mm") && !path.endsWith("size_mm") && isPoint(value)) found.push({ path, at: value });
  });
  return found;
}

/**
 * Single lengths and angles of wheels, steering and coupling, by their paths.
 * @param {any} vehicle
 * @returns {{ path: string, value: number, unit: string }[]}
 */
export function sizes(vehicle) {
  /** @type {{ path: string, value: number, unit: string }[]} */
  const found = [];
  const wanted = /^(right\.)?(front_wheels|rear_wheel|steering|lean_coupling)\./;
  visit(vehicle, "", (path, value) => {
    const unit = /_(mm|deg)$/.exec(path)?.[1];
    if (unit && typeof value === "number" && wanted.test(path)) found.push({ path, value, unit });
  });
  return found;
}

/**
 * @param {any} value
 * @param {string} path
 * @param {(path: string, value: any) => void} tell
 */
function visit(value, path, tell) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return;
  for (const [key, member] of Object.entries(value)) {
    const own = path ? `${path}.${key}` : key;
    tell(own, member);
    visit(member, own, tell);
  }
}

/** @param {any} value @returns {value is Point} */
const isPoint = (value) => Array.isArray(value) && value.length === 3 && value.every((one) => typeof one === "number");

/**
 * What stands at a path.
 * @param {any} vehicle
 * @param {string} path
 */
export const at = (vehicle, path) => path.split(".").reduce((value, key) => value?.[key], vehicle);

/**
 * A copy of a vehicle with one value written over.
 * @template T
 * @param {T} vehicle
 * @param {string} path
 * @param {unknown} value
 * @returns {T}
 */
export function changed(vehicle, path, value) {
  const copy = structuredClone(vehicle);
  const keys = path.split(".");
  const last = /** @type {string} */ (keys.pop());
  const holder = at(copy, keys.join(".")) ?? copy;
  (keys.length > 0 ? holder : /** @type {any} */ (copy))[last] = value;
  return copy;
}

/** @type {[RegExp, string][]} Path without side, and what carries the point. */
const CARRIERS = [
  [/^lower_wishbone\..*_pivot_mm$/, "Frame: hinge brackets of the lower wishbones"],
  [/^upper_wishbone\..*_pivot_mm$/, "Frame: hinge brackets of the upper wishbones"],
  [/^steering\.crank\./, "Frame: bearing of the crank"],
  [/^steering\.idler\./, "Frame: bearing of the idler"],
  [/^steering\.rail/, "Frame: rail of the slider"],
  [/^lean_coupling\.pivot_mm$/, "Frame: bearing of the rocker"],
  [/^rear_wheel\./, "Frame: rear axle"],
  [/^lower_wishbone\.ball_joint_mm$/, "Lower wishbone and knuckle: ball joint"],
  [/^upper_wishbone\.ball_joint_mm$/, "Upper wishbone and knuckle: ball joint"],
  [/^lean_coupling\.link_foot_mm$/, "Lower wishbone: foot of the rocker's link"],
  [/^steering\.rod_outer_mm$|^steering\.drag_link\.outer_mm$/, "Knuckle: steering arm"],
  [/^front_wheels\./, "Knuckle: stub axle"],
  [/^steering\.(crank_end_mm|drag_link\.inner_mm)$/, "Crank"],
  [/^steering\.idler_end_mm$/, "Idler"],
];
/** @type {Record<string, string>} */
const INNER = { centre_crank: "Crank", slider: "Slider", idler_parallelogram: "Centre link" };

/**
 * The bracket or part that carries a point.
 * @param {any} vehicle
 * @param {string} path
 */
export function carrier(vehicle, path) {
  const own = path.replace(/^right\./, "");
  if (own === "steering.rod_inner_mm") return INNER[vehicle.steering?.layout] ?? "Crank";
  return CARRIERS.find(([pattern]) => pattern.test(own))?.[1] ?? "Body, load and fittings";
}

/** Carriers in the order in which a workshop meets them: frame, wishbones, knuckle, steering. */
export const CARRIER_ORDER = [...CARRIERS.map(([, name]) => name), ...Object.values(INNER), "Body, load and fittings"];

/**
 * Groups by what carries the points, in the order of the workshop.
 * @template {{ path: string }} T
 * @param {any} vehicle
 * @param {T[]} list
 * @returns {[string, T[]][]}
 */
export function byCarrier(vehicle, list) {
  /** @type {Map<string, T[]>} */
  const groups = new Map();
  for (const one of list) {
    const name = carrier(vehicle, one.path);
    const group = groups.get(name) ?? [];
    group.push(one);
    groups.set(name, group);
  }
  return [...groups].sort(([a], [b]) => CARRIER_ORDER.indexOf(a) - CARRIER_ORDER.indexOf(b));
}

/**
 * A path in words: `lower_wishbone.front_pivot_mm` is "lower wishbone, front pivot".
 * @param {string} path
 */
export function pointWords(path) {
  const right = path.startsWith("right.");
  const own = path.replace(/^right\./, "").replace(/_(mm|deg)$/, "").replace(/\.point$/, "");
  const text = own.split(".").map((part) => part.replaceAll("_", " ")).join(", ");
  return right ? `right ${text}` : text;
}

/**
 * On which side a point lies, in words.
 * @param {any} vehicle
 * @param {Hardpoint} point
 */
export function sideWords(vehicle, { path, at: place }) {
  if (path.startsWith("right.")) return "right";
  if (Math.abs(place[1]) < 1e-9) return "middle";
  return at(vehicle.right, path) === undefined ? "left, right mirrored" : "left";
}
