// The menus of the bar: export, more, units, title, view, help.

import { api } from "./api.mjs";
import { putJointInMiddle, startDeck, startFrame, startKnown, startLevel, whenFramed, stopPicking } from "./actions.mjs";
import { app, edit, update, whileBusy } from "./app.mjs";
import { announce, byId, h } from "./dom.mjs";
import { LENGTHS, parseQuantity, read, short } from "./format.mjs";
import { openCamera, openFile } from "./photo.mjs";
import { closePopup, field, form, item, openPopup } from "./popup.mjs";

const EXPORTS = [
  ["overlay.png", "Forces on the photograph, PNG"],
  ["overlay.svg", "Forces on the photograph, SVG"],
  ["overlay.pdf", "Forces on the photograph, PDF"],
  ["members.csv", "Table of members, CSV"],
  ["model.json", "Model file"],
];

/** Open the choice of files to keep. */
export function openExport() {
  const solved = app.server.answer?.solved;
  const children = [
    !solved && h("p", { class: "quiet" }, "Forces can be kept as soon as the truss is solved."),
    h(
      "div",
      { class: "menu" },
      ...EXPORTS.map(([kind, words]) => {
        const button = item(words, () => keep(kind), true);
        button.disabled = (!solved && kind !== "model.json") || (kind.startsWith("overlay") && !app.server.picture);
        return button;
      }),
    ),
  ];
  openPopup("Export", null, children, () => byId("keep").focus());
}

function keep(kind) {
  closePopup(true);
  return whileBusy("Drawing the file…", async () => {
    const { name, blob } = await api.exported(kind);
    const link = h("a", { href: URL.createObjectURL(blob), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    announce(`${name} is in your downloads.`);
  });
}

function act(change) {
  closePopup(true);
  return edit(change);
}

const leave = (action) => () => {
  closePopup(true);
  action();
};

/** Open everything that is needed less often. */
export function openMore() {
  const { model } = app.server;
  const children = [
    h(
      "div",
      { class: "menu" },
      ...(model
        ? [
            item("Load along the deck…", leave(startDeck), true),
            item("Self-weight…", openWeight, true),
            item("Units…", openUnits),
            item("Title…", openTitle),
            item("Level from two joints…", leave(startLevel), true),
            item("View from a rectangle…", leave(openFrame), true),
            item("View from four joints…", leave(() => startKnown(openKnown)), true),
            model.view && item("Clear the view", () => act({ kind: "clear-view" }), true),
            model.level && item("Level from the chord again", () => act({ kind: "set-level", level: null }), true),
            item("Name the joints anew", () => act({ kind: "name-joints" }), true),
            item("Add a joint in the middle", leave(putJointInMiddle), true),
          ]
        : []),
      item("Another picture…", leave(openFile)),
      item("Camera…", leave(openCamera)),
      item("Keys and help", leave(openHelp), true),
    ),
  ];
  openPopup("More", null, children, () => byId("more").focus());
}

function openUnits() {
  const { units } = app.server.model;
  const choose = (label, name, options, chosen) =>
    h("label", {}, label, h("select", { name }, ...options.map((unit) => h("option", { selected: unit === chosen }, unit))));
  const children = [
    form(
      [
        choose("Lengths in", "length", ["mm", "cm", "m", "in", "ft"], units.length),
        choose("Forces in", "force", ["N", "kN", "lbf", "kip", "kgf"], units.force),
      ],
      "Use these",
      ({ length, force }) => {
        act({ kind: "set-units", length, force });
        return null;
      },
    ),
    h("p", { class: "quiet" }, "Numbers that were written stay as they are."),
  ];
  openPopup("Units", null, children, () => byId("more").focus());
}

/** Open the title. */
export function openTitle() {
  if (!app.server?.model) return;
  const children = [
    form([field("Title", "title", app.server.model.title ?? "", { maxlength: 200, autofocus: true })], "Use it", ({ title }) => {
      act({ kind: "set-title", title });
      return null;
    }),
  ];
  openPopup("What is it called?", null, children, () => byId("title").focus());
}

function openWeight() {
  const { model } = app.server;
  const unit = `${model.units.force}/${model.units.length}`;
  const children = [
    form([field(`Weight of every member, ${unit}`, "weight", short(model.self_weight ?? 0), { autofocus: true, inputmode: "decimal" })], "Use it", ({ weight }) => {
      const found = parseQuantity(weight);
      if (!found || found.value < 0) return "weight|Give a number, 0 for none.";
      act({ kind: "set-self-weight", per_length: found.value });
      return null;
    }),
    h("p", { class: "quiet" }, "Half of each member's weight goes to either end."),
  ];
  openPopup("Self-weight", null, children, () => byId("more").focus());
}

function openFrame() {
  startFrame();
  if (!app.frame) return;
  whenFramed(openFrameSize);
  openFrameSize();
}

function openFrameSize() {
  const { model } = app.server;
  const given = model.view?.rectangle;
  const kept = byId("popup").querySelector("form") ? Object.fromEntries(new FormData(byId("popup").querySelector("form"))) : {};
  const unit = model.units.length;
  const children = [
    h("p", { class: "quiet" }, "Drag the corners onto those of the page, board or mat. Its top left corner is 1."),
    form(
      [
        h(
          "div",
          { class: "two" },
          field(`Width, ${unit}`, "width", kept.width ?? (given ? short(given.width) : ""), { autofocus: true }),
          field(`Height, ${unit}`, "height", kept.height ?? (given ? short(given.height) : "")),
        ),
      ],
      "Set the view",
      ({ width, height }) => {
        const size = [read(width, unit, LENGTHS), read(height, unit, LENGTHS)];
        if (!(size[0] > 0)) return "width|Give the width.";
        if (!(size[1] > 0)) return "height|Give the height.";
        const corners = app.frame;
        stopPicking();
        act({ kind: "view-from-rectangle", corners, width: size[0], height: size[1] });
        return null;
      },
      [h("button", { type: "button", onclick: () => { stopPicking(); closePopup(true); } }, "Stop")],
    ),
  ];
  openPopup("View from a rectangle", null, children, () => byId("more").focus());
}

function openKnown(joints) {
  const unit = app.server.model.units.length;
  const rows = joints.map((name, n) => {
    const at = app.server.answer.joints.find((joint) => joint.name === name)?.at;
    const value = (axis) => (at && app.server.answer.has_lengths ? short(at[axis], 4) : "");
    return h("div", { class: "two" }, field(`${name}: x, ${unit}`, `x${n}`, value(0)), field(`${name}: y, ${unit}`, `y${n}`, value(1)));
  });
  const children = [
    form(rows, "Set the view", (values) => {
      const at = [];
      for (let n = 0; n < joints.length; n += 1) {
        const pair = ["x", "y"].map((axis) => read(values[`${axis}${n}`], unit, LENGTHS));
        const wrong = pair.findIndex((value) => value === null);
        if (wrong >= 0) return `${"xy"[wrong]}${n}|Give x and y of ${joints[n]}: right and up are positive.`;
        at.push(pair);
      }
      act({ kind: "view-from-joints", joints, at });
      return null;
    }),
  ];
  openPopup("Where these joints are", null, children, () => byId("more").focus());
}

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
