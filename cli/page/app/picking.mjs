// Choosing joints one after the other, for what needs two or more of them.

import { app, edit, say, update } from "./app.mjs";
import { announce } from "./dom.mjs";
import { openDeck, openLength } from "./given.mjs";
import { deckPath } from "./paths.mjs";
import { focusOn } from "./stage.mjs";

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
