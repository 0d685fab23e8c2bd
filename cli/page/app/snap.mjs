// Snapping to the ink: the place near a pointer where strokes cross, from the grey levels of the picture.
//
// Every candidate place is judged by rays that leave it: along each the mean contrast with the ground is taken, and
// the squares are added up. Where strokes cross, the rays along all of them are full of ink at once; beside them, or on
// one stroke alone, they are not. With known members the rays are theirs. Without them all directions are tried. A
// thick stick gives a plateau, so the answer is the middle of the best places.

const RAYS = 48;
const ALONG = 14; // samples of a ray
const STEPS = 20; // candidates from the middle to the edge of the search
const BEST = 0.94; // share of the best score that still counts to the plateau
const LEAST_CONTRAST = 18; // grey levels of 255: fainter is paper

/** Return the median of numbers. */
export function median(values) {
  const sorted = Float64Array.from(values).sort();
  return sorted.length ? sorted[sorted.length >> 1] : 0;
}

/** Return the grey level between pixels. */
function level(patch, x, y) {
  const column = Math.min(patch.width - 2, Math.max(0, Math.floor(x)));
  const row = Math.min(patch.height - 2, Math.max(0, Math.floor(y)));
  const fx = Math.min(1, Math.max(0, x - column));
  const fy = Math.min(1, Math.max(0, y - row));
  const at = row * patch.width + column;
  const { grey, width } = patch;
  const top = grey[at] * (1 - fx) + grey[at + 1] * fx;
  const bottom = grey[at + width] * (1 - fx) + grey[at + width + 1] * fx;
  return top * (1 - fy) + bottom * fy;
}

/**
 * Return the place of the crossing, or null where there is no ink to hold on to.
 *
 * patch: { grey, width, height } grey levels 0 to 255, row by row; at: [x, y] in the patch; reach: how far to search,
 * in pixels of the patch; targets: far ends of the members that meet there, in the patch's pixels (may lie outside).
 */
export function snap(patch, at, reach, targets = []) {
  if (patch.width < 3 || patch.height < 3) return null;
  const ground = median(patch.grey);
  const long = reach * 1.6;
  const short = reach * 0.15;
  const free = Array.from({ length: RAYS }, (_, n) => {
    const angle = (2 * Math.PI * n) / RAYS;
    return [Math.cos(angle), Math.sin(angle)];
  });
  const step = reach / STEPS;
  const found = [];
  let best = 0;
  for (let row = -STEPS; row <= STEPS; row += 1) {
    for (let column = -STEPS; column <= STEPS; column += 1) {
      if (row * row + column * column > STEPS * STEPS) continue;
      const x = at[0] + column * step;
      const y = at[1] + row * step;
      const ways = targets.length ? targets.map(([tx, ty]) => unit(tx - x, ty - y)) : free;
      let score = 0;
      for (const [ux, uy] of ways) {
        let ink = 0;
        for (let n = 0; n < ALONG; n += 1) {
          const out = short + ((long - short) * n) / (ALONG - 1);
          ink += Math.abs(level(patch, x + ux * out, y + uy * out) - ground);
        }
        score += (ink / ALONG) ** 2;
      }
      if (score > best) best = score;
      found.push([x, y, score]);
    }
  }
  const rays = targets.length || 2;
  if (best < rays * LEAST_CONTRAST ** 2) return null;
  let weight = 0;
  let sumX = 0;
  let sumY = 0;
  for (const [x, y, score] of found) {
    if (score < BEST * best) continue;
    const counts = score - BEST * best + 1e-9;
    weight += counts;
    sumX += counts * x;
    sumY += counts * y;
  }
  return [sumX / weight, sumY / weight];
}

function unit(x, y) {
  const length = Math.hypot(x, y) || 1;
  return [x / length, y / length];
}

/** Return a direction turned to the nearest multiple of `step` degrees when it is within `within` degrees of it. */
export function snapAngle(degrees, step = 15, within = 4) {
  const near = Math.round(degrees / step) * step;
  return Math.abs(degrees - near) <= within ? near : degrees;
}

/** Return grey levels of RGBA pixels (ITU-R BT.601 weights). */
export function greyOf(rgba) {
  const grey = new Float32Array(rgba.length / 4);
  for (let n = 0; n < grey.length; n += 1) {
    grey[n] = 0.299 * rgba[4 * n] + 0.587 * rgba[4 * n + 1] + 0.114 * rgba[4 * n + 2];
  }
  return grey;
}
