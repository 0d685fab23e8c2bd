// The help, and the question what to do about a file that another program changed.

import { app, update } from "./app.mjs";
import { byId, h } from "./dom.mjs";

const KEYS = [
  ["Tab", "to the picture, the tools, the answer"],
  ["Arrow keys", "on the picture: walk from joint to joint"],
  ["[ and ]", "walk through the members of a joint"],
  ["Enter", "what can be done there, or what the tool does"],
  ["Shift + arrows", "move the joint by a pixel; with Alt by ten"],
  ["Delete", "delete the joint or member"],
  ["Ctrl + Z, Ctrl + Shift + Z", "undo, redo"],
  ["N", "on the picture: the next of what to look at"],
  ["+ − 0", "on the picture: zoom in, out, show all"],
  ["Esc", "stop, close"],
];

/** Open the help. */
export function openHelp() {
  const talk = byId("talk");
  talk.replaceChildren(
    h("h2", { id: "talk-head" }, "How it works"),
    h("p", {}, "Look at what was read. Drag a joint to where the ink crosses; press anything to change it. Put on the supports and the loads, and the forces appear on the photograph. Every change is saved at once, and everything can be undone."),
    h("p", {}, "The wheel or two fingers zoom; dragging the empty picture moves it."),
    h("h2", {}, "Keys"),
    h("dl", {}, ...KEYS.flatMap(([keys, words]) => [h("dt", {}, keys), h("dd", {}, words)])),
    h("p", { class: "quiet" }, `Nothing leaves this computer. The page's program ends by itself after ${app.server.idle_minutes} minutes without an open page.`),
    h("div", { class: "row" }, h("button", { type: "button", class: "main", onclick: () => talk.close() }, "Close")),
  );
  talk.showModal();
}

/** Ask what to do about a file that another program changed. */
export function askAboutDisk(words, choose) {
  const talk = byId("talk");
  if (talk.open) return;
  const answer = (choice) => () => {
    talk.close();
    choose(choice);
  };
  talk.replaceChildren(
    h("h2", { id: "talk-head" }, "The file was changed elsewhere"),
    h("p", {}, words),
    h("p", { class: "quiet" }, "Either way, the other version stays one undo away."),
    h(
      "div",
      { class: "row" },
      h("button", { type: "button", class: "main", onclick: answer("take the file") }, "Show the file as it is now"),
      h("button", { type: "button", onclick: answer("keep mine") }, "Keep what this page shows"),
    ),
  );
  update({ draft: null });
  talk.showModal();
}
