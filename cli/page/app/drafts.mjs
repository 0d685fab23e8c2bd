// What is being drawn right now, a mechanism that swings, a lens under the finger, the frame of a view.

import { app } from "./app.mjs";
import { byId, s } from "./dom.mjs";
import { loadArrow, arrow } from "./symbols.mjs";
import { marker, placeOf, stage } from "./stage.mjs";

const LENS = 66; // radius, window pixels
const GROWN = 3; // how much larger the lens shows the picture
const SWING = 0.07; // of the truss's size: how far a mechanism is drawn to move
const PERIOD = 2600; // milliseconds

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
    parts.push(s("line", { class: "draft-line casing", x1, y1, x2, y2 }), s("line", { class: "draft-line", x1, y1, x2, y2 }));
  }
  if (draft?.kind === "load") {
    const ends = loadArrow([0, 0], draft.way, draft.length, draft.pulls ?? false, 10);
    const drawn = arrow(ends.tail, ends.tip);
    parts.push(
      marker(
        placeOf(draft.joint),
        { class: "arrow draft" },
        s("path", { class: "casing", d: drawn.shaft + drawn.head }),
        s("path", { class: "shaft", d: drawn.shaft }),
        s("path", { class: "head", d: drawn.head }),
        s("text", { x: ends.tip[0] + 22 * draft.way[0], y: ends.tip[1] + 16 * draft.way[1] }, draft.words),
      ),
    );
  }
  if (draft?.kind === "frame" || (app.frame && !draft)) parts.push(...frameShapes(app.frame));
  if (draft?.lens) parts.push(lens(draft.lens));
  layer.replaceChildren(...parts);
  if (app.shown?.answer?.motions.length && !draft && !app.walk) swing(layer);
}

function frameShapes(frame) {
  if (!frame) return [];
  return [
    s("polygon", { class: "view-frame", points: frame.map((corner) => corner.join(",")).join(" ") }),
    ...frame.map((corner, n) => marker(corner, {}, s("circle", { class: "view-corner", r: 10 }), s("text", { y: -20 }, String(n + 1)))),
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
    s("clipPath", { id: "lens-clip" }, s("circle", { cx: dx, cy: dy, r: LENS })),
    s("circle", { class: "ground", cx: dx, cy: dy, r: LENS }),
    photo &&
      s(
        "g",
        { "clip-path": "url(#lens-clip)" },
        s("image", {
          href: `/api/picture?key=${photo.key}`,
          width: photo.width * grown,
          height: photo.height * grown,
          x: dx - place[0] * grown,
          y: dy - place[1] * grown,
        }),
      ),
    s("circle", { class: "edge", cx: dx, cy: dy, r: LENS }),
    s("circle", { class: "edge inner", cx: dx, cy: dy, r: LENS }),
    s("path", { class: "cross", d: crossAt(dx, dy) }),
    s("path", { class: "cross inner", d: crossAt(dx, dy) }),
  );
}

const crossAt = (x, y) => `M${x - 16} ${y}H${x - 3}M${x + 3} ${y}H${x + 16}M${x} ${y - 16}V${y - 3}M${x} ${y + 3}V${y + 16}`;

function swing(layer) {
  const { model, answer } = app.shown;
  const motion = answer.motions[Math.min(app.motion, answer.motions.length - 1)];
  const xs = stage.places.map(([x]) => x);
  const ys = stage.places.map(([, y]) => y);
  const reach = SWING * Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys), 1);
  const rows = new Map(model.joints.map((joint, row) => [joint.name, row]));
  const group = s("g", { class: "ghost", "aria-hidden": "true" });
  const lines = model.members.map(({ joints: [a, b] }) => {
    const pair = [rows.get(a), rows.get(b)];
    const shapes = [s("line", { class: "casing" }), s("line", {})];
    group.append(...shapes);
    return { pair, shapes };
  });
  const dots = motion.joints.map((way, row) => {
    if (Math.hypot(...way) < 0.02) return null;
    const dot = marker(stage.places[row], {}, s("circle", { r: 5 }));
    group.append(dot);
    return dot;
  });
  layer.append(group);
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
    dots.forEach((dot, row) => {
      if (!dot) return;
      dot.dataset.x = moved[row][0];
      dot.dataset.y = moved[row][1];
      dot.setAttribute("transform", `translate(${moved[row][0]} ${moved[row][1]}) scale(${1 / stage.view.k})`);
    });
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
