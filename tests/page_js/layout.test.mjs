// Labels, free bodies, symbols and decks: where things go.

import assert from "node:assert/strict";
import { test } from "node:test";
import { layOut } from "../../cli/page/app/freebody.mjs";
import { lengthInside, nameOffset, overlaps, placeMemberLabels } from "../../cli/page/app/labels.mjs";
import { deckPath } from "../../cli/page/app/paths.mjs";
import { arrow, betterPulling, loadArrow, support } from "../../cli/page/app/symbols.mjs";

const boxAt = ([x, y], [w, h]) => [x - w / 2, y - h / 2, x + w / 2, y + h / 2];

test("labels of a truss of twelve panels cover neither each other nor a joint", () => {
  const size = [58, 17];
  const bottom = Array.from({ length: 13 }, (_, n) => [40 + 90 * n, 400]);
  const top = Array.from({ length: 12 }, (_, n) => [85 + 90 * n, 260]);
  const pairs = [];
  for (let n = 0; n < 12; n += 1) pairs.push([bottom[n], bottom[n + 1]], [bottom[n], top[n]], [top[n], bottom[n + 1]]);
  for (let n = 0; n < 11; n += 1) pairs.push([top[n], top[n + 1]]);
  const taken = [...bottom, ...top].map((joint) => boxAt(joint, [20, 20]));
  const places = placeMemberLabels(pairs.map(([a, b]) => ({ a, b, size })), taken);
  assert.ok(places.every((place) => place.whole));
  const boxes = places.map((place) => boxAt(place.at, size));
  boxes.forEach((one, n) => {
    boxes.slice(n + 1).forEach((other) => assert.ok(!overlaps(one, other)));
    taken.forEach((joint) => assert.ok(!overlaps(one, joint)));
  });
});

test("where a whole label would cover a joint only the small one is put", () => {
  const joints = [[0, 0], [46, 0]];
  const [place] = placeMemberLabels([{ a: joints[0], b: joints[1], size: [58, 17], least: [12, 17] }], joints.map((joint) => boxAt(joint, [20, 60])));
  assert.equal(place.whole, false);
  assert.ok(Math.abs(place.at[0] - 23) < 8);
});

test("a member without a label gets no place", () => {
  assert.deepEqual(placeMemberLabels([{ a: [0, 0], b: [9, 9], size: null }], []), [null]);
});

test("how much of a line lies in a box", () => {
  const half = lengthInside([0, -5, 50, 5], [0, 0], [100, 0]);
  assert.ok(Math.abs(half - 50) < 5);
});

test("a name goes where no member is", () => {
  const [dx, dy] = nameOffset([0, 0], [[100, 0], [0, 100], [100, 100]]);
  assert.ok(dx < 0 && dy < 0);
  assert.deepEqual(nameOffset([0, 0], []), [0, -19]);
});

test("in a free body tension leaves the joint and compression comes to it", () => {
  const { items, box } = layOut([
    { what: "member", label: "AB 10 N (T)", direction: [1, 0], sense: "T" },
    { what: "member", label: "AC 10 N (C)", direction: [0, -1], sense: "C" },
  ]);
  assert.ok(items[0].at[0] > 0 && items[0].anchor === "start");
  assert.ok(items[1].at[1] < 0, "the push downwards comes from above");
  assert.ok(box[2] > items[0].at[0] + 60);
});

test("a load does not lie on a member's arrow", () => {
  const { items } = layOut([
    { what: "member", label: "BD 40 N (T)", direction: [0, 1], sense: "T" },
    { what: "load", label: "40 N", direction: [0, -1], sense: null },
  ]);
  assert.ok(items[0].at[1] < 0 && items[1].at[1] > 0);
});

test("labels of a free body keep clear of each other", () => {
  const same = Array.from({ length: 4 }, (_, n) => ({ what: "member", label: `AB${n} 100 N (T)`, direction: [1, 0], sense: "T" }));
  const rows = layOut(same).items.map((one) => one.at[1]);
  assert.equal(new Set(rows).size, 4);
});

test("a load that would lie on a member is drawn on the other side", () => {
  assert.equal(betterPulling([0, 0], [0, 1], [[0, -100]]), true);
  assert.equal(betterPulling([0, 0], [0, 1], [[100, 0]]), false);
  assert.deepEqual(loadArrow([0, 0], [0, 1], 50, false, 9), { tail: [0, -59], tip: [0, -9] });
});

test("symbols are finite path data, whatever the direction", () => {
  for (let turn = 0; turn < 360; turn += 30) {
    const way = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
    for (const kind of ["pin", "roller"]) {
      const shape = support(kind, way);
      assert.ok(!/NaN|Infinity/.test(shape.solid + shape.ground));
      assert.equal(shape.wheels.length, kind === "roller" ? 2 : 0);
    }
    assert.ok(!/NaN/.test(JSON.stringify(arrow([0, 0], way))));
  }
});

test("the deck follows the chord, not the web", () => {
  const joints = [["A", 0, 0], ["B", 10, 0], ["C", 20, 0], ["D", 30, 0], ["E", 10, -8], ["F", 20, -8]].map(([name, x, y]) => ({ name, at: [x, y] }));
  const members = [["A", "B"], ["B", "C"], ["C", "D"], ["A", "E"], ["E", "F"], ["F", "D"], ["B", "E"], ["C", "F"], ["E", "C"]];
  assert.deepEqual(deckPath(joints, members, "A", "D"), ["A", "B", "C", "D"]);
  assert.deepEqual(deckPath(joints, members, "D", "A"), ["D", "C", "B", "A"]);
  assert.equal(deckPath([...joints, { name: "Z", at: [99, 99] }], members, "A", "Z"), null);
  assert.equal(deckPath(joints, members, "A", "A"), null);
});
