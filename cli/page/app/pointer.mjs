// Mouse, pen and fingers on the picture: what a press, a drag, two fingers and the wheel do.

import { activate, endLoad, erase } from "./actions.mjs";
import { app, choose, edit, tryOut, update } from "./app.mjs";
import { byId } from "./dom.mjs";
import { angleOf, vectorOf, wayWords } from "./format.mjs";
import { hit } from "./hit.mjs";
import { snapToInk } from "./ink.mjs";
import { pickJoint } from "./picking.mjs";
import { closePopup } from "./popup.mjs";
import { openJoint, openMember } from "./popups.mjs";
import { placeFields, putJoint } from "./putting.mjs";
import { snapAngle } from "./snap.mjs";
import { drawnLoads, inPlane, onPage } from "./shapes.mjs";
import { placeOf, setView, stage } from "./stage.mjs";
import { pan, pinch, toPicture, toWindow, zoomAbout } from "./view.mjs";
import { openFrameSize } from "./viewing.mjs";

const SLOP = { mouse: 4, pen: 5, touch: 9 }; // window pixels before a press becomes a drag
const REACH = { mouse: 13, pen: 14, touch: 24 }; // window pixels within which something is hit
const SNAP = 15; // window pixels within which the ink catches a joint
const MERGE = 12; // window pixels within which a dropped joint falls onto another

const down = new Map();
let press = null;
let fingers = null;

/** Listen to the picture. */
export function listenToPointers() {
  const root = byId("stage");
  root.addEventListener("pointerdown", begin);
  root.addEventListener("pointermove", move);
  root.addEventListener("pointerup", end);
  root.addEventListener("pointercancel", cancel);
  root.addEventListener("pointerleave", () => app.pointed && update({ pointed: null }));
  root.addEventListener("wheel", wheel, { passive: false });
  root.addEventListener("dblclick", (event) => {
    if (app.tool === "move" && !hitAt(at(event), "mouse")) setView(zoomAbout(stage.view, 2, at(event)));
  });
  root.addEventListener("contextmenu", (event) => event.preventDefault());
}

function at(event) {
  const box = byId("stage").getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function hitAt(place, type) {
  const { model } = app.shown;
  const { view } = stage;
  const rows = new Map(model.joints.map((joint, row) => [joint.name, row]));
  const tips = drawnLoads(model).map((one) => {
    const [x, y] = placeOf(one.joint);
    const end = one.pulls ? one.tip : one.tail;
    return { at: [x + end[0] / view.k, y + end[1] / view.k], load: one.row };
  });
  const scene = {
    tips: app.tool === "move" ? tips : [],
    joints: stage.places,
    corners: app.frame ?? [],
    members: model.members.map(({ joints: [a, b] }) => [rows.get(a), rows.get(b)]),
  };
  return hit(toPicture(view, place), scene, REACH[type] / view.k);
}

function begin(event) {
  if (!app.shown?.model || event.button > 0 || app.walk) {
    if (app.walk || event.button === 1) startPan(event);
    return;
  }
  if (byId("stage").contains(document.activeElement)) document.activeElement.blur();
  byId("stage").setPointerCapture(event.pointerId);
  down.set(event.pointerId, at(event));
  if (down.size === 2) {
    stopPress();
    fingers = [...down.values()];
    return;
  }
  if (down.size > 2) return;
  const place = at(event);
  const what = hitAt(place, event.pointerType);
  press = { id: event.pointerId, type: event.pointerType, start: place, last: place, what, dragging: false };
}

function startPan(event) {
  if (!app.shown?.model) return;
  byId("stage").setPointerCapture(event.pointerId);
  down.set(event.pointerId, at(event));
  press = { id: event.pointerId, type: event.pointerType, start: at(event), last: at(event), what: null, dragging: false };
}

function stopPress() {
  press = null;
  byId("stage").classList.remove("panning");
  if (app.draft) update({ draft: null, shown: { model: app.server.model, answer: app.server.answer } });
}

function point(event) {
  if (event.pointerType !== "mouse" || !app.shown?.model || app.walk || app.pick || !byId("popup").hidden) return;
  const what = hitAt(at(event), "mouse");
  const { model } = app.shown;
  let pointed = null;
  if (what?.kind === "joint") pointed = { kind: "joint", name: model.joints[what.row].name };
  if (what?.kind === "member") pointed = { kind: "member", start: model.members[what.row].joints[0], end: model.members[what.row].joints[1] };
  if (JSON.stringify(pointed) !== JSON.stringify(app.pointed ?? null)) update({ pointed });
}

function move(event) {
  if (!down.has(event.pointerId)) {
    point(event);
    return;
  }
  const place = at(event);
  down.set(event.pointerId, place);
  if (fingers && down.size === 2) {
    const now = [...down.values()];
    setView(pinch(stage.view, fingers, now));
    fingers = now;
    return;
  }
  if (!press || press.id !== event.pointerId) return;
  if (!press.dragging) {
    if (Math.hypot(place[0] - press.start[0], place[1] - press.start[1]) < SLOP[press.type]) return;
    press.dragging = true;
    closePopup();
  }
  drag(place);
  press.last = place;
}

/** Return the name of the pressed joint, null when something else is pressed. */
const pressedJoint = () => (press.what?.kind === "joint" ? app.shown.model.joints[press.what.row].name : null);

function drag(place) {
  const joint = pressedJoint();
  const picture = toPicture(stage.view, place);
  if (press.what?.kind === "corner") {
    app.frame = app.frame.map((corner, n) => (n === press.what.row ? picture : corner));
    update({ draft: { kind: "frame", lens: picture } });
  } else if (press.what?.kind === "tip" && !app.walk) {
    dragTip(place);
  } else if (joint === null || app.walk || app.pick) {
    byId("stage").classList.add("panning");
    setView(pan(stage.view, place[0] - press.last[0], place[1] - press.last[1]));
  } else if (app.tool === "move") {
    dragJoint(joint, picture);
  } else if (app.tool === "draw" || app.tool === "length") {
    const what = hitAt(place, press.type);
    const snapped = what?.kind === "joint" ? stage.places[what.row] : picture;
    const free = app.tool === "draw" && what?.kind !== "joint";
    update({ draft: { kind: "line", from: placeOf(joint), to: free ? snapToInk(picture, SNAP / stage.view.k) : snapped, lens: free ? snapped : null } });
  } else if (app.tool === "load") {
    dragLoad(joint, place);
  }
}

function dragJoint(joint, picture) {
  const row = app.server.model.joints.findIndex((one) => one.name === joint);
  const others = app.server.answer.joints.findIndex(
    (one, n) => n !== row && Math.hypot(one.page[0] - picture[0], one.page[1] - picture[1]) * stage.view.k < MERGE,
  );
  const place = others >= 0 ? picture : snapToInk(picture, SNAP / stage.view.k, joint);
  const change = { kind: "move-joint", joint, ...placeFields(place) };
  app.draft = { kind: "joint", joint, place, onto: others >= 0 ? app.server.model.joints[others].name : null, lens: place };
  movedHere(row, place);
  tryOut(change);
}

/** Show a joint at the finger at once; the answer follows. */
function movedHere(row, place) {
  const joints = app.shown.answer.joints.map((joint, n) => (n === row ? { ...joint, page: place } : joint));
  update({ shown: { ...app.shown, answer: { ...app.shown.answer, joints } } });
}

/** Return the direction in the plane of a drag, turned to round degrees when it is near them. */
function wayOf(from, to) {
  const plane = inPlane([to[0] - from[0], to[1] - from[1]]);
  return vectorOf(snapAngle(angleOf(plane)));
}

function dragLoad(joint, place) {
  const from = toWindow(stage.view, placeOf(joint));
  const length = Math.hypot(place[0] - from[0], place[1] - from[1]);
  const way = wayOf(from, place);
  const page = onPage(way);
  update({ draft: { kind: "load", joint, plane: way, way: page, length: Math.max(26, length - 10), pulls: true, words: wayWords(way) } });
}

function dragTip(place) {
  const load = app.server.model.loads[press.what.load];
  const shape = drawnLoads(app.server.model)[press.what.load];
  const from = toWindow(stage.view, placeOf(load.joint));
  const out = shape.pulls ? [place[0] - from[0], place[1] - from[1]] : [from[0] - place[0], from[1] - place[1]];
  const way = wayOf([0, 0], out);
  app.draft = { kind: "load", joint: load.joint, row: press.what.load, plane: way, way: onPage(way), length: 52, pulls: shape.pulls, words: wayWords(way) };
  update({});
  if (load.force) {
    const size = Math.hypot(...load.force);
    tryOut({ kind: "change-load", row: press.what.load, force: [way[0] * size, way[1] * size] });
  }
}

function end(event) {
  if (!down.delete(event.pointerId)) return;
  if (fingers) {
    if (down.size < 2) fingers = null;
    return;
  }
  if (!press || press.id !== event.pointerId) return;
  const done = press;
  byId("stage").classList.remove("panning");
  const place = at(event);
  if (done.dragging) drop(done, place);
  else tap(done, place);
  press = null;
}

function drop(done, place) {
  const joint = done.what?.kind === "joint" ? app.server.model.joints[done.what.row].name : null;
  const { draft } = app;
  if (!draft) return;
  if (draft.kind === "frame") {
    update({ draft: null });
    openFrameSize();
  } else if (draft.kind === "joint") {
    if (draft.onto) {
      stopPress();
      openJoint(joint, { mergeInto: draft.onto });
    } else edit({ kind: "move-joint", joint, ...placeFields(draft.place) });
  } else if (draft.kind === "line") {
    press = done;
    const what = hitAt(place, done.type);
    const other = what?.kind === "joint" ? app.server.model.joints[what.row].name : null;
    update({ draft: null });
    if (app.tool === "length") {
      if (other && other !== joint) pickJoint(joint, other);
    } else if (other === null) {
      putJoint(toPicture(stage.view, place), { join: joint, over: what, reach: SNAP / stage.view.k });
    } else if (other !== joint) edit({ kind: "add-member", start: joint, end: other });
  } else if (draft.kind === "load") endLoad(draft);
}

function tap(done, place) {
  const { model } = app.shown;
  if (app.walk) return;
  if (done.what?.kind === "joint") {
    const { name } = model.joints[done.what.row];
    if (app.pick) pickJoint(name);
    else activate({ kind: "joint", name });
  } else if (done.what?.kind === "tip") {
    const load = model.loads[done.what.load];
    openJoint(load.joint, { load: done.what.load });
  } else if (app.pick) {
    return;
  } else if (done.what?.kind === "member") {
    const [start, finish] = model.members[done.what.row].joints;
    if (app.tool === "draw") putJoint(toPicture(stage.view, place), { over: done.what, reach: SNAP / stage.view.k });
    else if (app.tool === "length") pickJoint(start, finish);
    else if (app.tool === "erase") erase({ kind: "member", start, end: finish });
    else openMember(start, finish, place);
  } else if (done.what === null && app.tool === "draw") {
    putJoint(toPicture(stage.view, place), { reach: SNAP / stage.view.k });
  } else {
    closePopup();
    choose(null);
  }
}

function cancel(event) {
  down.delete(event.pointerId);
  fingers = null;
  if (press?.id === event.pointerId) stopPress();
}

function wheel(event) {
  if (!app.shown?.model) return;
  event.preventDefault();
  const lines = event.deltaMode === 1 ? 16 : 1;
  if (event.shiftKey && !event.ctrlKey) setView(pan(stage.view, -(event.deltaX + event.deltaY) * lines, 0));
  else {
    // A pinch on a trackpad arrives as a wheel with Ctrl, in small steps.
    const speed = event.ctrlKey ? 0.01 : 0.0016;
    setView(zoomAbout(stage.view, Math.exp(-event.deltaY * lines * speed), at(event)));
  }
}
