// A joint cut free, drawn: where its arrows and their labels go, the joint being at the origin. Pure.

import { arrow } from "./symbols.mjs";

const NEAR = 15; // from the joint's middle to where an arrow ends or begins
const LONG = 60; // length of an arrow
const LETTER = 6.7; // mean width of a letter of 12 pixels
const LINE = 15; // height of a line of text

/**
 * Lay out a free body.
 *
 * arrows: [{ label, direction: [x, y] y up, sense, what }]. Returns { items, box }: items are { shaft, head, label,
 * at: [x, y], anchor, sense, what } and box is [left, top, right, bottom] around everything.
 */
export function layOut(arrows) {
  const used = [];
  const box = [-NEAR - 4, -NEAR - 4, NEAR + 4, NEAR + 4];
  const sides = arrows.filter((one) => one.what === "member").map((one) => sideOf(one, one.sense === "C"));
  const items = arrows.map((one) => {
    // A member in compression and a load that pushes end at the joint; what pulls begins there. A load whose arrow
    // would lie on a member's is drawn on the other side of the joint.
    const pushes = one.what === "member" ? one.sense === "C" : crowd(sideOf(one, true), sides) <= crowd(sideOf(one, false), sides);
    const [x, y] = sideOf(one, pushes);
    const inner = [NEAR * x, NEAR * y];
    const outer = [(NEAR + LONG) * x, (NEAR + LONG) * y];
    const drawn = pushes ? arrow(outer, inner, 10) : arrow(inner, outer, 10);
    const anchor = x > 0.35 ? "start" : x < -0.35 ? "end" : "middle";
    const at = [(NEAR + LONG + 8) * x, (NEAR + LONG + 10) * y + 4];
    const wide = one.label.length * LETTER;
    const area = () => {
      const left = anchor === "start" ? at[0] : anchor === "end" ? at[0] - wide : at[0] - wide / 2;
      return [left, at[1] - 11, left + wide, at[1] + 4];
    };
    while (used.some((other) => hits(other, area()))) at[1] += y < -0.2 ? -LINE : LINE;
    used.push(area());
    const [left, top, right, bottom] = area();
    box[0] = Math.min(box[0], left, outer[0]);
    box[1] = Math.min(box[1], top, outer[1]);
    box[2] = Math.max(box[2], right, outer[0]);
    box[3] = Math.max(box[3], bottom, outer[1]);
    return { ...drawn, label: one.label, at, anchor, sense: one.sense, what: one.what };
  });
  return { items, box: [box[0] - 4, box[1] - 4, box[2] + 4, box[3] + 4] };
}

/** Return the side of the joint, y down, on which an arrow lies. */
function sideOf({ direction: [x, y] }, pushes) {
  return pushes ? [-x, y] : [x, -y];
}

/** Return how near the nearest member's arrow is to a side: the cosine of the angle between, none below 20 degrees. */
function crowd([x, y], sides) {
  const nearest = Math.max(-1, ...sides.map(([a, b]) => a * x + b * y));
  return nearest > 0.94 ? nearest : 0;
}

function hits(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}
