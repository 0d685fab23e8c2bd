// What can be done with the truss, by whatever hand: with a press, a drag or a key.

import { app, choose, edit, say, update } from "./app.mjs";
import { announce } from "./dom.mjs";
import { deckPath } from "./paths.mjs";
import { toSegment } from "./hit.mjs";
import { snapToInk } from "./ink.mjs";
import { openDeck, openJoint, openLength, openLoad, openMember, openSupport } from "./popups.mjs";
import { focusOn, placeOf, setView, stage } from "./stage.mjs";
import { fit, toPicture } from "./view.mjs";

export const TOOLS = [
  { key: "move", label: "Move", words: "Drag a joint to move it. Press a joint or member to see what can be done.", icon: "M12 3v18M3 12h18M12 3l-3 3M12 3l3 3M12 21l-3-3M12 21l3-3M3 12l3-3M3 12l3 3M21 12l-3-3M21 12l-3 3" },
  { key: "draw", label: "Draw", words: "Drag from joint to joint for a member. Press for a new joint.", icon: "M5 19L19 5M7 19a2 2 0 1 1-4 0 2 2 0 0 1 4 0M21 5a2 2 0 1 1-4 0 2 2 0 0 1 4 0" },
  { key: "support", label: "Support", words: "Press the joint that is held.", icon: "M12 5l7 11H5zM3 20h18M6 20l-2 2M11 20l-2 2M16 20l-2 2" },
  { key: "load", label: "Load", words: "Drag from a joint in the direction of the load.", icon: "M12 3v14M12 21l-4-6h8zM5 3h14" },
  { key: "length", label: "Length", words: "Press two joints, or a member, and write what lies between.", icon: "M4 7v10M20 7v10M4 12h16M4 12l3-2M4 12l3 2M20 12l-3-2M20 12l-3 2" },
  { key: "erase", label: "Erase", words: "Press a joint or a member that is not there.", icon: "M4 15l9-9 7 7-7 7H9zM9 20h11M8 11l7 7" },
];

/** Take up a tool. */
export function takeTool(key) {
  const tool = TOOLS.find((one) => one.key === key);
  update({ tool: key, pick: null, draft: null });
  announce(`${tool.label}. ${tool.words}`);
}

/** Do with a joint or member what the tool does: the same for a press and for Enter. */
export function activate(what) {
  if (app.tool === "erase" && !app.pick) {
    erase(what);
    return;
  }
  choose(what);
  if (what.kind === "member") {
    if (app.tool === "length") pickJoint(what.start, what.end);
    else openMember(what.start, what.end);
    return;
  }
  if (app.pick) pickJoint(what.name);
  else if (app.tool === "support") openSupport(what.name);
  else if (app.tool === "load") openLoad(what.name, { way: [0, -1] });
  else if (app.tool === "draw") startMember(what.name);
  else if (app.tool === "length") startLength(what.name);
  else openJoint(what.name);
}

/** Delete a joint or a member. */
export function erase(what) {
  if (what.kind === "joint") edit({ kind: "delete-joint", joint: what.name });
  else edit({ kind: "delete-member", start: what.start, end: what.end });
}

/** Let the person choose joints; `done` gets their names. */
export function pickJoints(words, count, chosen, done) {
  update({ pick: { words, count, chosen, done } });
  announce(words);
  if (chosen.length) focusOn({ kind: "joint", name: chosen[0] });
}

/** Take joints that were pressed. Two at once are a whole answer where two are wanted. */
export function pickJoint(...names) {
  const pick = app.pick ?? { words: "", count: 2, chosen: [], done: ([start, end]) => openLength(start, end) };
  const chosen = [...pick.chosen];
  for (const name of names) {
    if (chosen.includes(name)) chosen.splice(chosen.indexOf(name), 1);
    else chosen.push(name);
  }
  if (chosen.length < pick.count) {
    update({ pick: { ...pick, chosen } });
    announce(`${chosen.join(", ") || "Nothing"} chosen. ${pick.words}`);
    return;
  }
  update({ pick: null });
  pick.done(chosen);
}

/** Stop choosing. */
export function stopPicking() {
  if (!app.pick && !app.frame) return false;
  app.frame = null;
  update({ pick: null, draft: null });
  announce("Stopped.");
  return true;
}

/** Draw a member from a joint to one that is chosen next. */
export function startMember(name) {
  pickJoints(`Member from ${name}: choose the joint where it ends.`, 2, [name], ([start, end]) => {
    edit({ kind: "add-member", start, end });
  });
}

/** Write a dimension from a joint to one that is chosen next. */
export function startLength(name) {
  pickJoints(`Length from ${name}: choose the other joint.`, 2, [name], ([start, end]) => openLength(start, end));
}

/** Merge a joint into one that is chosen next. */
export function startMerge(name) {
  pickJoints(`Choose the joint that ${name} is one with.`, 2, [name], ([joint, into]) => {
    edit({ kind: "merge-joints", joint, into });
  });
}

/** Split a member at a joint that is chosen next. */
export function startSplit(start, end) {
  pickJoints(`Choose the joint that lies on ${start}–${end}.`, 1, [], ([joint]) => {
    edit({ kind: "split-member", start, end, joint });
  });
}

/** Choose which joints are level. */
export function startLevel() {
  pickJoints("Choose two joints that are at one height.", 2, [], (level) => edit({ kind: "set-level", level }));
}

/** Load a deck between two joints that are chosen next. */
export function startDeck() {
  pickJoints("Choose the first and the last joint of the deck.", 2, [], ([start, end]) => {
    const { model, answer } = app.server;
    const joints = answer.joints.map((joint) => ({ name: joint.name, at: joint.page }));
    const path = deckPath(joints, model.members.map((member) => member.joints), start, end);
    if (path) openDeck(path);
    else say(`No members lead from ${start} to ${end}. Draw the deck first.`);
  });
}

/** Choose four joints whose places are known. */
export function startKnown(done) {
  pickJoints("Choose four joints whose places you know.", 4, [], done);
}

/** Return a place as an edit wants it: in the picture, or in the plane where there is no picture. */
export function placeFields([x, y]) {
  const { picture, scale } = app.server;
  return picture || !scale ? { px: [x, y] } : { at: [x / scale, -y / scale] };
}

/** Put a joint on the picture: on a member it is split, from a joint a member is drawn. */
export function putJoint(place, { join = null, over = null, reach = 0 } = {}) {
  const split = over?.kind === "member" ? app.server.model.members[over.row].joints : null;
  let put = snapToInk(place, reach);
  if (split) {
    // On a member of the model the joint lies on its line, unless the ink's crossing is close by.
    const [a, b] = split.map(placeOf);
    const { t, distance } = toSegment(put, a, b);
    if (distance > reach) put = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
  }
  return edit({ kind: "add-joint", ...placeFields(put), split, join });
}

/** Put a joint in the middle of what is shown: for the keyboard, which then moves it. */
export async function putJointInMiddle() {
  const before = new Set(app.server.model.joints.map((joint) => joint.name));
  const middle = toPicture(stage.view, [stage.size[0] / 2, stage.size[1] / 2]);
  if (!(await edit({ kind: "add-joint", ...placeFields(middle) }))) return;
  const fresh = app.server.model.joints.find((joint) => !before.has(joint.name));
  choose({ kind: "joint", name: fresh.name });
  focusOn({ kind: "joint", name: fresh.name });
  announce(`Joint ${fresh.name} in the middle. Shift with the arrow keys moves it.`);
}

/** End the drag of a load's arrow. */
export function endLoad(draft) {
  update({ draft: null, shown: { model: app.server.model, answer: app.server.answer } });
  if (draft.row === undefined) {
    openLoad(draft.joint, { way: draft.plane });
    return;
  }
  const load = app.server.model.loads[draft.row];
  if (!load.force) {
    openLoad(draft.joint, { way: draft.plane, row: draft.row });
    return;
  }
  const size = Math.hypot(...load.force);
  edit({ kind: "change-load", row: draft.row, force: [clean(draft.plane[0] * size), clean(draft.plane[1] * size)] });
}

/** Round off what only arithmetic left over. */
export function clean(value) {
  return Number(value.toPrecision(12)) + 0;
}

/** Begin to set the view from a rectangle: a frame whose corners are dragged to those of the page. */
export function startFrame() {
  const given = app.server.model.view?.rectangle?.corners;
  const { picture } = app.server;
  if (!picture) {
    say("Only a photograph has a view. This model has no picture.");
    return;
  }
  const [w, h] = [picture.width, picture.height];
  app.frame = given ?? [[0.1 * w, 0.1 * h], [0.9 * w, 0.1 * h], [0.9 * w, 0.9 * h], [0.1 * w, 0.9 * h]];
  setView(fit([0, 0, w, h], ...stage.size));
  update({ draft: null });
  announce("Drag the four corners onto those of the page or board, then give its size.");
}

let onFrame = () => {};

/** Set what happens when a corner of the frame was moved. */
export function whenFramed(action) {
  onFrame = action;
}

/** A corner was moved. */
export function cornerMoved() {
  onFrame();
}
