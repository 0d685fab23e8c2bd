// What can be done with one joint, one member.

import { app, choose, edit, memberRow } from "./app.mjs";
import { h } from "./dom.mjs";
import { backTo, loadWords, openLength, openLoad, openSupport } from "./given.mjs";
import { startLength, startMember, startMerge, startSplit } from "./picking.mjs";
import { act, closePopup, field, form, item, leave, openPopup } from "./popup.mjs";
import { putJoint } from "./putting.mjs";
import { openStock } from "./stocks.mjs";
import { focusOn, placeOf, stage } from "./stage.mjs";
import { toPicture } from "./view.mjs";

/** Open what can be done with a joint. */
export function openJoint(name, { mergeInto = null, load = null } = {}) {
  const what = { kind: "joint", name };
  choose(what);
  if (mergeInto) {
    const children = [
      h("p", { class: "quiet" }, `Let go on joint ${mergeInto}.`),
      h(
        "div",
        { class: "menu" },
        item(`Make ${name} and ${mergeInto} one joint`, () => act({ kind: "merge-joints", joint: name, into: mergeInto }), true),
        item("Leave both where they were", () => closePopup(true), true),
      ),
    ];
    openPopup("One joint or two?", placeOf(mergeInto), children, backTo(what));
    return;
  }
  const { model } = app.server;
  const loads = model.loads.map((one, row) => ({ ...one, row })).filter((one) => one.joint === name);
  if (load !== null) {
    openLoad(name, { row: load });
    return;
  }
  const held = model.supports.find((one) => one.joint === name);
  const straight = model.members.filter(({ joints }) => joints.includes(name)).length >= 4;
  const children = [
    h(
      "div",
      { class: "menu" },
      item(held ? `Support: ${held.kind}…` : "Support…", () => openSupport(name)),
      item("Load…", () => openLoad(name, { way: [0, -1] })),
      ...loads.map((one) => item(`Change load ${loadWords(one)}…`, () => openLoad(name, { row: one.row }), true)),
      item("Draw a member…", leave(() => startMember(name))),
      item("Length to…", leave(() => startLength(name))),
      item("Rename…", () => openRename(name)),
      item("Merge with…", leave(() => startMerge(name))),
      straight && item("No joint: members cross", () => act({ kind: "cross-members", joint: name }), true),
      item("Delete joint", () => act({ kind: "delete-joint", joint: name }), true),
    ),
  ];
  openPopup(`Joint ${name}`, placeOf(name), children, backTo(what));
}

/** Open what can be done with a member. */
export function openMember(start, end, at = null) {
  const what = { kind: "member", start, end };
  choose(what);
  const [a, b] = [placeOf(start), placeOf(end)];
  const found = app.server.answer.members[memberRow(app.server.model, start, end)];
  const children = [
    found?.says && h("p", {}, found.says),
    h(
      "div",
      { class: "menu" },
      item("Write its length…", () => openLength(start, end)),
      item("What it is made of…", () => openStock(start, end)),
      item("Split at a joint…", leave(() => startSplit(start, end))),
      item("Split here", () => {
        closePopup(true);
        const place = at ? toPicture(stage.view, at) : [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
        splitAt(start, end, place);
      }),
      item("Delete member", () => act({ kind: "delete-member", start, end })),
    ),
  ];
  openPopup(`Member ${start}–${end}`, at ? toPicture(stage.view, at) : [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], children, backTo(what));
}

function splitAt(start, end, place) {
  putJoint(place, { over: { kind: "member", row: memberRow(app.server.model, start, end) }, reach: 12 / stage.view.k });
}

function openRename(name) {
  const children = [
    form([field("New name", "name", name, { maxlength: 40, autofocus: true })], "Rename", ({ name: fresh }) => {
      const wanted = fresh.trim();
      if (!wanted || /[\s"]/.test(wanted)) return "name|Use letters and digits, without blanks.";
      if (wanted !== name && app.server.model.joints.some((joint) => joint.name === wanted)) return `name|There is a joint ${wanted} already.`;
      if (wanted !== name) {
        closePopup();
        edit({ kind: "rename-joint", joint: name, name: wanted }).then(() => focusOn({ kind: "joint", name: wanted }));
      } else closePopup(true);
      return null;
    }),
  ];
  openPopup(`Rename joint ${name}`, placeOf(name), children, backTo({ kind: "joint", name }));
}
