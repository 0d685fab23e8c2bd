// Snapping to the ink: strokes are painted into a patch with known crossings.

import assert from "node:assert/strict";
import { test } from "node:test";
import { greyOf, median, snap, snapAngle } from "../../cli/page/app/snap.mjs";

/** Paint strokes of a width on a ground, smooth at their edges, as a camera sees them. */
function painted(strokes, { size = 72, ground = 240, ink = 40, width = 4 } = {}) {
  const grey = new Float32Array(size * size);
  for (let y = 0; y < size; y += 1) {
    for (let x = 0; x < size; x += 1) {
      let cover = 0;
      for (const [[ax, ay], [bx, by]] of strokes) {
        const long = Math.hypot(bx - ax, by - ay);
        const t = Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long ** 2));
        const far = Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay));
        cover = Math.max(cover, Math.min(1, Math.max(0, width / 2 + 0.5 - far)));
      }
      // A slow shade across the paper and a grain that repeats, so that nothing hangs on an even ground.
      const shade = 10 * (x / size) + 3 * Math.sin(12.9898 * x + 78.233 * y);
      grey[y * size + x] = ground - shade + (ink - ground) * cover;
    }
  }
  return { grey, width: size, height: size };
}

const off = (found, [x, y]) => Math.hypot(found[0] - x, found[1] - y);

test("two strokes that cross, no member known", () => {
  const patch = painted([[[2, 30], [70, 42]], [[30, 2], [44, 70]]]);
  const meet = [37.22, 36.22];
  assert.ok(off(snap(patch, [41, 32], 12), meet) < 1.2);
});

test("a corner is found with the members that meet there, from either side", () => {
  const corner = [36, 36];
  const far = [[80, 36], [20, 90]];
  const patch = painted(far.map((end) => [corner, end]));
  for (const start of [[30, 31], [42, 40], [36, 44]]) assert.ok(off(snap(patch, start, 12, far), corner) < 1.5);
});

test("a chord that passes and a post that ends there", () => {
  const at = [36, 40];
  const far = [[-40, 40], [110, 40], [36, -30]];
  const patch = painted([[[-40, 40], [110, 40]], [at, [36, -30]]]);
  assert.ok(off(snap(patch, [40, 36], 12, far), at) < 1.3);
});

test("chalk on a board works as ink on paper does", () => {
  const patch = painted([[[2, 36], [70, 36]], [[36, 2], [36, 70]]], { ground: 60, ink: 220, width: 6 });
  assert.ok(off(snap(patch, [31, 40], 12), [36, 36]) < 1.2);
});

test("a thick stick gives the middle of its width", () => {
  const far = [[110, 36], [36, 110]];
  const patch = painted([[[36, 36], [110, 36]], [[36, 36], [36, 110]]], { width: 15, ink: 110 });
  assert.ok(off(snap(patch, [40, 40], 14, far), [36, 36]) < 3);
});

test("plain paper holds nothing", () => {
  assert.equal(snap(painted([]), [36, 36], 12), null);
  assert.equal(snap(painted([]), [36, 36], 12, [[100, 36]]), null);
});

test("angles are rounded only when they are near", () => {
  assert.equal(snapAngle(268), 270);
  assert.equal(snapAngle(63), 60);
  assert.equal(snapAngle(67.5), 67.5);
});

test("grey and median", () => {
  assert.equal(Math.round(greyOf(new Uint8ClampedArray([255, 255, 255, 255]))[0]), 255);
  assert.equal(median([3, 1, 2]), 2);
});
