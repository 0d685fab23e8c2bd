// The picture's window: which part of it is shown, where the joints are, what has the focus. Members lie in picture
// pixels; joints, symbols and labels keep their size in the window ("markers").

import { app } from "./app.mjs";
import { byId } from "./dom.mjs";
import { v } from "./paint.mjs";
import { fit, keepInSight, reveal } from "./view.mjs";

const SETTLED = 140; // milliseconds without a movement after which labels are placed anew

export const stage = { restoring: false, view: { k: 1, x: 0, y: 0 }, places: [], rows: new Map(), box: [0, 0, 1000, 700], size: [1, 1] };

/** Return a group that keeps its size in the window, at a place in the picture. */
export function marker([x, y], attributes, ...children) {
  return v("g", { ...attributes, "data-x": x, "data-y": y, transform: placed(x, y) }, ...children);
}

const placed = (x, y) => `translate(${x} ${y}) scale(${1 / stage.view.k})`;

/** Put a marker where its place is in the window now. */
export function placeMarker(group) {
  group.setAttribute("transform", placed(group.dataset.x, group.dataset.y));
}

/** Show another part of the picture. */
export function setView(view) {
  const { k } = stage.view;
  stage.view = keepInSight(view, stage.box, ...stage.size);
  if (!byId("world")) return;
  showView();
  if (stage.view.k !== k) for (const group of byId("world").querySelectorAll("[data-x]")) placeMarker(group);
  clearTimeout(setView.later);
  setView.later = setTimeout(onSettled, SETTLED);
}

/** Put the picture where the view wants it. */
export function showView() {
  const { x, y, k } = stage.view;
  byId("world").setAttribute("transform", `translate(${x} ${y}) scale(${k})`);
}

let onSettled = () => {};

/** Set what happens when another part of the picture was shown and the view rests. */
export function whenSettled(action) {
  onSettled = action;
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

/** Return the box around places. */
export function around(places) {
  const xs = places.map(([x]) => x);
  const ys = places.map(([, y]) => y);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** Bring a place of the picture into the window. */
export function revealPlace(place) {
  setView(reveal(stage.view, place, ...stage.size));
}

/** Return the name's place on the page. */
export const placeOf = (name) => stage.places[stage.rows.get(name)];

/** Take up the size of the window. */
export function measureStage() {
  const { width, height } = byId("stage").getBoundingClientRect();
  stage.size = [Math.max(width, 1), Math.max(height, 1)];
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
  const found = new Map(model.joints.map((joint) => [joint.name, []]));
  for (const { joints: [a, b] } of model.members) {
    found.get(a).push(placeOf(b));
    found.get(b).push(placeOf(a));
  }
  return found;
}
