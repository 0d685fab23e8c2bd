// The picture and what lies over it. Everything is drawn anew after a change; zooming and panning only move what is
// there. Members lie in picture pixels; joints, symbols and labels keep their size in the window ("markers").

import { app } from "./app.mjs";
import { byId, s } from "./dom.mjs";
import { drawDraft } from "./drafts.mjs";
import { drawMarks } from "./marks.mjs";
import { jointShape, loadShapes, memberShape, reactionShapes, supportShape } from "./shapes.mjs";
import { fit, keepInSight, reveal } from "./view.mjs";

export const stage = { restoring: false, view: { k: 1, x: 0, y: 0 }, places: [], box: [0, 0, 1000, 700], size: [1, 1] };

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
  setView.later = setTimeout(drawMarks, 140);
}

/** Show everything. */
export function fitAll() {
  setView(fit(stage.box, ...stage.size));
}

/** Show the truss with some room around it: a drawing may fill only a tenth of its photograph. */
export function fitTruss() {
  if (stage.places.length < 2) {
    fitAll();
    return;
  }
  const [left, top, right, bottom] = around(stage.places);
  const room = 0.3 * Math.max(right - left, bottom - top);
  const [l, t, r, b] = stage.box;
  setView(fit([Math.max(l, left - room), Math.max(t, top - room), Math.min(r, right + room), Math.min(b, bottom + room)], ...stage.size));
}

function around(places) {
  const xs = places.map(([x]) => x);
  const ys = places.map(([, y]) => y);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
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
  const [left, top, right, bottom] = around(places);
  const pad = Math.max(80, 0.15 * Math.max(right - left, bottom - top));
  return [left - pad, top - pad, right + pad, bottom + pad];
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
    world.append(s("g", { id: "ground" }), s("g", { id: "lines" }), s("g", { id: "over" }), s("g", { id: "names" }), s("g", { id: "drafts" }));
    root.replaceChildren(world);
  }
  drawGround(server);
  const neighbours = neighboursOf(model);
  const walk = app.walk;
  stage.restoring = true;
  byId("over").replaceChildren(
    s("g", {}, ...model.members.map((member, row) => memberShape(member, row, walk))),
    s("g", {}, ...model.supports.map((one) => supportShape(one, model, answer))),
    s("g", {}, ...reactionShapes(answer, neighbours, walk)),
    s("g", {}, ...loadShapes(model, answer, neighbours)),
    s("g", {}, ...model.joints.map((joint, row) => jointShape(joint, row, walk))),
  );
  stage.restoring = false;
  drawDraft();
  setView(stage.view);
  drawMarks();
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
    fitTruss();
  }
}

function restoreFocus(key) {
  const all = [...document.querySelectorAll("#over [data-key]")];
  const chosen = app.chosen && all.find((one) => one.dataset.key === keyOf(app.chosen));
  const wanted = all.find((one) => one.dataset.key === key);
  const entry = wanted ?? chosen ?? all.find((one) => one.classList.contains("joint"));
  entry?.setAttribute("tabindex", "0");
  if (!wanted) return;
  stage.restoring = true;
  wanted.focus({ preventScroll: true });
  stage.restoring = false;
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

/** Return the places of the far ends of each joint's members, by the joint's name. */
export function neighboursOf(model) {
  const row = new Map(model.joints.map((joint, number) => [joint.name, number]));
  const found = new Map(model.joints.map((joint) => [joint.name, []]));
  for (const { joints: [a, b] } of model.members) {
    found.get(a).push(stage.places[row.get(b)]);
    found.get(b).push(stage.places[row.get(a)]);
  }
  return found;
}
