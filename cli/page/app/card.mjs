// The card beside what is chosen or pointed at: a joint cut free, or what a member carries.

import { api, Gone, Refused } from "./api.mjs";
import { app, memberRow } from "./app.mjs";
import { byId } from "./dom.mjs";
import { number, short } from "./format.mjs";
import { layOut } from "./freebody.mjs";
import { paint, v } from "./paint.mjs";
import { stockWords } from "./stocks.mjs";
import { placeOf, stage } from "./stage.mjs";
import { toWindow } from "./view.mjs";

const narrow = matchMedia("(max-width: 52rem)");
const classes = { T: "T", C: "C", 0: "zero", "?": "unsure" };

/** Return a free body as a picture. */
export function freeBody(joint) {
  const { items, box } = layOut(joint.free_body.arrows);
  const words = joint.free_body.arrows.map((one) => one.label).join(", ");
  return v(
    "svg",
    {
      class: "free-body",
      viewBox: `${box[0]} ${box[1]} ${box[2] - box[0]} ${box[3] - box[1]}`,
      role: "img",
      "aria-label": `Free body of joint ${joint.name}: ${words || "no forces"}`,
    },
    ...items.map((one) =>
      v(
        "g",
        { class: classes[one.sense] ?? one.what },
        v("path", { class: "shaft", d: one.shaft }),
        v("path", { class: "head", d: one.head }),
        v("text", { x: one.at[0], y: one.at[1], "text-anchor": one.anchor }, one.label),
      ),
    ),
    v("circle", { r: 12 }),
    v("text", { class: "middle" }, joint.name),
  );
}

/** Draw the card. */
export function drawCard() {
  const card = byId("card");
  const home = narrow.matches ? byId("panel") : byId("stage-box");
  if (card.parentElement !== home) {
    if (narrow.matches) home.insertBefore(card, byId("looks"));
    else home.append(card);
  }
  const what = app.pointed ?? app.focused ?? app.chosen;
  const quiet = app.walk || app.draft || (!byId("popup").hidden && !narrow.matches);
  const content = what && app.shown?.model && !quiet ? contentOf(what) : null;
  card.hidden = !content;
  if (!content) return;
  paint(card, ...content);
  const [x] = toWindow(stage.view, placeOf(what.kind === "joint" ? what.name : what.start));
  card.classList.toggle("right", x < stage.size[0] * 0.42);
}

let sections = { revision: -1, found: [] };

/** Return the section that checks a member, once the server has worked it out. */
function sectionOf(what) {
  const { revision, answer } = app.server;
  if (!answer.solved) return [];
  if (sections.revision !== revision) {
    sections = { revision, found: [] };
    api
      .sections()
      .then((worked) => {
        if (worked.revision !== app.server.revision) return;
        sections = { revision: worked.revision, found: worked.sections };
        drawCard();
      })
      .catch((error) => {
        // Without the check the card still tells the force; what is wrong is said by the next edit or pulse.
        if (!(error instanceof Refused || error instanceof Gone)) throw error;
      });
  }
  const check = sections.found.find(({ member: [a, b] }) => (a === what.start && b === what.end) || (a === what.end && b === what.start));
  if (!check) return [];
  return [v("h3", {}, check.agrees ? "A section gives the same" : "A section does not agree"), v("ul", { class: "equations" }, ...check.lines.map(written))];
}

/** Return a line with F_AB written as a letter with its index. */
export function written(line) {
  const parts = line.split(/([A-Za-z]+)_([^\s=+·,;).]+)/);
  return v("li", {}, ...parts.map((part, n) => (n % 3 === 2 ? v("sub", {}, part) : part)));
}

/** Return what is known of a member's strength: its stock, how much is used, and what it carries at most. */
function strengthOf(model, answer, row) {
  const { stock } = model.members[row];
  const use = answer.strength?.members[row];
  return [
    stock && v("p", { class: "quiet" }, `Made of ${stockWords(stock)}.`),
    use && v("p", {}, `${use.label.replace(" first", "")} of its strength is used.${use.first ? " It lets go first." : ""}`),
    use && v("p", { class: "quiet" }, use.says),
  ];
}

function contentOf(what) {
  const { model, answer } = app.shown;
  if (what.kind === "member") {
    const found = answer.members[memberRow(model, what.start, what.end)];
    if (!found) return null;
    return [
      v("h2", {}, `Member ${what.start}–${what.end}`),
      v("p", {}, found.says || "Its force is not known yet."),
      found.length ? v("p", { class: "quiet" }, `Length ${found.length}.`) : "",
      ...strengthOf(model, answer, memberRow(model, what.start, what.end)),
      ...sectionOf(what),
    ];
  }
  const joint = answer.joints.find((one) => one.name === what.name);
  if (!joint) return null;
  const known = joint.at && answer.has_lengths;
  const error = known && joint.at_error && Math.hypot(...joint.at_error) > 0 ? `, ± ${joint.at_error.map((one) => number(one, 2)).join(" and ")}` : "";
  const place = known ? v("p", { class: "quiet" }, `x = ${short(joint.at[0], 4)}, y = ${short(joint.at[1], 4)} ${model.units.length}${error}`) : "";
  if (!joint.free_body) return known ? [v("h2", {}, `Joint ${joint.name}`), place] : null;
  return [
    v("h2", {}, `Joint ${joint.name} cut free`),
    freeBody(joint),
    v("ul", { class: "equations" }, ...joint.free_body.equations.map((line) => v("li", {}, line))),
    place,
  ];
}
