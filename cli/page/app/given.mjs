// The forms of what is given: a support, a load, a dimension, a load along the deck.

import { app, choose, update } from "./app.mjs";
import { h } from "./dom.mjs";
import { angleOf, clean, FORCES, LENGTHS, parseQuantity, read, short, vectorOf } from "./format.mjs";
import { act, choices, field, form, item, openPopup } from "./popup.mjs";
import { focusOn, placeOf } from "./stage.mjs";

/** Return what gives the keyboard's focus back to a joint or member. */
export const backTo = (what) => () => focusOn(what);

/** Return a load in words. */
export function loadWords(one) {
  if (!one.force) return "(size unknown)";
  const { model } = app.server;
  return `${short(Math.hypot(...one.force), 4)} ${model.units.force}`;
}

const WAYS = [
  [90, "↑", "up"],
  [270, "↓", "down"],
  [0, "→", "right"],
  [180, "←", "left"],
];

/** Open the choice of a support. */
export function openSupport(name) {
  const what = { kind: "joint", name };
  choose(what);
  const { model } = app.server;
  const held = model.supports.find((one) => one.joint === name);
  const angle = held?.kind === "roller" ? angleOf(held.normal ?? [0, 1]) : 90;
  const roller = (degrees) => {
    const [x, y] = vectorOf(degrees);
    return { kind: "put-support", joint: name, support: "roller", normal: degrees === 90 ? null : [clean(x), clean(y)] };
  };
  const children = [
    h(
      "div",
      { class: "menu" },
      item("Pin", () => act({ kind: "put-support", joint: name, support: "pin" })),
      item("Roller", () => act(roller(90))),
      held && item("No support", () => act({ kind: "remove-support", joint: name }), true),
    ),
    h("p", { class: "quiet" }, "A roller pushes only one way. Which?"),
    h(
      "div",
      { class: "ways" },
      ...WAYS.map(([degrees, sign, words]) =>
        h("button", { type: "button", "aria-label": `Roller that pushes ${words}`, "aria-pressed": String(held?.kind === "roller" && angle === degrees), onclick: () => act(roller(degrees)) }, sign),
      ),
    ),
    form([field("or at an angle, degrees from the right", "angle", held?.kind === "roller" ? short(angle, 5) : "", { inputmode: "decimal" })], "Inclined roller", ({ angle: typed }) => {
      const given = parseQuantity(typed);
      if (!given || (given.unit && given.unit !== "°")) return "angle|Give the angle in degrees, such as 60.";
      act(roller(given.value));
      return null;
    }),
  ];
  openPopup(`Support at ${name}`, placeOf(name), children, backTo(what));
}

/**
 * Open a load: a new one in a direction (`way`, of the plane), or one that is there (`row`).
 */
export function openLoad(name, { way = null, row = null } = {}) {
  const what = { kind: "joint", name };
  choose(what);
  const { model } = app.server;
  const given = row === null ? null : model.loads[row];
  const unit = model.units.force;
  const seen = given?.px_direction && !way ? seenWay(given.px_direction) : null;
  const start = way ?? seen ?? given?.force ?? [0, -1];
  const size = given?.force ? short(Math.hypot(...given.force)) : "";
  const angle = Math.round(angleOf(start) * 100) / 100;
  const angleField = field("Angle, degrees", "angle", short(angle, 6), { inputmode: "decimal" });
  const showAngle = (degrees) => {
    angleField.querySelector("input").value = short(degrees, 6);
    for (const button of ways.querySelectorAll("button")) button.setAttribute("aria-pressed", String(Number(button.dataset.way) === degrees));
  };
  const ways = h(
    "div",
    { class: "ways", role: "group", "aria-label": "Direction" },
    ...[WAYS[1], WAYS[0], WAYS[3], WAYS[2]].map(([degrees, sign, words]) =>
      h("button", { type: "button", "data-way": degrees, "aria-label": `Load ${words}`, "aria-pressed": String(degrees === angle), onclick: () => showAngle(degrees) }, sign),
    ),
  );
  const children = [
    form(
      [
        field(`Size, ${unit}`, "size", size, { placeholder: `such as 40 ${unit}`, autofocus: true, inputmode: "text" }),
        ways,
        angleField,
      ],
      row === null ? "Put on the load" : "Change the load",
      (values) => {
        const force = read(values.size, unit, FORCES);
        if (force === null) return `size|Give a number, or a number and a unit: 40, 2.5 kN, 40 lb.`;
        if (force === 0) return "size|A load of nothing is no load.";
        const turned = parseQuantity(values.angle);
        if (!turned || (turned.unit && turned.unit !== "°")) return "angle|Give the angle in degrees: 0 is right, 90 is up, 270 is down.";
        const [x, y] = vectorOf(turned.value);
        const pair = [clean(x * force), clean(y * force)];
        act(row === null ? { kind: "add-load", joint: name, force: pair } : { kind: "change-load", row, force: pair });
        return null;
      },
      row === null ? [] : [h("button", { type: "button", onclick: () => act({ kind: "remove-load", row }) }, "Remove")],
    ),
  ];
  openPopup(row === null ? `Load on ${name}` : `Load on ${name}`, placeOf(name), children, backTo(what));
}

function seenWay([x, y]) {
  // An arrow read from the picture is seldom exact: within a hand's tolerance it is meant to be level or upright.
  const [[a, b], [c, d]] = app.server.answer.axes;
  const turn = a * d - b * c;
  const angle = angleOf([(d * x - b * y) / turn, (a * y - c * x) / turn]);
  const round = Math.round(angle / 90) * 90;
  return vectorOf(Math.abs(angle - round) < 12 ? round : Math.round(angle));
}

/** Open a dimension between two joints. */
export function openLength(start, end) {
  const { model } = app.server;
  const unit = model.units.length;
  const there = model.dimensions.filter((one) => [one.from, one.to].sort().join(" ") === [start, end].sort().join(" "));
  const first = there[0];
  const children = [
    form(
      [
        field(`Value, ${unit} (degrees for an angle)`, "value", first ? short(first.value) : "", { placeholder: `such as 600 ${unit}`, autofocus: true }),
        choices("What is written", "dimension", [["along", "Length"], ["across", "Across"], ["up", "Up"], ["angle", "Angle"]], first?.kind ?? "along"),
      ],
      "Write it",
      ({ value, dimension }) => {
        const number = dimension === "angle" ? parseAngle(value) : read(value, unit, LENGTHS);
        if (number === null || number < 0) return `value|Give a number, or a number and a unit: 600, 60 cm, 2 ft.`;
        if (number === 0 && dimension === "along") return "value|A length of nothing is no length.";
        act({ kind: "put-dimension", dimension, start, end, value: clean(number) });
        return null;
      },
      first ? [h("button", { type: "button", onclick: () => act({ kind: "remove-dimension", row: model.dimensions.indexOf(first) }) }, "Remove")] : [],
    ),
    h("p", { class: "quiet" }, "What is written holds exactly, however the sketch is drawn."),
  ];
  const [a, b] = [placeOf(start), placeOf(end)];
  update({ pick: null });
  openPopup(`From ${start} to ${end}`, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], children, backTo({ kind: "joint", name: start }));
}

function parseAngle(text) {
  const found = parseQuantity(text);
  return found && (found.unit === null || found.unit === "°") ? found.value : null;
}

/** Open a load along a deck. */
export function openDeck(path) {
  const { model } = app.server;
  const unit = `${model.units.force}/${model.units.length}`;
  const children = [
    h("p", { class: "quiet" }, path.join(" – ")),
    form([field(`Load downwards, ${unit}`, "size", "", { autofocus: true, inputmode: "decimal" })], "Put on the load", ({ size }) => {
      const found = parseQuantity(size);
      if (!found || (found.unit && found.unit.toLowerCase() !== unit.toLowerCase())) return `size|Give a number in ${unit}.`;
      if (found.value === 0) return "size|A load of nothing is no load.";
      act({ kind: "put-deck-load", joints: path, force: [0, -found.value] });
      return null;
    }),
  ];
  openPopup("Load along the deck", placeOf(path[Math.floor(path.length / 2)]), children, backTo({ kind: "joint", name: path[0] }));
}
