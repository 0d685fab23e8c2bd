// Drawing the picture and what lies over it. Everything is drawn anew after a change; zooming and panning only move what
// is there.

import { app } from "./app.mjs";
import { byId, s } from "./dom.mjs";
import { drawDraft } from "./drafts.mjs";
import { drawMarks } from "./marks.mjs";
import { jointShape, loadShapes, memberShape, reactionShapes, supportShape } from "./shapes.mjs";
import { around, fitTruss, keyOf, measureStage, neighboursOf, setView, stage, whenSettled } from "./stage.mjs";

whenSettled(drawMarks);

function boxOf(server, places) {
  if (server.picture) return [0, 0, server.picture.width, server.picture.height];
  if (!places.length) return [-500, -350, 500, 350];
  const [left, top, right, bottom] = around(places);
  const pad = Math.max(80, 0.15 * Math.max(right - left, bottom - top));
  return [left - pad, top - pad, right + pad, bottom + pad];
}

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
  stage.box = boxOf(server, stage.places);
  const focused = document.activeElement?.closest?.("[data-key]")?.dataset.key ?? null;
  let world = byId("world");
  if (!world) {
    world = s("g", { id: "world" });
    world.append(s("g", { id: "ground" }), s("g", { id: "lines" }), s("g", { id: "over" }), s("g", { id: "names" }), s("g", { id: "drafts" }));
    root.replaceChildren(world);
  }
  drawGround(server);
  const neighbours = neighboursOf(model);
  const walk = app.walk;
  stage.restoring = true;
  byId("over").replaceChildren(
    s("g", {}, ...model.members.map((member, row) => memberShape(member, row, walk))),
    s("g", {}, ...model.supports.map((one) => supportShape(one, model, answer))),
    s("g", {}, ...reactionShapes(answer, neighbours, walk)),
    s("g", {}, ...loadShapes(model, answer, neighbours)),
    s("g", {}, ...model.joints.map((joint, row) => jointShape(joint, row, walk))),
  );
  stage.restoring = false;
  drawDraft();
  setView(stage.view);
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
  ground.replaceChildren(
    server.picture
      ? s("image", { id: "photo", href: `/api/picture?key=${key}`, width: server.picture.width, height: server.picture.height })
      : s("rect", { class: "sheet", x: left, y: top, width: right - left, height: bottom - top }),
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
  entry?.setAttribute("tabindex", "0");
  if (!wanted) return;
  stage.restoring = true;
  wanted.focus({ preventScroll: true });
  stage.restoring = false;
}
