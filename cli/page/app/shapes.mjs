// Members, joints, supports and arrows as shapes over the picture.

import { app, memberRow, showsUse } from "./app.mjs";
import { short } from "./format.mjs";
import { v } from "./paint.mjs";
import { marker, neighboursOf, placeOf, stage } from "./stage.mjs";
import { arrow, betterPulling, loadArrow, slash, support } from "./symbols.mjs";

export const JOINT = 6.5; // radius of a joint, window pixels
const THIN = 3; // width of a member that carries nothing, window pixels
const THICK = 11; // width of the member that carries most, window pixels
const LOAD = 52; // length of a load's arrow, window pixels

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

export function memberShape(member, row, walk) {
  const [start, end] = member.joints;
  const [[x1, y1], [x2, y2]] = [placeOf(start), placeOf(end)];
  const { model, answer } = app.shown;
  const found = answer.members[row] ?? {};
  const shows = !walk || known(walk).members.has(row);
  const sense = shows ? found.sense : null;
  const use = showsUse() ? answer.strength.members[row] : null;
  const doubtful = isDoubted(`member ${start} ${end}`);
  const redundant = answer.redundant.includes(row);
  const chosen = app.chosen?.kind === "member" && memberRow(model, app.chosen.start, app.chosen.end) === row;
  const looked = lookedAt()?.members.some(([a, b]) => memberRow(model, a, b) === row);
  const classes = ["member"];
  if (use) classes.push(`use-${use.tone}`, use.first ? "first" : "", sense === "0" ? "zero" : "");
  else if (sense) classes.push(senseClass[sense]);
  if (doubtful && !sense) classes.push("doubtful");
  if (chosen || looked) classes.push("chosen");
  if (walk && walk.steps[walk.at].members.length && !walk.steps[walk.at].members.includes(row)) classes.push("pale");
  const thick = stage.size[0] < 560 ? 7 : THICK;
  const width = sense ? THIN + (thick - THIN) * (use ?? found).share : THIN;
  const line = (name, wide) => v("line", { class: name, x1, y1, x2, y2, "stroke-width": wide });
  const words = use ? `Member ${start}–${end} uses ${use.label} of its strength.` : found.sense ? found.says : `Member ${start}–${end}`;
  const lit = redundant ? " Takes part in what is too much." : "";
  return v(
    "g",
    { class: classes.join(" "), "data-key": `member ${start} ${end}`, role: "button", tabindex: "-1", "aria-label": words + lit },
    redundant && line("glow", 18),
    use?.first && line("alarm", width + 12),
    line("casing", width + (chosen || looked ? 10 : 4)),
    line("inner", width + 5),
    line("bar", width),
    found.sense && v("title", {}, words),
  );
}

function lookedAt() {
  return app.look && app.server.looks.find((look) => look.key === app.look);
}

export function jointShape(joint, row, walk) {
  const { model, answer } = app.shown;
  const doubtful = isDoubted(`joint ${joint.name}`);
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
    v("circle", { class: "pickring", r: JOINT + 6 }),
    v("circle", { class: "focusring", r: JOINT + 6 }),
    doubtful && v("circle", { class: "halo", r: JOINT + 6 }),
    doubtful && v("circle", { class: "doubtring", r: JOINT + 6 }),
    v("circle", { class: "halo", r: JOINT }),
    v("circle", { class: "dot", r: JOINT }),
  );
}

/** Whether something read is on the list of what to look at. */
const isDoubted = (key) => app.server.looks.some((look) => look.key === key);

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

export function supportShape(one, model) {
  const shape = support(one.kind, normalOf(one));
  const doubtful = !model.confirmed && one.confidence !== undefined;
  return marker(
    placeOf(one.joint),
    { class: doubtful ? "support doubtful" : "support" },
    v("path", { class: "casing", d: shape.solid + shape.ground }),
    v("path", { class: "solid", d: shape.solid }),
    ...shape.wheels.map(([cx, cy, r]) => v("circle", { class: "solid", cx, cy, r })),
    v("path", { class: "ground", d: shape.ground }),
  );
}

function arrowShape(kind, tail, tip, crossed) {
  const drawn = arrow(tail, tip, kind === "reaction" ? 10 : 12);
  return [
    v("path", { class: "casing", d: drawn.shaft + drawn.head }),
    v("path", { class: "shaft", d: drawn.shaft }),
    v("path", { class: "head", d: drawn.head }),
    crossed && v("path", { class: "slash", d: slash(tail, tip) }),
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

export function loadShapes(model, answer, neighbours) {
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

export function reactionEnds(one, neighbours) {
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

export function reactionShapes(answer, neighbours, walk) {
  if (walk && !known(walk).reactions) return [];
  return answer.reactions.map((one) => {
    const ends = reactionEnds(one, neighbours);
    return marker(placeOf(one.joint), { class: "arrow reaction" }, ...arrowShape("reaction", ends.tail, ends.tip, true));
  });
}
