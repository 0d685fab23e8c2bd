// What is being drawn right now, a mechanism that swings, a lens under the finger, the frame of a view.

import { app } from "./app.mjs";
import { byId } from "./dom.mjs";
import { paint, v } from "./paint.mjs";
import { loadArrow, arrow } from "./symbols.mjs";
import { around, marker, placeMarker, placeOf, stage } from "./stage.mjs";

const LENS = 66; // radius, window pixels
const GROWN = 3; // how much larger the lens shows the picture
const SWING = 0.07; // of the truss's size: how far a mechanism is drawn to move
const PERIOD = 2600; // milliseconds
const LEAST = 0.02; // of the largest movement: a joint that moves less stays without a dot

const still = matchMedia("(prefers-reduced-motion: reduce)");

/** Draw what is under way. */
export function drawDraft() {
  const layer = byId("drafts");
  if (!layer) return;
  cancelAnimationFrame(drawDraft.frame);
  const parts = [];
  const { draft } = app;
  if (draft?.kind === "line") {
    const [[x1, y1], [x2, y2]] = [draft.from, draft.to];
    parts.push(v("line", { class: "draft-line casing", x1, y1, x2, y2 }), v("line", { class: "draft-line", x1, y1, x2, y2 }));
  }
  if (draft?.kind === "load") {
    const ends = loadArrow([0, 0], draft.way, draft.length, draft.pulls ?? false, 10);
    const drawn = arrow(ends.tail, ends.tip);
    parts.push(
      marker(
        placeOf(draft.joint),
        { class: "arrow draft" },
        v("path", { class: "casing", d: drawn.shaft + drawn.head }),
        v("path", { class: "shaft", d: drawn.shaft }),
        v("path", { class: "head", d: drawn.head }),
        v("text", { x: ends.tip[0] + 22 * draft.way[0], y: ends.tip[1] + 16 * draft.way[1] }, draft.words),
      ),
    );
  }
  if (draft?.kind === "frame" || (app.frame && !draft)) parts.push(...frameShapes(app.frame));
  if (draft?.lens) parts.push(lens(draft.lens));
  const moves = app.shown?.answer?.motions.length && !draft && !app.walk;
  paint(layer, ...parts, moves && ghost());
  if (moves) swing(layer.querySelector(".ghost"));
}

function frameShapes(frame) {
  if (!frame) return [];
  return [
    v("polygon", { class: "view-frame", points: frame.map((corner) => corner.join(",")).join(" ") }),
    ...frame.map((corner, n) => marker(corner, {}, v("circle", { class: "view-corner", r: 10 }), v("text", { y: -20 }, String(n + 1)))),
  ];
}

/** A lens beside the finger: the picture three times larger, with a cross at the place that counts. */
function lens(place) {
  const { view, size } = stage;
  const [wx, wy] = [view.x + view.k * place[0], view.y + view.k * place[1]];
  const dy = wy > LENS * 2 + 50 ? -LENS - 46 : LENS + 46;
  const dx = Math.min(Math.max(0, LENS + 8 - wx), LENS) + Math.max(Math.min(0, size[0] - LENS - 8 - wx), -LENS);
  const photo = app.server.picture;
  const grown = view.k * GROWN;
  return marker(
    place,
    { class: "lens" },
    v("clipPath", { id: "lens-clip" }, v("circle", { cx: dx, cy: dy, r: LENS })),
    v("circle", { class: "ground", cx: dx, cy: dy, r: LENS }),
    photo &&
      v(
        "g",
        { "clip-path": "url(#lens-clip)" },
        v("image", {
          href: `/api/picture?key=${photo.key}`,
          width: photo.width * grown,
          height: photo.height * grown,
          x: dx - place[0] * grown,
          y: dy - place[1] * grown,
        }),
      ),
    v("circle", { class: "edge", cx: dx, cy: dy, r: LENS }),
    v("circle", { class: "edge inner", cx: dx, cy: dy, r: LENS }),
    v("path", { class: "cross", d: crossAt(dx, dy) }),
    v("path", { class: "cross inner", d: crossAt(dx, dy) }),
  );
}

const crossAt = (x, y) => `M${x - 16} ${y}H${x - 3}M${x + 3} ${y}H${x + 16}M${x} ${y - 16}V${y - 3}M${x} ${y + 3}V${y + 16}`;

const motionShown = () => app.shown.answer.motions[Math.min(app.motion, app.shown.answer.motions.length - 1)];

/** The truss again, to be moved: lines by member, dots at the joints that move. */
function ghost() {
  const { motions, members } = { motions: motionShown().joints, members: app.shown.model.members };
  return v(
    "g",
    { class: "ghost", "aria-hidden": "true" },
    ...members.map(() => v("g", {}, v("line", { class: "casing" }), v("line"))),
    ...motions.flatMap((way, row) => (Math.hypot(...way) < LEAST ? [] : [marker(stage.places[row], { "data-row": row }, v("circle", { r: 5 }))])),
  );
}

/** Let the ghost swing, or stand still where motion is not wanted. */
function swing(group) {
  const { model } = app.shown;
  const motion = motionShown();
  const [left, top, right, bottom] = around(stage.places);
  const reach = SWING * Math.max(right - left, bottom - top, 1);
  const dots = [...group.querySelectorAll("[data-row]")];
  const lines = model.members.map(({ joints: [a, b] }, n) => ({ pair: [stage.rows.get(a), stage.rows.get(b)], shapes: [...group.children[n].children] }));
  const at = (share) => {
    const moved = stage.places.map(([x, y], row) => [x + share * reach * motion.joints[row][0], y + share * reach * motion.joints[row][1]]);
    for (const { pair: [a, b], shapes } of lines) {
      for (const line of shapes) {
        line.setAttribute("x1", moved[a][0]);
        line.setAttribute("y1", moved[a][1]);
        line.setAttribute("x2", moved[b][0]);
        line.setAttribute("y2", moved[b][1]);
      }
    }
    for (const dot of dots) {
      const [x, y] = moved[dot.dataset.row];
      dot.dataset.x = x;
      dot.dataset.y = y;
      placeMarker(dot);
    }
  };
  if (still.matches) {
    at(1);
    return;
  }
  const begun = performance.now();
  const frame = (now) => {
    if (!group.isConnected) return;
    at(Math.sin((2 * Math.PI * (now - begun)) / PERIOD));
    drawDraft.frame = requestAnimationFrame(frame);
  };
  at(0);
  drawDraft.frame = requestAnimationFrame(frame);
}
