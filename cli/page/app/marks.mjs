// Names, numbers and dimension lines: what is written over the picture, placed anew for each zoom.

import { app, showsUse } from "./app.mjs";
import { byId } from "./dom.mjs";
import { short } from "./format.mjs";
import { nameOffset, placeMemberLabels } from "./labels.mjs";
import { paint, v } from "./paint.mjs";
import { drawnLoads, known, normalOf, onPage, reactionEnds } from "./shapes.mjs";
import { marker, neighboursOf, placeOf, stage } from "./stage.mjs";
import { toWindow } from "./view.mjs";

const SIZE = { plain: 13, projector: 21, phone: 11.5 }; // letters, window pixels
const narrow = matchMedia("(max-width: 52rem)");
const DIMENSION = 40; // from a joint to the first dimension line, window pixels
const STACK = 24; // from one dimension line to the next

const measure = document.createElement("canvas").getContext("2d");
const widths = new Map();

/** Return how large a text is in the window. */
function sizeOf(text, letters) {
  const key = `${letters} ${text}`;
  if (!widths.has(key)) {
    measure.font = `600 ${letters}px system-ui, sans-serif`;
    widths.set(key, [measure.measureText(text).width + 8, letters + 4]);
  }
  return widths.get(key);
}

/** Return the words of a dimension. */
export function dimensionWords(entry, model) {
  const unit = entry.kind === "angle" ? "°" : ` ${model.units.length}`;
  return `${short(entry.value)}${unit}`;
}

const box = ([x, y], [w, h]) => [x - w / 2, y - h / 2, x + w / 2, y + h / 2];

/** Draw names, numbers and dimension lines for the present zoom. */
export function drawMarks() {
  const layer = byId("names");
  if (!layer || !app.shown?.model) return;
  const letters = SIZE[document.body.classList.contains("projector") ? "projector" : narrow.matches ? "phone" : "plain"];
  const { model } = app.shown;
  const shows = app.walk ? known(app.walk) : null;
  const scene = { letters, neighbours: neighboursOf(model), shows, taken: [], parts: [], lines: [] };
  for (const place of stage.places) scene.taken.push(box(toWindow(stage.view, place), [20, 20]));
  for (const one of model.supports) {
    const [x, y] = toWindow(stage.view, placeOf(one.joint));
    const [nx, ny] = normalOf(one);
    scene.taken.push(box([x - 20 * nx, y - 20 * ny], [36, 36]));
  }
  names(scene, model);
  dimensions(scene, model);
  loads(scene, model);
  if (!shows || shows.reactions) reactions(scene);
  forces(scene, model, shows);
  paint(byId("lines"), ...scene.lines);
  paint(layer, ...scene.parts);
}

function write(scene, place, [dx, dy], text, classes = null) {
  const [x, y] = toWindow(stage.view, place);
  scene.taken.push(box([x + dx, y + dy], sizeOf(text, scene.letters)));
  scene.parts.push(marker(place, { class: classes }, v("text", { x: dx, y: dy }, text)));
}

function names(scene, model) {
  const drawn = drawnLoads(model, scene.neighbours);
  model.joints.forEach((joint, row) => {
    const place = stage.places[row];
    const around = [...scene.neighbours.get(joint.name)];
    const held = model.supports.find((one) => one.joint === joint.name);
    if (held) {
      // A support takes room as a member does, on either side of its middle.
      const [nx, ny] = normalOf(held);
      for (const side of [-0.7, 0.7]) around.push([place[0] - nx + side * ny, place[1] - ny - side * nx]);
    }
    for (const load of drawn.filter((one) => one.joint === joint.name)) {
      const end = load.pulls ? load.tip : load.tail;
      around.push([place[0] + end[0], place[1] + end[1]]);
    }
    const [dx, dy] = nameOffset(place, around, scene.letters * 1.45);
    const wide = sizeOf(joint.name, scene.letters)[0] - sizeOf("A", scene.letters)[0];
    write(scene, place, [dx + (Math.sign(dx) * wide * Math.abs(dx)) / (2 * Math.hypot(dx, dy)), dy], joint.name);
  });
}

function loads(scene, model) {
  for (const one of drawnLoads(model, scene.neighbours)) {
    const end = one.pulls ? one.tip : one.tail;
    const out = one.pulls ? one.way : [-one.way[0], -one.way[1]];
    const [w, h] = sizeOf(one.label, scene.letters);
    write(scene, placeOf(one.joint), [end[0] + out[0] * (w / 2 + 2), end[1] + out[1] * (h / 2 + 3)], one.label, one.doubtful ? "label-u" : null);
  }
  for (const deck of model.deck_loads ?? []) {
    const n = Math.floor((deck.joints.length - 1) / 2);
    const [a, b] = [placeOf(deck.joints[n]), placeOf(deck.joints[n + 1])];
    const way = onPage(deck.force);
    write(scene, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], [-way[0] * 42, -way[1] * 42], `${short(Math.hypot(...deck.force), 4)} ${model.units.force}/${model.units.length}`);
  }
}

function reactions(scene) {
  for (const one of app.shown.answer.reactions) {
    const ends = reactionEnds(one, scene.neighbours);
    const far = Math.hypot(...ends.tail) > Math.hypot(...ends.tip) ? ends.tail : ends.tip;
    const length = Math.hypot(...far) || 1;
    const [w, h] = sizeOf(one.label, scene.letters);
    write(scene, placeOf(one.joint), [far[0] * (1 + (w / 2 + 2) / length), far[1] * (1 + (h / 2 + 3) / length)].map((part, axis) => (Math.abs(far[axis]) < 1 ? far[axis] : part)), one.label);
  }
}

function forces(scene, model, shows) {
  const { answer } = app.shown;
  const lines = model.members.map(({ joints: [a, b] }, row) => {
    const found = answer.members[row];
    const use = showsUse() ? answer.strength.members[row] : null;
    const label = found?.label && (!shows || shows.members.has(row)) ? (use ?? found).label : "";
    return {
      a: toWindow(stage.view, placeOf(a)),
      b: toWindow(stage.view, placeOf(b)),
      size: label ? sizeOf(label, scene.letters) : null,
      least: sizeOf(found?.sense ?? "0", scene.letters),
      label,
      sense: found?.sense,
      classes: use ? (use.first ? "label-first" : null) : found?.sense ? `label-${found.sense === "?" ? "u" : found.sense}` : null,
    };
  });
  placeMemberLabels(lines, scene.taken).forEach((spot, row) => {
    if (!spot) return;
    const { x, y, k } = stage.view;
    const place = [(spot.at[0] - x) / k, (spot.at[1] - y) / k];
    scene.parts.push(marker(place, { class: lines[row].classes }, v("text", {}, spot.whole ? lines[row].label : lines[row].sense)));
  });
}

/** Dimension lines lie outside the truss: those of one side on common lines, next to each other where they fit. */
function dimensions(scene, model) {
  const middle = stage.places.reduce(([x, y], [px, py]) => [x + px / stage.places.length, y + py / stage.places.length], [0, 0]);
  const sides = new Map();
  model.dimensions.forEach((entry, row) => {
    const fault = app.server.looks.some((look) => look.urgent && look.dimensions.includes(row));
    const classes = fault ? "dimension fault" : "dimension";
    const [a, b] = [placeOf(entry.from), placeOf(entry.to)];
    const text = dimensionWords(entry, model);
    if (entry.kind === "angle") {
      scene.parts.push(angleMark(scene, a, b, text, classes));
      return;
    }
    const along = { across: onPage([1, 0]), up: onPage([0, 1]), along: unit(sub(b, a)) }[entry.kind];
    let normal = [-along[1], along[0]];
    const reach = (way) => Math.max(dot(sub(a, middle), way), dot(sub(b, middle), way));
    if (reach(times(normal, -1)) > reach(normal)) normal = times(normal, -1);
    const side = `${Math.round(normal[0] * 4)} ${Math.round(normal[1] * 4)}`;
    if (!sides.has(side)) sides.set(side, { out: -Infinity, room: 0, levels: [], lines: [] });
    const group = sides.get(side);
    group.out = Math.max(group.out, dot(a, normal), dot(b, normal));
    group.room = Math.max(group.room, roomBelow(model, entry, normal));
    // Where it lies along its side, in a direction that is the same for all of them.
    const axis = along[0] + along[1] * 1e-6 >= 0 ? along : times(along, -1);
    const span = [dot(a, axis), dot(b, axis)].sort((p, q) => p - q);
    let level = group.levels.findIndex((spans) => spans.every(([p, q]) => span[1] <= p + 1 || span[0] >= q - 1));
    if (level < 0) level = group.levels.push([]) - 1;
    group.levels[level].push(span);
    group.lines.push({ row, a, b, along, normal, level, text, classes });
  });
  for (const { out, room, lines } of sides.values()) {
    for (const one of lines) dimensionLine(scene, one, out + (DIMENSION + room + STACK * one.level) / stage.view.k);
  }
}

function dimensionLine(scene, { row, a, b, along, normal, text, classes }, base) {
  const from = sub(a, times(normal, dot(a, normal) - base));
  const to = sub(b, times(normal, dot(b, normal) - base));
  const line = (p, q, name) => v("line", { class: name, x1: p[0], y1: p[1], x2: q[0], y2: q[1] });
  const slant = times(unit([along[0] + normal[0], along[1] + normal[1]]), 6 / stage.view.k);
  const tick = (p) => line(sub(p, slant), sub(p, times(slant, -1)), "tick");
  scene.lines.push(
    v(
      "g",
      { class: classes, "data-row": row },
      line(from, to, "casing"),
      line(a, from, "reach"),
      line(b, to, "reach"),
      line(from, to, ""),
      tick(from),
      tick(to),
    ),
  );
  write(scene, [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], [0, 0], text, classes);
}

/** Return how much further out a dimension line lies so that a support and its reaction stay free, window pixels. */
function roomBelow(model, entry, normal) {
  const inTheWay = model.supports.some((one) => {
    if (one.joint !== entry.from && one.joint !== entry.to) return false;
    const [nx, ny] = normalOf(one);
    return -(nx * normal[0] + ny * normal[1]) > 0.5;
  });
  return !inTheWay ? 0 : app.shown.answer.reactions.length ? 74 : 18;
}

const sub = (p, q) => [p[0] - q[0], p[1] - q[1]];
const times = (p, factor) => [p[0] * factor, p[1] * factor];
const dot = (p, q) => p[0] * q[0] + p[1] * q[1];
const unit = ([x, y]) => [x / (Math.hypot(x, y) || 1), y / (Math.hypot(x, y) || 1)];

/** An angle from the horizontal: a small arc at the joint it is measured at. */
function angleMark(scene, a, b, text, classes) {
  const way = unit(sub(b, a));
  const right = onPage([1, 0]);
  const level = dot(way, right) >= 0 ? right : times(right, -1);
  const radius = 34;
  const turn = level[0] * way[1] - level[1] * way[0] > 0 ? 1 : 0;
  const half = unit([level[0] + way[0], level[1] + way[1]]);
  const [w] = sizeOf(text, scene.letters);
  write(scene, a, times(half, radius + w / 2 + 4), text, classes);
  const path = `M0 0L${radius * level[0]} ${radius * level[1]}A${radius} ${radius} 0 0 ${turn} ${radius * way[0]} ${radius * way[1]}`;
  return marker(a, { class: classes }, v("path", { class: "arc casing", d: path }), v("path", { class: "arc", d: path }));
}
