// Drawing the picture and what lies over it. Everything is drawn anew after a change; zooming and panning only move what
// is there.

import { app } from "./app.mjs";
import { byId } from "./dom.mjs";
import { drawDraft } from "./drafts.mjs";
import { drawMarks } from "./marks.mjs";
import { paint, v } from "./paint.mjs";
import { jointShape, loadShapes, memberShape, reactionShapes, supportShape } from "./shapes.mjs";
import { around, fitTruss, keyOf, measureStage, neighboursOf, showView, stage, whenSettled } from "./stage.mjs";

whenSettled(drawMarks);

function boxOf(server, places) {
  if (server.picture) return [0, 0, server.picture.width, server.picture.height];
  if (!places.length) return [-500, -350, 500, 350];
  const [left, top, right, bottom] = around(places);
  const pad = Math.max(80, 0.15 * Math.max(right - left, bottom - top));
  return [left - pad, top - pad, right + pad, bottom + pad];
}

const LAYERS = ["ground", "lines", "over", "names", "drafts"];

let shownPicture = null;

/** Draw everything. */
export function drawStage() {
  const root = byId("stage");
  const { server, shown } = app;
  if (!shown?.model) {
    root.replaceChildren();
    return;
  }
  const { model, answer } = shown;
  stage.places = answer.joints.map((joint) => joint.page);
  stage.rows = new Map(model.joints.map((joint, row) => [joint.name, row]));
  stage.box = boxOf(server, stage.places);
  const focused = document.activeElement?.closest?.("[data-key]")?.dataset.key ?? null;
  let world = byId("world");
  if (!world) {
    paint(root, v("g", { id: "world" }, ...LAYERS.map((id) => v("g", { id }))));
    world = byId("world");
  }
  drawGround(server);
  const neighbours = neighboursOf(model);
  const walk = app.walk;
  stage.restoring = true;
  paint(
    byId("over"),
    v("g", {}, ...model.members.map((member, row) => memberShape(member, row, walk))),
    v("g", {}, ...model.supports.map((one) => supportShape(one, model, answer))),
    v("g", {}, ...reactionShapes(answer, neighbours, walk)),
    v("g", {}, ...loadShapes(model, answer, neighbours)),
    v("g", {}, ...model.joints.map((joint, row) => jointShape(joint, row, walk))),
  );
  stage.restoring = false;
  drawDraft();
  showView();
  drawMarks();
  restoreFocus(focused);
}

function drawGround(server) {
  const key = server.picture ? server.picture.key : "sheet";
  const ground = byId("ground");
  if (shownPicture === key && key !== "sheet") return;
  const fresh = shownPicture !== key;
  shownPicture = key;
  const [left, top, right, bottom] = stage.box;
  paint(
    ground,
    server.picture
      ? v("image", { id: "photo", href: `/api/picture?key=${key}`, width: server.picture.width, height: server.picture.height })
      : v("rect", { class: "sheet", x: left, y: top, width: right - left, height: bottom - top }),
  );
  if (fresh) {
    measureStage();
    fitTruss();
  }
}

function restoreFocus(key) {
  const all = [...document.querySelectorAll("#over [data-key]")];
  const chosen = app.chosen && all.find((one) => one.dataset.key === keyOf(app.chosen));
  const wanted = all.find((one) => one.dataset.key === key);
  const entry = wanted ?? chosen ?? all.find((one) => one.classList.contains("joint"));
  for (const one of all) if (one !== entry && one.tabIndex === 0) one.setAttribute("tabindex", "-1");
  entry?.setAttribute("tabindex", "0");
  if (!wanted || wanted === document.activeElement) return;
  stage.restoring = true;
  wanted.focus({ preventScroll: true });
  stage.restoring = false;
}
