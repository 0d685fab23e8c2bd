// What members are made of: the choice of a stock for one member, or for all of them.

import { app, memberRow } from "./app.mjs";
import { h } from "./dom.mjs";
import { short } from "./format.mjs";
import { act, field, form, item, openPopup } from "./popup.mjs";
import { focusOn, placeOf } from "./stage.mjs";

/** Say what a stock of the model is: "birch 10 × 2 mm". */
export function stockWords(name) {
  const { stocks, units } = app.server.model;
  const entry = stocks?.[name];
  if (!entry) return name;
  const sizes = [entry.width ?? entry.diameter, entry.thickness ?? entry.wall].filter(Boolean).map((one) => short(one, 4));
  const shape = entry.wall ? "tube " : entry.diameter ? "round " : "";
  const size = sizes.length ? ` ${shape}${sizes.join(" × ")} ${units.length}` : "";
  if (entry.gap) return `${entry.material}${size}, gap ${short(entry.gap, 4)} ${units.length}`;
  return `${entry.material}${size}${entry.sticks > 1 ? `, ${entry.sticks} ${entry.glued === false ? "loose" : "glued"}` : ""}`;
}

/** Return the names of the stocks in use, each with how many members are made of it. */
export function stocksInUse(model) {
  const count = new Map();
  for (const { stock } of model.members) if (stock) count.set(stock, (count.get(stock) ?? 0) + 1);
  return [...count];
}

/** Open the choice of a stock: for a member, or without one for all of them. */
export function openStock(start = null, end = null) {
  const { model } = app.server;
  const members = start === null ? [] : [[start, end]];
  const now = start === null ? null : model.members[memberRow(model, start, end)].stock;
  const put = (stock) => act({ kind: "put-stock", stock, members });
  const known = Object.keys(model.stocks ?? {});
  const words = (name) => (stockWords(name) === name.replaceAll(" x ", " × ") ? stockWords(name) : `${name}: ${stockWords(name)}`);
  const children = [
    h(
      "div",
      { class: "menu" },
      ...known.map((name) => {
        const button = item(words(name), () => put(name), true);
        button.setAttribute("aria-pressed", String(name === now));
        return button;
      }),
      now && item("Leave it open", () => act({ kind: "remove-stock", members }), true),
    ),
    form(
      [field(known.length ? "or in words" : "Material, shape and size", "stock", "", { placeholder: "such as birch 10 x 2 mm", maxlength: 120, autofocus: !known.length })],
      start === null ? "Use it for all members" : "Use it here",
      ({ stock }) => {
        if (!stock.trim()) return "stock|Give material, shape and size, such as birch 10 x 2 mm.";
        put(stock);
        return null;
      },
    ),
    h("p", { class: "quiet" }, "Also: balsa square 5 mm, steel round 2 mm, aluminium tube 6 x 0.5 mm; with 2 glued or 2 loose after a comma."),
  ];
  const place = start === null ? null : [0, 1].map((axis) => (placeOf(start)[axis] + placeOf(end)[axis]) / 2);
  openPopup(start === null ? "What are the members made of?" : `What is ${start}–${end} made of?`, place, children, start === null ? null : () => focusOn({ kind: "member", start, end }));
}
