// How the picture lies in the window.

import assert from "node:assert/strict";
import { test } from "node:test";
import { fit, keepInSight, MOST_SCALE, pan, pinch, reveal, toPicture, toWindow, zoomAbout } from "../../cli/page/app/view.mjs";

const near = (a, b, slack = 1e-9) => a.forEach((value, n) => assert.ok(Math.abs(value - b[n]) <= slack, `${a} is not ${b}`));
const view = { k: 0.5, x: 20, y: -30 };

test("window and picture are each other's inverse", () => {
  near(toPicture(view, toWindow(view, [123, 456])), [123, 456]);
});

test("zooming keeps the place under the pointer", () => {
  const place = [200, 150];
  const before = toPicture(view, place);
  near(toPicture(zoomAbout(view, 3.7, place), place), before);
});

test("zooming stops at the largest scale and still keeps the place", () => {
  const place = [10, 10];
  const zoomed = zoomAbout(view, 1e6, place);
  assert.equal(zoomed.k, MOST_SCALE);
  near(toPicture(zoomed, place), toPicture(view, place), 1e-6);
});

test("two fingers carry the points of the picture under them", () => {
  const before = [[100, 100], [200, 120]];
  const after = [[80, 140], [280, 180]];
  const moved = pinch(view, before, after);
  before.forEach((finger, n) => near(toWindow(moved, toPicture(view, finger)), after[n], 1e-9));
});

test("a box that is fitted lies in the middle, inside the margin", () => {
  const fitted = fit([0, 0, 400, 100], 800, 600, 24);
  near(toWindow(fitted, [200, 50]), [400, 300]);
  near([toWindow(fitted, [0, 0])[0], toWindow(fitted, [400, 0])[0]], [24, 776]);
});

test("revealing moves no more than it must", () => {
  const inside = toPicture(view, [400, 300]);
  assert.deepEqual(reveal(view, inside, 800, 600), pan(view, 0, 0));
  const outside = toPicture(view, [900, 300]);
  near(toWindow(reveal(view, outside, 800, 600), outside), [710, 300]);
});

test("the picture cannot be pushed out of sight", () => {
  const kept = keepInSight(pan(view, 5000, -5000), [0, 0, 1000, 800], 800, 600);
  const [left] = toWindow(kept, [0, 0]);
  const [, bottom] = toWindow(kept, [1000, 800]);
  assert.ok(left <= 720.0001 && bottom >= 79.9999);
});
