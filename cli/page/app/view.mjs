// How the picture lies in the window: a scale `k` and the place `x`, `y` of the picture's origin, in window pixels.
// Pure functions: every one returns a new view.

export const LEAST_SCALE = 0.02;
export const MOST_SCALE = 40;

/** Return where a point of the picture is in the window. */
export function toWindow(view, [px, py]) {
  return [view.x + view.k * px, view.y + view.k * py];
}

/** Return which point of the picture is at a place in the window. */
export function toPicture(view, [wx, wy]) {
  return [(wx - view.x) / view.k, (wy - view.y) / view.k];
}

/** Zoom by a factor, keeping the point of the picture under a place in the window where it is. */
export function zoomAbout(view, factor, [wx, wy]) {
  const k = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, view.k * factor));
  const grown = k / view.k;
  return { k, x: wx - grown * (wx - view.x), y: wy - grown * (wy - view.y) };
}

/** Shift the picture. */
export function pan(view, dx, dy) {
  return { ...view, x: view.x + dx, y: view.y + dy };
}

/** Follow two fingers: the points of the picture under them stay under them. */
export function pinch(view, before, after) {
  const middle = ([a, b]) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const apart = ([a, b]) => Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1]));
  const from = middle(before);
  const to = middle(after);
  return zoomAbout(pan(view, to[0] - from[0], to[1] - from[1]), apart(after) / apart(before), to);
}

/** Return the view that shows a box [left, top, right, bottom] of the picture in the middle of the window. */
export function fit(box, width, height, margin = 24) {
  const [left, top, right, bottom] = box;
  const across = Math.max(right - left, 1e-9);
  const down = Math.max(bottom - top, 1e-9);
  const room = [Math.max(width - 2 * margin, 40), Math.max(height - 2 * margin, 40)];
  const k = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, Math.min(room[0] / across, room[1] / down)));
  return { k, x: width / 2 - (k * (left + right)) / 2, y: height / 2 - (k * (top + bottom)) / 2 };
}

/** Return the view moved, as little as it takes, until a point is well inside the window. */
export function reveal(view, point, width, height, margin = 90) {
  const [wx, wy] = toWindow(view, point);
  const inset = Math.min(margin, width / 4, height / 4);
  const dx = Math.max(inset - wx, 0) + Math.min(width - inset - wx, 0);
  const dy = Math.max(inset - wy, 0) + Math.min(height - inset - wy, 0);
  return pan(view, dx, dy);
}

/** Keep at least a corner of the picture in the window, so that it cannot be lost. */
export function keepInSight(view, box, width, height, least = 80) {
  const [left, top] = toWindow(view, [box[0], box[1]]);
  const [right, bottom] = toWindow(view, [box[2], box[3]]);
  const dx = Math.max(least - right, 0) + Math.min(width - least - left, 0);
  const dy = Math.max(least - bottom, 0) + Math.min(height - least - top, 0);
  return pan(view, dx, dy);
}
