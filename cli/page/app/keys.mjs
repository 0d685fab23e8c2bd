// Everything by keyboard alone. Letters and signs count only while the keyboard is on the picture.

import { activate, erase } from "./actions.mjs";
import { app, choose, edit, memberRow, redo, tryOut, undo, update } from "./app.mjs";
import { announce, byId } from "./dom.mjs";
import { walkTo } from "./hit.mjs";
import { nextLook } from "./panel.mjs";
import { stopPicking } from "./picking.mjs";
import { closePopup } from "./popup.mjs";
import { placeFields } from "./putting.mjs";
import { fitAll, focusOn, placeOf, revealPlace, setView, stage } from "./stage.mjs";
import { pan, zoomAbout } from "./view.mjs";
import { closeWalk, stepBy } from "./walk.mjs";

const WAYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const SETTLE = 450; // milliseconds without a key after which a moved joint is saved

/** Listen to the keyboard. */
export function listenToKeys() {
  document.addEventListener("keydown", anywhere);
  byId("stage").addEventListener("keydown", onStage);
  byId("stage").addEventListener("keyup", (event) => {
    if (event.key === "Shift") settleMove();
  });
  byId("stage").addEventListener("focusin", (event) => {
    const what = focused(event.target);
    if (stage.restoring || !event.target.matches(":focus-visible")) return;
    if (what?.kind === "joint") revealPlace(placeOf(what.name));
    if (!same(what, app.focused)) update({ focused: what });
  });
  byId("stage").addEventListener("focusout", () => {
    if (app.focused && !stage.restoring) update({ focused: null });
  });
  byId("stage").addEventListener("click", (event) => {
    // Assistive technology presses a joint or member by a click that no pointer made.
    const what = focused(event.target);
    if (what && event.detail === 0) activate(what);
  });
}

const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/** Return the joint or member that has the keyboard's focus. */
function focused(element) {
  const key = element.closest?.("[data-key]")?.dataset.key;
  if (!key) return null;
  const [kind, ...names] = key.split(" ");
  return kind === "joint" ? { kind, name: names[0] } : { kind, start: names[0], end: names[1] };
}

function typing(target) {
  return target.matches?.("input, select, textarea, [contenteditable]");
}

function anywhere(event) {
  const command = event.ctrlKey || event.metaKey;
  if (app.walk && !typing(event.target) && !command) {
    if (["ArrowRight", "ArrowDown", "PageDown"].includes(event.key)) stepBy(1);
    else if (["ArrowLeft", "ArrowUp", "PageUp"].includes(event.key)) stepBy(-1);
    else if (event.key === "Home") stepBy(-Infinity);
    else if (event.key === "End") stepBy(Infinity);
    else if (event.key === "Escape") closeWalk();
    else return;
    event.preventDefault();
    return;
  }
  if (event.key === "Escape") {
    if (closePopup(true) || stopPicking()) event.preventDefault();
    else if (app.chosen) choose(null);
    return;
  }
  if (command && !typing(event.target) && event.key.toLowerCase() === "z") {
    event.preventDefault();
    if (event.shiftKey) redo();
    else undo();
  } else if (command && !typing(event.target) && event.key.toLowerCase() === "y") {
    event.preventDefault();
    redo();
  }
}

function onStage(event) {
  if (!app.shown?.model || app.walk || event.ctrlKey || event.metaKey) return;
  const what = focused(event.target);
  const way = WAYS[event.key];
  if (way && event.shiftKey && what?.kind === "joint") nudge(what.name, way, event.altKey ? 10 : 1);
  else if (way && what) walk(what, way);
  else if (way) setView(pan(stage.view, -60 * way[0], -60 * way[1]));
  else if ((event.key === "Enter" || event.key === " ") && what) activate(what);
  else if ((event.key === "Delete" || event.key === "Backspace") && what) erase(what);
  else if (event.key === "]" || event.key === "[") aroundJoint(what, event.key === "]" ? 1 : -1);
  else if (event.key === "+" || event.key === "=") setView(zoomAbout(stage.view, 1.25, middle(what)));
  else if (event.key === "-") setView(zoomAbout(stage.view, 0.8, middle(what)));
  else if (event.key === "0") fitAll();
  else if (event.key.toLowerCase() === "n") nextLook(event.shiftKey ? -1 : 1);
  else return;
  event.preventDefault();
}

function middle(what) {
  if (what?.kind !== "joint") return [stage.size[0] / 2, stage.size[1] / 2];
  const [x, y] = placeOf(what.name);
  return [stage.view.x + stage.view.k * x, stage.view.y + stage.view.k * y];
}

function walk(what, way) {
  const { model } = app.shown;
  const from = what.kind === "joint" ? placeOf(what.name) : middleOf(what);
  const row = walkTo(from, way, stage.places);
  if (row < 0) announce("No joint that way.");
  else focusOn({ kind: "joint", name: model.joints[row].name });
}

function middleOf({ start, end }) {
  const [a, b] = [placeOf(start), placeOf(end)];
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

/** Walk through the members of a joint, or on from one member to the next at the same joint. */
function aroundJoint(what, step) {
  if (!what) return;
  const { model } = app.shown;
  const joint = what.kind === "joint" ? what.name : (aroundJoint.joint ?? what.start);
  aroundJoint.joint = joint;
  const here = model.members.filter(({ joints }) => joints.includes(joint));
  if (!here.length) return;
  const now = what.kind === "member" ? here.indexOf(model.members[memberRow(model, what.start, what.end)]) : step > 0 ? -1 : 0;
  const next = here[(now + step + here.length) % here.length].joints;
  focusOn({ kind: "member", start: next[0], end: next[1] });
}

let moved = null;

/** Move a joint by so many window pixels; it is saved when the keys rest. */
function nudge(name, way, steps) {
  const row = app.server.model.joints.findIndex((joint) => joint.name === name);
  const from = moved?.name === name ? moved.place : placeOf(name);
  const place = [from[0] + (way[0] * steps) / stage.view.k, from[1] + (way[1] * steps) / stage.view.k];
  clearTimeout(moved?.timer);
  moved = { name, place, timer: setTimeout(settleMove, SETTLE) };
  app.draft = { kind: "joint", joint: name, place, lens: place };
  const joints = app.shown.answer.joints.map((joint, n) => (n === row ? { ...joint, page: place } : joint));
  update({ shown: { ...app.shown, answer: { ...app.shown.answer, joints } } });
  tryOut({ kind: "move-joint", joint: name, ...placeFields(place) });
}

function settleMove() {
  if (!moved) return;
  const { name, place, timer } = moved;
  clearTimeout(timer);
  moved = null;
  edit({ kind: "move-joint", joint: name, ...placeFields(place) });
}
