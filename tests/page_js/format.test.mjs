// Numbers as people read and write them.

import assert from "node:assert/strict";
import { test } from "node:test";
import { angleOf, convert, FORCES, LENGTHS, number, parseQuantity, read, short, vectorOf, wayWords } from "../../cli/page/app/format.mjs";

test("significant figures with a true minus sign", () => {
  assert.deepEqual([number(-234.36), number(0.05), number(12), number(9.996), number(0), number(123456)], ["\u2212234", "0.0500", "12.0", "10.0", "0", "123456"]);
});

test("short numbers have no empty zeros", () => {
  assert.deepEqual([short(600), short(0.1 + 0.2), short(-2.5), short(Number.NaN)], ["600", "0.3", "\u22122.5", "?"]);
});

test("quantities as they are typed", () => {
  assert.deepEqual(parseQuantity("40"), { value: 40, unit: null });
  assert.deepEqual(parseQuantity(" 2.5 kN "), { value: 2.5, unit: "kN" });
  assert.deepEqual(parseQuantity("2,5kN"), { value: 2.5, unit: "kN" });
  assert.deepEqual(parseQuantity("\u22124e2"), { value: -400, unit: null });
  for (const wrong of ["", "heavy", "4 0", "1.2.3", "--3", "5 N m"]) assert.equal(parseQuantity(wrong), null);
});

test("units are converted by their definitions", () => {
  // 1 lbf = 4.4482216152605 N and 1 in = 25.4 mm exactly (NIST SP 811, appendix B.8); 1 kip = 1000 lbf.
  assert.equal(read("2 kN", "N", FORCES), 2000);
  assert.equal(read("1 kip", "lbf", FORCES), 1000);
  assert.ok(Math.abs(read("10 lb", "N", FORCES) - 44.482216152605) < 1e-12);
  assert.ok(Math.abs(read("1 ft", "mm", LENGTHS) - 304.8) < 1e-10);
  assert.equal(read("3 stone", "N", FORCES), null);
  assert.equal(convert(7, "kN", "kN", FORCES), 7);
});

test("angles: right angles are exact", () => {
  assert.deepEqual(vectorOf(270), [0, -1]);
  assert.deepEqual(vectorOf(-90), [0, -1]);
  assert.equal(angleOf([0, -1]), 270);
  const [x, y] = vectorOf(30);
  assert.ok(Math.abs(x - Math.sqrt(3) / 2) < 1e-15 && Math.abs(y - 0.5) < 1e-15);
});

test("directions in words", () => {
  assert.deepEqual([wayWords([0, -1]), wayWords([1, 0]), wayWords(vectorOf(60))], ["downwards", "to the right", "at 60°"]);
});
