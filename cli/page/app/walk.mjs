// Step by step: the worked solution in solving order, one step at a time, for a person or for a class.

import { api } from "./api.mjs";
import { app, update, whileBusy } from "./app.mjs";
import { announce, byId } from "./dom.mjs";
import { paint, v } from "./paint.mjs";
import { freeBody, written } from "./card.mjs";
import { closePopup } from "./popup.mjs";
import { fitTruss, measureStage, placeOf, revealPlace } from "./stage.mjs";

/** Begin the walk. */
export function openWalk() {
  closePopup();
  return whileBusy("Writing the steps…", async () => {
    const { steps } = await api.steps();
    document.body.classList.add("walking");
    update({ walk: { steps, at: 0 }, chosen: null, look: null });
    settle();
    byId("walk-next")?.focus();
    say();
  });
}

/** End it. */
export function closeWalk() {
  document.body.classList.remove("walking", "projector");
  if (document.fullscreenElement) document.exitFullscreen();
  update({ walk: null });
  settle();
  byId("steps").focus();
}

/** Take what the change of layout did to the picture's window into account. */
function settle() {
  measureStage();
  fitTruss();
}

/** Go so many steps on, or back. */
export function stepBy(count) {
  const { walk } = app;
  const at = Math.min(walk.steps.length - 1, Math.max(0, walk.at + count));
  if (at === walk.at) return;
  update({ walk: { ...walk, at } });
  const [joint] = walk.steps[at].joints;
  if (walk.steps[at].joints.length === 1 && placeOf(joint)) revealPlace(placeOf(joint));
  say();
}

function say() {
  const { steps, at } = app.walk;
  announce(`Step ${at + 1} of ${steps.length}. ${steps[at].title}. ${steps[at].lines.join(" ")}`);
}

function project() {
  const on = document.body.classList.toggle("projector");
  if (on) document.documentElement.requestFullscreen?.().catch(() => {
    // A browser that keeps its frame still shows the large letters.
  });
  else if (document.fullscreenElement) document.exitFullscreen();
  update({});
  settle();
}

/** Draw the step. */
export function drawWalk() {
  const box = byId("walk");
  const { walk } = app;
  box.hidden = !walk;
  if (!walk) {
    document.body.classList.remove("walking", "projector");
    return;
  }
  const focus = box.contains(document.activeElement) ? document.activeElement.id : null;
  const step = walk.steps[walk.at];
  const joint = step.joints.length === 1 && step.finds.length ? app.server.answer.joints.find((one) => one.name === step.joints[0]) : null;
  const projector = document.body.classList.contains("projector");
  paint(
    box,
    v(
      "div",
      { class: "counted" },
      v("h2", {}, step.title),
      v("span", { class: "quiet" }, `${walk.at + 1} of ${walk.steps.length}`),
    ),
    v("div", { key: walk.at, class: "body", tabindex: "0", role: "region", "aria-label": "This step" }, v("ul", { class: "lines" }, ...step.lines.map(written)), joint?.free_body ? freeBody(joint) : ""),
    v(
      "div",
      { class: "row" },
      v("button", { type: "button", id: "walk-back", disabled: walk.at === 0, onclick: () => stepBy(-1) }, "◀ Back"),
      v("button", { type: "button", id: "walk-next", class: "main", disabled: walk.at === walk.steps.length - 1, onclick: () => stepBy(1) }, "Next ▶"),
      v("button", { type: "button", id: "walk-project", "aria-pressed": String(projector), onclick: project }, "Projector"),
      v("button", { type: "button", id: "walk-close", onclick: closeWalk }, "Close"),
    ),
  );
  if (focus) (byId(focus)?.disabled ? byId("walk-close") : byId(focus))?.focus();
}
