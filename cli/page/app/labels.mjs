// Where labels go: beside their member or joint, covering neither each other nor a joint. Pure: boxes only.

const ALONG = [0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73];
const COVERED = 12; // square pixels of others that a whole label may cover

/** Return whether two boxes [left, top, right, bottom] overlap. */
export function overlaps(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

function shared(a, b) {
  const across = Math.min(a[2], b[2]) - Math.max(a[0], b[0]);
  const down = Math.min(a[3], b[3]) - Math.max(a[1], b[1]);
  return across > 0 && down > 0 ? across * down : 0;
}

function boxAt([x, y], [width, height]) {
  return [x - width / 2, y - height / 2, x + width / 2, y + height / 2];
}

/** Return how much of a segment's length lies in a box, in pixels: the segment cut by each of the box's sides. */
export function lengthInside([left, top, right, bottom], [ax, ay], [bx, by]) {
  const dx = bx - ax;
  const dy = by - ay;
  let enters = 0;
  let leaves = 1;
  for (const [way, room] of [[-dx, ax - left], [dx, right - ax], [-dy, ay - top], [dy, bottom - ay]]) {
    if (way === 0) {
      if (room < 0) return 0;
    } else if (way < 0) enters = Math.max(enters, room / way);
    else leaves = Math.min(leaves, room / way);
  }
  return leaves > enters ? (leaves - enters) * Math.hypot(dx, dy) : 0;
}

/**
 * Place the labels of members.
 *
 * members: [{ a, b, size: [w, h] | null, least: [w, h] }] in window pixels; taken: boxes already in use. Returns for each
 * member { at, whole } or null when it has no label: the middle of its label, and whether the whole label fits there; where
 * it would cover a joint or another label, only the small one of size `least` does. The place that costs least wins: boxes
 * in use cost most, then other members' lines, then the way from the middle. Its own line does not count.
 */
export function placeMemberLabels(members, taken) {
  const used = [...taken];
  const order = members
    .map((member, row) => [Math.hypot(member.b[0] - member.a[0], member.b[1] - member.a[1]), row])
    .sort((one, other) => one[0] - other[0]);
  const places = members.map(() => null);
  for (const [, row] of order) {
    const { size, least } = members[row];
    if (!size) continue;
    const whole = cheapest(members, row, size, used);
    const best = least && whole.covered > COVERED ? cheapest(members, row, least, used) : whole;
    places[row] = { at: best.at, whole: best === whole };
    used.push(best.box);
  }
  return places;
}

function cheapest(members, row, size, used) {
  const { a, b } = members[row];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const normal = length ? [-(b[1] - a[1]) / length, (b[0] - a[0]) / length] : [0, 1];
  const aside = (Math.abs(normal[0]) * size[0] + Math.abs(normal[1]) * size[1]) / 2 + 5;
  // What a label of this member could touch at all: most of a large truss is far away.
  const reach = [aside + size[0] / 2, aside + size[1] / 2];
  const near = [
    Math.min(a[0], b[0]) - reach[0],
    Math.min(a[1], b[1]) - reach[1],
    Math.max(a[0], b[0]) + reach[0],
    Math.max(a[1], b[1]) + reach[1],
  ];
  const others = members.filter((other, number) => number !== row && lengthInside(near, other.a, other.b) > 0);
  const boxes = used.filter((box) => overlaps(box, near));
  let best = null;
  for (const t of ALONG) {
    for (const side of [0, -1, 1]) {
      const at = [
        a[0] + t * (b[0] - a[0]) + side * aside * normal[0],
        a[1] + t * (b[1] - a[1]) + side * aside * normal[1],
      ];
      const box = boxAt(at, size);
      const covered = boxes.reduce((sum, other) => sum + shared(box, other), 0);
      let cost = Math.abs(t - 0.5) * 8 + (side === 0 ? 0 : 6) + 6 * covered;
      for (const other of others) {
        if (best !== null && cost >= best.cost) break;
        cost += 4 * lengthInside(box, other.a, other.b);
      }
      if (best === null || cost < best.cost) best = { cost, at, box, covered };
    }
  }
  return best;
}

/** Return where a joint's name goes: on the widest side free of members, as an offset of so many pixels. */
export function nameOffset(joint, neighbours, distance = 19) {
  const angles = neighbours.map(([x, y]) => Math.atan2(y - joint[1], x - joint[0])).sort((a, b) => a - b);
  if (angles.length === 0) return [0, -distance];
  let widest = -1;
  let middle = -Math.PI / 2;
  angles.forEach((angle, n) => {
    const next = n + 1 < angles.length ? angles[n + 1] : angles[0] + 2 * Math.PI;
    // A little in favour of above: that is where people look for a name.
    const favour = 0.25 * -Math.sin((angle + next) / 2);
    if (next - angle + favour > widest) {
      widest = next - angle + favour;
      middle = (angle + next) / 2;
    }
  });
  return [distance * Math.cos(middle), distance * Math.sin(middle)];
}
