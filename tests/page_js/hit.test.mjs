// What is under the pointer, and where the arrow keys lead.

import assert from "node:assert/strict";
import { test } from "node:test";
import { crossing, hit, nearest, toSegment, walkTo } from "../../cli/page/app/hit.mjs";

const scene = {
  joints: [[0, 0], [100, 0], [100, 80]],
  members: [[0, 1], [1, 2]],
  tips: [{ at: [100, -3], load: 7 }],
};

test("a load's tip wins over a joint, a joint over a member", () => {
  assert.deepEqual(hit([100, -2], scene, 10), { kind: "tip", load: 7 });
  assert.deepEqual(hit([96, 5], scene, 7), { kind: "joint", row: 1 });
  assert.equal(hit([50, 3], scene, 10).kind, "member");
  assert.equal(hit([50, 30], scene, 10), null);
});

test("of two members the nearer one is hit, with how far along", () => {
  const found = hit([97, 40], scene, 10);
  assert.equal(found.row, 1);
  assert.equal(found.t, 0.5);
});

test("a segment without length is a point", () => {
  assert.deepEqual(toSegment([3, 4], [0, 0], [0, 0]), { distance: 5, t: 0 });
});

test("beyond an end the end is nearest", () => {
  assert.deepEqual(toSegment([130, 40], [0, 0], [100, 0]), { distance: 50, t: 1 });
});

test("nothing within reach is nothing", () => {
  assert.equal(nearest([50, 50], scene.joints, 10), -1);
});

test("arrow keys lead to the joint ahead, not to one far aside", () => {
  assert.equal(walkTo([0, 0], [1, 0], scene.joints), 1);
  assert.equal(walkTo([100, 80], [0, -1], scene.joints), 1);
  assert.equal(walkTo([0, 0], [0, 1], [[0, 0], [90, 30]]), -1);
  assert.equal(walkTo([0, 0], [-1, 0], scene.joints), -1);
});

test("segments cross inside both or not at all", () => {
  assert.deepEqual(crossing([[0, 0], [10, 10]], [[0, 10], [10, 0]]), [5, 5]);
  assert.equal(crossing([[0, 0], [4, 4]], [[0, 10], [10, 0]]), null);
  assert.equal(crossing([[0, 0], [10, 0]], [[0, 1], [10, 1]]), null);
});
