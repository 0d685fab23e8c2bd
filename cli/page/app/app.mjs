// What the page knows, and how it changes: the server's state, what is chosen, the tool, the view. Whoever shows
// something of it subscribes.

import { api, Gone, Refused } from "./api.mjs";
import { alarm, announce } from "./dom.mjs";

const listeners = new Set();

export const app = {
  server: null, // State as the server sent it
  shown: null, // { model, answer } on the screen: the server's, or a preview while something is dragged
  chosen: null, // { kind: "joint", name } or { kind: "member", start, end }
  look: null, // key of the look that is walked to
  tool: "move",
  pick: null, // { words, count, chosen: [names], done(names) }: the person is choosing joints
  draft: null, // what is being drawn: { kind, ... }
  walk: null, // { steps, at }
  shows: "forces", // on the picture: forces, or "use", how near to failing
  motion: 0, // which mechanism is shown
  busy: null, // what the person is waiting for
  gone: false,
};

/** Call a function after every change. */
export function subscribe(listener) {
  listeners.add(listener);
}

/** Change something and let everybody know. */
export function update(patch) {
  Object.assign(app, patch);
  for (const listener of listeners) listener(app);
}

/** Take a state from the server. */
export function take(server, words) {
  const model = server.model ?? null;
  const chosen = stillThere(app.chosen, model) ? app.chosen : null;
  const walk = app.server && server.revision !== app.server.revision ? null : app.walk;
  update({ server, shown: { model, answer: server.answer ?? null }, chosen, draft: null, walk, motion: 0, gone: false });
  if (words) announce(words);
}

function stillThere(chosen, model) {
  if (!chosen || !model) return false;
  if (chosen.kind === "joint") return model.joints.some((joint) => joint.name === chosen.name);
  return memberRow(model, chosen.start, chosen.end) >= 0;
}

/** Return the row of a member by its ends, -1 when there is none. */
export function memberRow(model, start, end) {
  return model.members.findIndex(
    ({ joints: [a, b] }) => (a === start && b === end) || (a === end && b === start),
  );
}

/** Whether the picture shows how near to failing each member is. */
export const showsUse = () => app.shows === "use" && Boolean(app.shown?.answer?.strength?.members.length) && !app.walk;

let queue = Promise.resolve();

/** Do one thing with the server after the other, and tell the person when it does not work. */
function inTurn(work) {
  queue = queue.then(work).catch(trouble);
  return queue;
}

let onConflict = () => {};

/** Set what happens when the file was changed on disk. */
export function whenDiskChanged(action) {
  onConflict = action;
}

async function trouble(error) {
  if (error instanceof Gone) {
    update({ gone: true, draft: null });
    alarm("The program behind this page has ended. Everything is saved.");
    return false;
  }
  if (!(error instanceof Refused)) throw error;
  update({ shown: app.server && { model: app.server.model, answer: app.server.answer }, draft: null });
  if (error.kind === "disk") onConflict(error.message);
  else if (error.kind === "stale") {
    take(await api.state());
    say(error.message);
  } else say(error.message);
  return false;
}

let onSay = () => {};

/** Set how a sentence is shown. */
export function whenSaying(action) {
  onSay = action;
}

/** Show a sentence to the person. */
export function say(words) {
  alarm(words);
  onSay(words);
}

/** Make an edit. Resolves to true when it was made. */
export function edit(change) {
  return inTurn(async () => {
    const server = await api.edit(app.server.revision, change);
    take(server, `${server.undo ?? "Done"}. ${server.answer?.headline ?? ""}`);
    return true;
  });
}

let trying = false;
let waiting = null;

/** Show the answer to an edit that is not made yet; while one is under way only the latest waits. */
export function tryOut(change) {
  if (trying) {
    waiting = change;
    return;
  }
  trying = true;
  api
    .preview(app.server.revision, change)
    .then(({ revision, model, answer }) => {
      if (app.draft && revision === app.server.revision) update({ shown: { model, answer } });
    })
    .catch((error) => {
      // A preview that cannot be made shows nothing; the edit itself will say why.
      if (!(error instanceof Refused || error instanceof Gone)) throw error;
    })
    .finally(() => {
      trying = false;
      const next = waiting;
      waiting = null;
      if (next && app.draft) tryOut(next);
    });
}

/** Take the last change back. */
export function undo() {
  const what = app.server?.undo;
  if (!what) return Promise.resolve(false);
  return inTurn(async () => {
    take(await api.undo(app.server.revision), `Undone: ${what}.`);
    return true;
  });
}

/** Make the change again that was taken back last. */
export function redo() {
  const what = app.server?.redo;
  if (!what) return Promise.resolve(false);
  return inTurn(async () => {
    take(await api.redo(app.server.revision), `Made again: ${what}.`);
    return true;
  });
}

/** Run something that takes a while, with words for the person. */
export function whileBusy(words, work) {
  update({ busy: words });
  return inTurn(work).finally(() => update({ busy: null }));
}

/** Choose a joint, a member, or nothing. */
export function choose(chosen) {
  update({ chosen });
}
