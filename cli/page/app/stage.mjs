// The picture and what lies over it. Everything is drawn anew after a change; zooming and panning only move what is
// there. Members lie in picture pixels; joints, symbols and labels keep their size in the window ("markers").

import { app, memberRow } from "./app.mjs";
import { byId, s } from "./dom.mjs";
import { drawDraft } from "./drafts.mjs";
import { short } from "./format.mjs";
import { nameOffset, placeMemberLabels } from "./labels.mjs";
import { arrow, betterPulling, loadArrow, slash, support } from "./symbols.mjs";
import { fit, keepInSight, reveal, toWindow } from "./view.mjs";

export const JOINT = 6.5; // radius of a joint, window pixels
const THIN = 3; // width of a member that carries nothing, window pixels
const THICK = 11;
const LOAD = 52; // length of a load's arrow, window pixels
const FONT = "600 13px system-ui, sans-serif";

export const stage = { view: { k: 1, x: 0, y: 0 }, places: [], box: [0, 0, 1000, 700], size: [1, 1] };

const measure = document.createElement("canvas").getContext("2d");

/** Return how large a text is in the window. */
export function textSize(text, scale = 1) {
  measure.font = FONT;
  return [(measure.measureText(text).width + 8) * scale, 17 * scale];
}

/** Return a group that keeps its size in the window, at a place in the picture. */
export function marker([x, y], attributes, ...children) {
  const group = s("g", { ...attributes, "data-x": x, "data-y": y }, ...children);
  placeMarker(group);
  return group;
}

function placeMarker(group) {
  group.setAttribute("transform", `translate(${group.dataset.x} ${group.dataset.y}) scale(${1 / stage.view.k})`);
}

/** Show another part of the picture. */
export function setView(view) {
  stage.view = keepInSight(view, stage.box, ...stage.size);
  const world = byId("world");
  if (!world) return;
  world.setAttribute("transform", `translate(${stage.view.x} ${stage.view.y}) scale(${stage.view.k})`);
  for (const group of world.querySelectorAll("[data-x]")) placeMarker(group);
  clearTimeout(setView.later);
  setView.later = setTimeout(drawLabels, 140);
}

/** Show everything. */
export function fitAll() {
  setView(fit(stage.box, ...stage.size));
}

/** Bring a place of the picture into the window. */
export function revealPlace(place) {
  setView(reveal(stage.view, place, ...stage.size));
}

/** Return the name's place on the page. */
export const placeOf = (name) => stage.places[app.shown.model.joints.findIndex((joint) => joint.name === name)];

/** Take up the size of the window. */
export function measureStage() {
  const { width, height } = byId("stage").getBoundingClientRect();
  stage.size = [Math.max(width, 1), Math.max(height, 1)];
}

function boxOf(server, places) {
  if (server.picture) return [0, 0, server.picture.width, server.picture.height];
  if (!places.length) return [-500, -350, 500, 350];
  const xs = places.map(([x]) => x);
  const ys = places.map(([, y]) => y);
  const pad = Math.max(80, 0.15 * Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)));
  return [Math.min(...xs) - pad, Math.min(...ys) - pad, Math.max(...xs) + pad, Math.max(...ys) + pad];
}

let shownPicture = null;

/** Draw everything. */
export function drawStage() {
  const root = byId("stage");
  const { server, shown } = app;
  if (!shown?.model) {
    root.replaceChildren();
    return;
  }
  const { model, answer } = shown;
  stage.places = answer.joints.map((joint) => joint.page);
  stage.box = boxOf(server, stage.places);
  const focused = document.activeElement?.closest?.("[data-key]")?.dataset.key ?? null;
  let world = byId("world");
  if (!world) {
    world = s("g", { id: "world" });
    world.append(s("g", { id: "ground" }), s("g", { id: "over" }), s("g", { id: "names" }), s("g", { id: "drafts" }));
    root.replaceChildren(world);
  }
  drawGround(server);
  const neighbours = neighboursOf(model);
  const walk = app.walk;
  byId("over").replaceChildren(
    s("g", {}, ...model.dimensions.map((entry, row) => dimension(entry, row, answer, neighbours))),
    s("g", {}, ...model.members.map((member, row) => memberShape(member, row, walk))),
    s("g", {}, ...model.supports.map((one) => supportShape(one, model, answer))),
    s("g", {}, ...reactionShapes(answer, neighbours, walk)),
    s("g", {}, ...loadShapes(model, answer, neighbours)),
    s("g", {}, ...model.joints.map((joint, row) => jointShape(joint, row, walk))),
  );
  drawDraft();
  setView(stage.view);
  drawLabels();
  restoreFocus(focused);
}

function drawGround(server) {
  const key = server.picture ? server.picture.key : "sheet";
  const ground = byId("ground");
  if (shownPicture === key && key !== "sheet") return;
  const fresh = shownPicture !== key;
  shownPicture = key;
  const [left, top, right, bottom] = stage.box;
  ground.replaceChildren(
    server.picture
      ? s("image", { id: "photo", href: `/api/picture?key=${key}`, width: server.picture.width, height: server.picture.height })
      : s("rect", { class: "sheet", x: left, y: top, width: right - left, height: bottom - top }),
  );
  if (fresh) {
    measureStage();
    fitAll();
  }
}

function restoreFocus(key) {
  const all = [...document.querySelectorAll("#over [data-key]")];
  const chosen = app.chosen && all.find((one) => one.dataset.key === keyOf(app.chosen));
  const wanted = all.find((one) => one.dataset.key === key);
  const entry = wanted ?? chosen ?? all.find((one) => one.classList.contains("joint"));
  entry?.setAttribute("tabindex", "0");
  if (wanted) wanted.focus({ preventScroll: true });
}

/** Return the key of a joint or member on the stage. */
export function keyOf(what) {
  return what.kind === "joint" ? `joint ${what.name}` : `member ${what.start} ${what.end}`;
}

/** Put the keyboard's focus on a joint or member of the picture. */
export function focusOn(what) {
  for (const one of document.querySelectorAll('#over [tabindex="0"]')) one.setAttribute("tabindex", "-1");
  const element = document.querySelector(`#over [data-key="${CSS.escape(keyOf(what)).replaceAll("\\", "\\\\")}"]`)
    ?? [...document.querySelectorAll("#over [data-key]")].find((one) => one.dataset.key === keyOf(what));
  if (!element) return;
  element.setAttribute("tabindex", "0");
  element.focus({ preventScroll: true });
}

function neighboursOf(model) {
  const row = new Map(model.joints.map((joint, number) => [joint.name, number]));
  const found = new Map(model.joints.map((joint) => [joint.name, []]));
  for (const { joints: [a, b] } of model.members) {
    found.get(a).push(stage.places[row.get(b)]);
    found.get(b).push(stage.places[row.get(a)]);
  }
  return found;
}

const senseClass = { T: "T", C: "C", 0: "zero", "?": "unsure" };

/** Return what of the answer the step-by-step mode shows by now: rows of members, and whether reactions are known. */
export function known(walk) {
  const members = new Set();
  let reactions = false;
  for (const step of walk.steps.slice(0, walk.at + 1)) {
    step.finds.forEach((row) => members.add(row));
    reactions ||= step.reactions;
  }
  return { members, reactions };
}

function memberShape(member, row, walk) {
  const [start, end] = member.joints;
  const [[x1, y1], [x2, y2]] = [placeOf(start), placeOf(end)];
  const { model, answer } = app.shown;
  const found = answer.members[row] ?? {};
  const shows = !walk || known(walk).members.has(row);
  const sense = shows ? found.sense : null;
  const doubtful = !model.confirmed && member.confidence !== undefined && member.confidence < 0.9;
  const redundant = answer.redundant.includes(row);
  const chosen = app.chosen?.kind === "member" && memberRow(model, app.chosen.start, app.chosen.end) === row;
  const looked = lookedAt()?.members.some(([a, b]) => memberRow(model, a, b) === row);
  const classes = ["member"];
  if (sense) classes.push(senseClass[sense]);
  if (doubtful && !sense) classes.push("doubtful");
  if (chosen || looked) classes.push("chosen");
  if (walk && walk.steps[walk.at].members.length && !walk.steps[walk.at].members.includes(row)) classes.push("pale");
  const width = sense ? THIN + (THICK - THIN) * found.share : THIN;
  const line = (name, wide) => s("line", { class: name, x1, y1, x2, y2, "stroke-width": wide });
  const words = found.sense ? found.says : `Member ${start}–${end}`;
  const lit = redundant ? " Takes part in what is too much." : "";
  return s(
    "g",
    { class: classes.join(" "), "data-key": `member ${start} ${end}`, role: "button", tabindex: "-1", "aria-label": words + lit },
    redundant && line("glow", 18),
    line("casing", width + (chosen || looked ? 10 : 4)),
    line("inner", width + 5),
    line("bar", width),
    found.sense && s("title", {}, words),
  );
}

function lookedAt() {
  return app.look && app.server.looks.find((look) => look.key === app.look);
}

function jointShape(joint, row, walk) {
  const { model, answer } = app.shown;
  const doubtful = !model.confirmed && joint.confidence !== undefined && joint.confidence < 0.9;
  const chosen =
    (app.chosen?.kind === "joint" && app.chosen.name === joint.name) ||
    app.pick?.chosen.includes(joint.name) ||
    lookedAt()?.joints.includes(joint.name);
  const active = walk?.steps[walk.at].joints.includes(joint.name);
  const classes = ["joint", doubtful && "doubtful", chosen && "chosen", active && "active"].filter(Boolean).join(" ");
  const held = model.supports.find((one) => one.joint === joint.name);
  const loads = model.loads.filter((one) => one.joint === joint.name).length;
  const meets = model.members.filter(({ joints }) => joints.includes(joint.name)).length;
  const words = [
    `Joint ${joint.name}`,
    `${meets} ${meets === 1 ? "member" : "members"}`,
    held && held.kind,
    loads && (loads === 1 ? "1 load" : `${loads} loads`),
    doubtful && "not certain",
  ];
  return marker(
    stage.places[row] ?? answer.joints[row].page,
    { class: classes, "data-key": `joint ${joint.name}`, role: "button", tabindex: "-1", "aria-label": words.filter(Boolean).join(", ") },
    s("circle", { class: "pickring", r: JOINT + 6 }),
    s("circle", { class: "focusring", r: JOINT + 6 }),
    doubtful && s("circle", { class: "halo", r: JOINT + 6 }),
    doubtful && s("circle", { class: "doubtring", r: JOINT + 6 }),
    s("circle", { class: "halo", r: JOINT }),
    s("circle", { class: "dot", r: JOINT }),
  );
}

/** Turn a direction of the plane (y up) into one of the page (y down), unit length. */
export function onPage([x, y]) {
  const [[a, b], [c, d]] = app.shown.answer.axes;
  const way = [a * x + b * y, c * x + d * y];
  const length = Math.hypot(...way) || 1;
  return [way[0] / length, way[1] / length];
}

/** Turn a direction of the page into one of the plane, unit length. */
export function inPlane([x, y]) {
  const [[a, b], [c, d]] = app.shown.answer.axes;
  const turn = a * d - b * c;
  const way = [(d * x - b * y) / turn, (a * y - c * x) / turn];
  const length = Math.hypot(...way) || 1;
  return [way[0] / length, way[1] / length];
}

/** Return the direction in which a support pushes, on the page. */
export function normalOf(one) {
  return onPage(one.kind === "roller" ? (one.normal ?? [0, 1]) : [0, 1]);
}

function supportShape(one, model) {
  const shape = support(one.kind, normalOf(one));
  const doubtful = !model.confirmed && one.confidence !== undefined;
  return marker(
    placeOf(one.joint),
    { class: doubtful ? "support doubtful" : "support" },
    s("path", { class: "casing", d: shape.solid + shape.ground }),
    s("path", { class: "solid", d: shape.solid }),
    ...shape.wheels.map(([cx, cy, r]) => s("circle", { class: "solid", cx, cy, r })),
    s("path", { class: "ground", d: shape.ground }),
  );
}

function arrowShape(kind, tail, tip, crossed) {
  const drawn = arrow(tail, tip, kind === "reaction" ? 10 : 12);
  return [
    s("path", { class: "casing", d: drawn.shaft + drawn.head }),
    s("path", { class: "shaft", d: drawn.shaft }),
    s("path", { class: "head", d: drawn.head }),
    crossed && s("path", { class: "slash", d: slash(tail, tip) }),
  ];
}

/** Return the loads as drawn: { row, joint, tail, tip, label, doubtful }, tail and tip in window pixels from the joint. */
export function drawnLoads(model, neighbours = neighboursOf(model)) {
  return model.loads.map((one, row) => {
    const way = one.force ? onPage(one.force) : unit(one.px_direction);
    const place = placeOf(one.joint);
    const pulls = betterPulling(place, way, neighbours.get(one.joint));
    const ends = loadArrow([0, 0], way, LOAD, pulls, JOINT + 3);
    const label = one.force ? `${short(Math.hypot(...one.force), 4)} ${model.units.force}` : "how big?";
    return { row, joint: one.joint, ...ends, label, way, pulls, doubtful: !one.force || (one.confidence !== undefined && !model.confirmed) };
  });
}

const unit = ([x, y]) => [x / (Math.hypot(x, y) || 1), y / (Math.hypot(x, y) || 1)];

function loadShapes(model, answer, neighbours) {
  const shapes = drawnLoads(model, neighbours).map((one) =>
    marker(
      placeOf(one.joint),
      { class: one.doubtful ? "arrow load doubtful" : "arrow load", "data-load": one.row },
      ...arrowShape("load", one.tail, one.tip),
    ),
  );
  for (const deck of model.deck_loads ?? []) {
    const way = onPage(deck.force);
    for (let n = 0; n + 1 < deck.joints.length; n += 1) {
      const [a, b] = [placeOf(deck.joints[n]), placeOf(deck.joints[n + 1])];
      for (const t of [0.12, 0.37, 0.63, 0.88]) {
        const at = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
        const ends = loadArrow([0, 0], way, 20, false, 6);
        shapes.push(marker(at, { class: "arrow load" }, ...arrowShape("reaction", ends.tail, ends.tip)));
      }
    }
  }
  return shapes;
}

function reactionEnds(one, neighbours) {
  const way = onPage(one.direction);
  const { model } = app.shown;
  const held = model.supports.find((each) => each.joint === one.joint);
  const normal = held ? normalOf(held) : [0, -1];
  // An arrow along the support starts below it; one across it lies beside the joint.
  const straight = Math.abs(way[0] * normal[0] + way[1] * normal[1]) > 0.7;
  const gap = straight ? 44 : JOINT + 4;
  const pulls = straight ? way[0] * normal[0] + way[1] * normal[1] < 0 : betterPulling(placeOf(one.joint), way, neighbours.get(one.joint));
  return loadArrow([0, 0], way, 36, pulls, gap);
}

function reactionShapes(answer, neighbours, walk) {
  if (walk && !known(walk).reactions) return [];
  return answer.reactions.map((one) => {
    const ends = reactionEnds(one, neighbours);
    return marker(placeOf(one.joint), { class: "arrow reaction" }, ...arrowShape("reaction", ends.tail, ends.tip, true));
  });
}

function dimension(entry, row, answer, neighbours) {
  const a = placeOf(entry.from);
  const b = placeOf(entry.to);
  const fault = app.server.looks.some((look) => look.urgent && look.dimensions.includes(row));
  let [from, to] = [a, b];
  if (entry.kind === "across") [from, to] = [[a[0], b[1]], b].map((point, n) => (n ? point : [a[0], b[1]]));
  if (entry.kind === "up") [from, to] = [a, [a[0], b[1]]];
  const line = (name) => s("line", { class: name, x1: from[0], y1: from[1], x2: to[0], y2: to[1] });
  const dash = entry.kind === "along" ? null : [line("casing"), line("")];
  void neighbours;
  void answer;
  return s("g", { class: fault ? "dimension fault" : "dimension", "data-row": row }, dash);
}

/** Return the words of a dimension. */
export function dimensionWords(entry, model) {
  const unitOf = entry.kind === "angle" ? "°" : ` ${model.units.length}`;
  const sign = { across: "↔ ", up: "↕ ", along: "", angle: "∠ " }[entry.kind];
  return `${sign}${short(entry.value)}${unitOf}`;
}

/** Place names and numbers for the present zoom. */
export function drawLabels() {
  const names = byId("names");
  if (!names || !app.shown?.model) return;
  const { model, answer } = app.shown;
  const { view } = stage;
  const scale = document.body.classList.contains("projector") ? 1.7 : 1;
  const neighbours = neighboursOf(model);
  const walk = app.walk;
  const shows = walk ? known(walk) : null;
  const taken = stage.places.map((place) => {
    const [x, y] = toWindow(view, place);
    return [x - 10, y - 10, x + 10, y + 10];
  });
  const texts = [];
  const put = (place, [dx, dy], text, style) => {
    const size = textSize(text, scale);
    const [x, y] = toWindow(view, place);
    taken.push([x + dx - size[0] / 2, y + dy - size[1] / 2, x + dx + size[0] / 2, y + dy + size[1] / 2]);
    texts.push(
      marker(place, { class: style.group ?? null }, s("text", { x: dx, y: dy, class: style.text ?? null, style: null, "font-size": null }, text)),
    );
  };
  model.joints.forEach((joint, row) => {
    const way = nameOffset(stage.places[row], neighbours.get(joint.name), 19 * (scale > 1 ? 1.35 : 1));
    put(stage.places[row], way, joint.name, {});
  });
  for (const one of drawnLoads(model, neighbours)) {
    const end = one.pulls ? one.tip : one.tail;
    const out = one.pulls ? one.way : [-one.way[0], -one.way[1]];
    const wide = textSize(one.label, scale)[0] / 2;
    put(placeOf(one.joint), [end[0] + out[0] * (wide * Math.abs(out[0]) + 4), end[1] + out[1] * 13], one.label, { text: one.doubtful ? "label-u" : null });
  }
  for (const deck of model.deck_loads ?? []) {
    const middle = deck.joints[Math.floor((deck.joints.length - 1) / 2)];
    const after = deck.joints[Math.floor((deck.joints.length - 1) / 2) + 1];
    const [a, b] = [placeOf(middle), placeOf(after)];
    const way = onPage(deck.force);
    put([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], [-way[0] * 42, -way[1] * 42], `${short(Math.hypot(...deck.force), 4)} ${model.units.force}/${model.units.length}`, {});
  }
  if (!walk || shows.reactions) {
    for (const one of answer.reactions) {
      const ends = reactionEnds(one, neighbours);
      const far = Math.hypot(...ends.tail) > Math.hypot(...ends.tip) ? ends.tail : ends.tip;
      const length = Math.hypot(...far) || 1;
      const wide = textSize(one.label, scale)[0] / 2;
      put(placeOf(one.joint), [far[0] + (far[0] / length) * (wide + 3), far[1] + (far[1] / length) * 12], one.label, {});
    }
  }
  const lines = model.members.map(({ joints: [a, b] }, row) => {
    const found = answer.members[row];
    const label = found?.label && (!walk || shows.members.has(row)) ? found.label : "";
    return { a: toWindow(view, placeOf(a)), b: toWindow(view, placeOf(b)), size: label ? textSize(label, scale) : null, label, sense: found?.sense };
  });
  const written = model.dimensions.map((entry) => ({
    a: toWindow(view, placeOf(entry.from)),
    b: toWindow(view, placeOf(entry.to)),
    label: dimensionWords(entry, model),
    group: "dimension",
  }));
  const spots = placeMemberLabels(
    [...lines, ...written.map((one) => ({ ...one, size: textSize(one.label, scale) }))],
    taken,
  );
  [...lines, ...written].forEach((one, n) => {
    if (!spots[n]) return;
    const place = [(spots[n][0] - view.x) / view.k, (spots[n][1] - view.y) / view.k];
    const fault = n >= lines.length && app.server.looks.some((look) => look.urgent && look.dimensions.includes(n - lines.length));
    texts.push(
      marker(
        place,
        { class: one.group ? `dimension${fault ? " fault" : ""}` : null },
        s("text", { class: one.sense ? `label-${one.sense === "?" ? "u" : one.sense}` : null }, one.label),
      ),
    );
  });
  names.replaceChildren(...texts);
}
