// Taking the perspective out: a frame whose corners are dragged to those of the page, or joints whose places are known.

import { app, say, update } from "./app.mjs";
import { announce, byId, h } from "./dom.mjs";
import { LENGTHS, read, short } from "./format.mjs";
import { pickJoints, stopPicking } from "./picking.mjs";
import { act, closePopup, field, form, openPopup } from "./popup.mjs";
import { setView, stage } from "./stage.mjs";
import { fit } from "./view.mjs";

/** Choose four joints whose places are known. */
export function startKnown() {
  pickJoints("Choose four joints whose places you know.", 4, [], openKnown);
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

/** Begin to set the view from a rectangle: a frame whose corners are dragged to those of the page. */
export function startFrame() {
  const given = app.server.model.view?.rectangle?.corners;
  const { picture } = app.server;
  if (!picture) {
    say("Only a photograph has a view. This model has no picture.");
    return;
  }
  const { width, height } = picture;
  const at = ([across, down]) => [across * width, down * height];
  app.frame = given ?? [[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]].map(at);
  setView(fit([0, 0, width, height], ...stage.size));
  update({ draft: null });
  announce("Drag the four corners onto those of the page or board, then give its size.");
  openFrameSize();
}

/** Ask for the frame's size; after a corner was moved what was typed is kept. */
export function openFrameSize() {
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
