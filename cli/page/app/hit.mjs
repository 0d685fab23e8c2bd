// What is under a pointer. Pure: points and distances only. The order is fixed: the tip of a load, then a joint,
// then a member, then a corner of a rectangle, then nothing, so that the small thing on top always wins.

/** Return the distance from a point to a segment, and how far along it the nearest point is, 0 to 1. */
export function toSegment([px, py], [ax, ay], [bx, by]) {
  const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
  const along = length2 === 0 ? 0 : ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / length2;
  const t = Math.min(1, Math.max(0, along));
  return { distance: Math.hypot(px - (ax + t * (bx - ax)), py - (ay + t * (by - ay))), t };
}

/** Return the row of the nearest point within reach, or -1. */
export function nearest(point, places, reach) {
  let best = -1;
  let least = reach;
  places.forEach(([x, y], row) => {
    const distance = Math.hypot(point[0] - x, point[1] - y);
    if (distance <= least) {
      least = distance;
      best = row;
    }
  });
  return best;
}

/**
 * Return what is hit, or null.
 *
 * point: in picture pixels; reach: picture pixels; scene: { tips, joints, members, corners }, where joints and corners
 * are places, members are pairs of rows of joints, and tips are { at, load }.
 */
export function hit(point, scene, reach) {
  const tip = nearest(point, (scene.tips ?? []).map((one) => one.at), reach);
  if (tip >= 0) return { kind: "tip", load: scene.tips[tip].load };
  const joint = nearest(point, scene.joints, reach);
  if (joint >= 0) return { kind: "joint", row: joint };
  const corner = nearest(point, scene.corners ?? [], reach);
  if (corner >= 0) return { kind: "corner", row: corner };
  let best = null;
  let least = reach * 0.8;
  scene.members.forEach(([a, b], row) => {
    const { distance, t } = toSegment(point, scene.joints[a], scene.joints[b]);
    if (distance <= least) {
      least = distance;
      best = { kind: "member", row, t };
    }
  });
  return best;
}

/** Return the joint to walk to from a place in a direction (unit vector, y down), or -1: near, and not far aside. */
export function walkTo(from, way, places) {
  let best = -1;
  let least = Infinity;
  places.forEach((place, row) => {
    const dx = place[0] - from[0];
    const dy = place[1] - from[1];
    const ahead = dx * way[0] + dy * way[1];
    const aside = Math.abs(dx * way[1] - dy * way[0]);
    if (ahead <= 1e-9 || aside > 2 * ahead) return;
    const cost = ahead + 2 * aside;
    if (cost < least) {
      least = cost;
      best = row;
    }
  });
  return best;
}

/** Return where two segments cross inside both, or null. */
export function crossing([p, q], [r, s]) {
  const u = [q[0] - p[0], q[1] - p[1]];
  const v = [s[0] - r[0], s[1] - r[1]];
  const area = u[0] * v[1] - u[1] * v[0];
  if (Math.abs(area) < 1e-12) return null;
  const a = ((r[0] - p[0]) * v[1] - (r[1] - p[1]) * v[0]) / area;
  const b = ((r[0] - p[0]) * u[1] - (r[1] - p[1]) * u[0]) / area;
  return a > 0 && a < 1 && b > 0 && b < 1 ? [p[0] + a * u[0], p[1] + a * u[1]] : null;
}
