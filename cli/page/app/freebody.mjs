// A joint cut free, drawn: where its arrows and their labels go in a square. Pure.

import { arrow } from "./symbols.mjs";

/**
 * Lay out a free body.
 *
 * arrows: [{ label, direction: [x, y] y up, sense, what }]; size: side of the square.
 * Returns [{ shaft, head, label, at: [x, y], anchor, sense, what }], the joint being in the middle.
 */
export function layOut(arrows, size) {
  const middle = size / 2;
  const long = size * 0.27;
  const near = 14;
  const used = [];
  return arrows.map((one) => {
    // A member in compression and a load that pushes end at the joint; what pulls begins there.
    const pushes = one.sense === "C" || one.what !== "member";
    const side = pushes ? [-one.direction[0], one.direction[1]] : [one.direction[0], -one.direction[1]];
    const inner = [middle + near * side[0], middle + near * side[1]];
    const outer = [middle + (near + long) * side[0], middle + (near + long) * side[1]];
    const drawn = pushes ? arrow(outer, inner, 10) : arrow(inner, outer, 10);
    const at = [middle + (near + long + 9) * side[0], middle + (near + long + 9) * side[1] + 4];
    while (used.some(([x, y]) => Math.abs(x - at[0]) < 62 && Math.abs(y - at[1]) < 14)) {
      at[1] += side[1] > 0.2 ? 15 : side[1] < -0.2 ? -15 : 15;
    }
    used.push([...at]);
    const anchor = side[0] > 0.35 ? "start" : side[0] < -0.35 ? "end" : "middle";
    return { ...drawn, label: one.label, at, anchor, sense: one.sense, what: one.what };
  });
}
