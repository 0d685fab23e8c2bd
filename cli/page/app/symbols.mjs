// Supports and arrows as path data, in window pixels. Directions are unit vectors with y DOWN. The symbols are those
// common to textbooks of statics: a pin is a triangle on hatched ground, a roller a triangle on small wheels.

const fixed = (value) => Number(value.toFixed(2));

function along(origin, way, ahead, aside) {
  return [origin[0] + ahead * way[0] - aside * way[1], origin[1] + ahead * way[1] + aside * way[0]];
}

function pathOf(points, closed) {
  return points.map(([x, y], n) => `${n ? "L" : "M"}${fixed(x)} ${fixed(y)}`).join("") + (closed ? "Z" : "");
}

/**
 * Return an arrow from tail to tip: { shaft, head } path data.
 */
export function arrow(tail, tip, head = 12) {
  const length = Math.hypot(tip[0] - tail[0], tip[1] - tail[1]) || 1;
  const way = [(tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length];
  const size = Math.min(head, length * 0.7);
  const base = along(tip, way, -size, 0);
  return {
    shaft: pathOf([tail, base], false),
    head: pathOf([tip, along(tip, way, -size, size * 0.42), along(tip, way, -size, -size * 0.42)], true),
  };
}

/** Return the stroke across an arrow's shaft that marks a reaction. */
export function slash(tail, tip) {
  const length = Math.hypot(tip[0] - tail[0], tip[1] - tail[1]) || 1;
  const way = [(tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length];
  const middle = along(tail, way, length * 0.38, 0);
  return pathOf([along(middle, way, -4, 6), along(middle, way, 4, -6)], false);
}

/**
 * Return a support under a joint at the origin: { solid, ground, wheels } path data and circles.
 *
 * normal: the way the ground pushes, unit vector, y down; size: side of the triangle.
 */
export function support(kind, normal, size = 22) {
  const down = [-normal[0], -normal[1]];
  const origin = [0, 0];
  const start = 5;
  const high = size * 0.82;
  const solid = pathOf(
    [along(origin, down, start, 0), along(origin, down, start + high, size * 0.52), along(origin, down, start + high, -size * 0.52)],
    true,
  );
  const wheel = size * 0.15;
  const ground = start + high + (kind === "roller" ? 2 * wheel + 1.5 : 0);
  const half = size * 0.85;
  const lines = [pathOf([along(origin, down, ground, half), along(origin, down, ground, -half)], false)];
  for (let n = -3; n <= 3; n += 1) {
    const side = (n * half) / 3.5;
    lines.push(pathOf([along(origin, down, ground, side), along(origin, down, ground + size * 0.28, side - size * 0.24)], false));
  }
  const wheels =
    kind === "roller"
      ? [-0.28, 0.28].map((side) => [...along(origin, down, start + high + wheel + 0.75, side * size), wheel])
      : [];
  return { solid, ground: lines.join(""), wheels, depth: ground + size * 0.28 };
}

/** Return the arrow of a load as tail and tip: it ends at the joint, or begins there when that keeps it off the truss. */
export function loadArrow(joint, way, length, pulls, gap = 9) {
  if (pulls) {
    return { tail: along(joint, way, gap, 0), tip: along(joint, way, gap + length, 0) };
  }
  return { tail: along(joint, way, -gap - length, 0), tip: along(joint, way, -gap, 0) };
}

/** Return whether an arrow pushing on a joint would lie on its members while one that pulls would not. */
export function betterPulling(joint, way, neighbours) {
  const nearest = (sense) =>
    Math.max(
      -1,
      ...neighbours.map(([x, y]) => {
        const length = Math.hypot(x - joint[0], y - joint[1]) || 1;
        return (sense * (way[0] * (x - joint[0]) + way[1] * (y - joint[1]))) / length;
      }),
    );
  return nearest(-1) > 0.93 && nearest(1) < nearest(-1) - 0.05;
}
