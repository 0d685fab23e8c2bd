// The menus of the bar: export, more, units, title, self-weight.

import { api } from "./api.mjs";
import { app, whileBusy } from "./app.mjs";
import { announce, byId, h } from "./dom.mjs";
import { parseQuantity, short } from "./format.mjs";
import { openHelp } from "./help.mjs";
import { openCamera, openFile } from "./photo.mjs";
import { startDeck, startLevel } from "./picking.mjs";
import { act, choices, closePopup, field, form, item, leave, openPopup } from "./popup.mjs";
import { putJointInMiddle } from "./putting.mjs";
import { startFrame, startKnown } from "./viewing.mjs";

const EXPORTS = [
  ["overlay.png", "Forces on the photograph, PNG"],
  ["overlay.svg", "Forces on the photograph, SVG"],
  ["overlay.pdf", "Forces on the photograph, PDF"],
  ["worked.pdf", "Worked solution, PDF"],
  ["handout.pdf", "Forces and their table on one page, PDF"],
  ["worksheet.pdf", "Clean worksheet for a class, PDF"],
  ["key.pdf", "Key of the worksheet, PDF"],
  ["members.csv", "Table of members, CSV"],
  ["model.json", "Model file"],
];

// How sheets are set: at first as the browser's own language suggests, then as the person chose last.
const sheets = {
  paper: ["en-US", "en-CA"].includes(navigator.language) ? "letter" : "a4",
  language: navigator.language.startsWith("de") ? "de" : "en",
};

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
    styleChoice("Sheets on paper", "paper", [["a4", "A4"], ["letter", "US letter"]]),
    styleChoice("Sheets in", "language", [["en", "English"], ["de", "Deutsch"]]),
  ];
  openPopup("Export", null, children, () => byId("keep").focus());
}

function styleChoice(legend, name, options) {
  return choices(legend, name, options, sheets[name], (event) => {
    sheets[name] = event.target.value;
  });
}

function keep(kind) {
  closePopup(true);
  return whileBusy("Drawing the file…", async () => {
    const { name, blob } = await api.exported(kind, sheets);
    const link = h("a", { href: URL.createObjectURL(blob), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    announce(`${name} is in your downloads.`);
  });
}


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
            item("View from a rectangle…", leave(startFrame), true),
            item("View from four joints…", leave(startKnown), true),
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
        choices("The numbers that stand there", "kind", [["convert-units", "Convert them"], ["set-units", "Keep them"]], "convert-units"),
      ],
      "Use these",
      ({ length, force, kind }) => {
        if (length === units.length && force === units.force) closePopup(true);
        else act({ kind, length, force });
        return null;
      },
    ),
    h("p", { class: "quiet" }, "Convert: 600 mm become 60 cm, the truss stays as it is. Keep: 600 mm become 600 cm, only the unit was wrong."),
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
