// Which joints lie along a deck: the straightest way over members from one joint to another. Pure.

/**
 * Return the names of the deck joints from `start` to `end` in order, or null when no way leads there.
 *
 * joints: [{ name, at: [x, y] }]; members: pairs of names. Dijkstra's algorithm; a member costs its length and, four
 * times over, how far its far end is from the straight line, so that a chord wins over a zigzag of web members.
 */
export function deckPath(joints, members, start, end) {
  const place = new Map(joints.map((joint) => [joint.name, joint.at]));
  if (!place.has(start) || !place.has(end) || start === end) return null;
  const next = new Map(joints.map((joint) => [joint.name, []]));
  for (const [a, b] of members) {
    next.get(a)?.push(b);
    next.get(b)?.push(a);
  }
  const [ax, ay] = place.get(start);
  const [bx, by] = place.get(end);
  const long = Math.hypot(bx - ax, by - ay) || 1;
  const aside = ([x, y]) => Math.abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / long;
  const cost = new Map([[start, 0]]);
  const from = new Map();
  const open = new Set([start]);
  while (open.size) {
    const here = [...open].reduce((one, other) => (cost.get(other) < cost.get(one) ? other : one));
    if (here === end) break;
    open.delete(here);
    for (const there of next.get(here)) {
      const [hx, hy] = place.get(here);
      const [tx, ty] = place.get(there);
      const reached = cost.get(here) + Math.hypot(tx - hx, ty - hy) + 4 * aside([tx, ty]);
      if (reached < (cost.get(there) ?? Infinity)) {
        cost.set(there, reached);
        from.set(there, here);
        open.add(there);
      }
    }
  }
  if (!cost.has(end)) return null;
  const path = [end];
  while (path[0] !== start) path.unshift(from.get(path[0]));
  return path;
}
