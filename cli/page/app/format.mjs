// Numbers as people read and write them.

const MINUS = "\u2212";

/** Write a number to so many significant figures, never in powers of ten for everyday sizes. */
export function number(value, figures = 3) {
  if (!Number.isFinite(value)) return "?";
  if (value === 0) return "0";
  const rounded = Number(value.toPrecision(figures));
  const places = Math.max(0, figures - 1 - Math.floor(Math.log10(Math.abs(rounded))));
  // Whole numbers keep all their places, as on the sheets.
  const text = Math.abs(value).toFixed(Math.min(places, 12));
  return (value < 0 ? MINUS : "") + text;
}

/** Write a number shortly: no zeros that say nothing. */
export function short(value, figures = 6) {
  if (!Number.isFinite(value)) return "?";
  return String(Number(value.toPrecision(figures))).replace("-", MINUS);
}

/**
 * Read what a person typed: a number, or a number and a unit. A comma is taken as a decimal sign.
 *
 * Returns { value, unit } with unit null when none was typed, or null when it cannot be read.
 */
export function parseQuantity(text) {
  const found = /^\s*([+\u2212-]?\s*(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*([a-zA-Z°/]*)\s*$/.exec(text);
  if (!found) return null;
  const value = Number(found[1].replace(MINUS, "-").replace(/\s/g, "").replace(",", "."));
  return Number.isFinite(value) ? { value, unit: found[2] || null } : null;
}

/** Newtons in one of each unit of force; metres in one of each unit of length (exact by definition). */
export const FORCES = { N: 1, kN: 1000, lbf: 4.4482216152605, kip: 4448.2216152605, kgf: 9.80665 };
export const LENGTHS = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 };

/** Return a value in another unit of the same table, or null when a unit is not in it. */
export function convert(value, from, to, table) {
  const same = Object.fromEntries(Object.keys(table).map((unit) => [unit.toLowerCase(), unit]));
  const source = table[from] ?? table[same[from.toLowerCase()]] ?? (from.toLowerCase() === "lb" ? table.lbf : undefined);
  if (source === undefined || table[to] === undefined) return null;
  return source === table[to] ? value : (value * source) / table[to];
}

/** Read a quantity in a wanted unit: what a person typed with another unit is converted. */
export function read(text, wanted, table) {
  const found = parseQuantity(text);
  if (!found) return null;
  return found.unit === null ? found.value : convert(found.value, found.unit, wanted, table);
}

/** Return the angle of a direction in the plane (y up), degrees counter-clockwise from the right, 0 to 360. */
export function angleOf([x, y]) {
  const angle = (Math.atan2(y, x) * 180) / Math.PI;
  return angle < 0 ? angle + 360 : angle;
}

/** Return the unit vector of an angle in degrees; right angles are exact. */
export function vectorOf(degrees) {
  const turn = ((degrees % 360) + 360) % 360;
  const exact = { 0: [1, 0], 90: [0, 1], 180: [-1, 0], 270: [0, -1] }[turn];
  if (exact) return exact;
  const radians = (turn * Math.PI) / 180;
  return [Math.cos(radians), Math.sin(radians)];
}

/** Say a direction in words. */
export function wayWords([x, y]) {
  const angle = Math.round(angleOf([x, y]) * 10) / 10;
  const words = { 0: "to the right", 90: "upwards", 180: "to the left", 270: "downwards", 360: "to the right" }[angle];
  return words ?? `at ${short(angle, 4)}°`;
}

/** Round off what only arithmetic left over. */
export function clean(value) {
  return Number(value.toPrecision(12)) + 0;
}
