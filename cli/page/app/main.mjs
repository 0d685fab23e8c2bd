// The page: wiring only.

import { TOOLS, takeTool } from "./actions.mjs";
import { api, Gone } from "./api.mjs";
import { app, redo, subscribe, take, undo, update, whenDiskChanged, whenSaying, whileBusy } from "./app.mjs";
import { announce, byId, h, s } from "./dom.mjs";
import { drawStage } from "./draw.mjs";
import { askAboutDisk } from "./help.mjs";
import { loadInk } from "./ink.mjs";
import { listenToKeys } from "./keys.mjs";
import { openExport, openMore, openTitle } from "./menus.mjs";
import { drawCard } from "./card.mjs";
import { drawPanel } from "./panel.mjs";
import { listenForPhotos, openCamera, openFile } from "./photo.mjs";
import { stopPicking } from "./picking.mjs";
import { listenToPointers } from "./pointer.mjs";
import { fitAll, measureStage, setView, stage } from "./stage.mjs";
import { zoomAbout } from "./view.mjs";
import { drawWalk, openWalk } from "./walk.mjs";

const PULSE = 2500; // milliseconds between two looks at whether anything happened elsewhere

/** Return what a truss without a title is called: its file, unless the page itself named that by the time. */
function nameOf(file) {
  return file && (/^photo-\d{4}-/.test(file) ? "Untitled" : file.replace(/\.truss\.json$/, ""));
}

function drawBar() {
  const { server } = app;
  const model = server?.model;
  byId("title").textContent = model?.title || nameOf(server?.file) || "panelpoint";
  document.title = `${byId("title").textContent} · panelpoint`;
  byId("saved").textContent = server?.file ? (app.gone ? "not connected" : `saved in ${server.file}`) : "";
  byId("undo").disabled = !server?.undo || Boolean(app.walk);
  byId("redo").disabled = !server?.redo || Boolean(app.walk);
  byId("undo").title = server?.undo ? `Undo: ${server.undo} (Ctrl+Z)` : "Undo (Ctrl+Z)";
  byId("redo").title = server?.redo ? `Redo: ${server.redo} (Ctrl+Shift+Z)` : "Redo (Ctrl+Shift+Z)";
  byId("steps").disabled = !server?.answer?.solved;
  byId("keep").disabled = !model;
  byId("idle").textContent = server ? `The page's program ends by itself after ${server.idle_minutes} minutes without an open page.` : "";
  byId("empty").hidden = Boolean(model) || !server;
  byId("zoom").hidden = !model;
  byId("tools").hidden = !model;
  byId("busy").hidden = !app.busy;
  byId("busy-words").textContent = app.busy ?? "";
}

function drawTools() {
  for (const button of byId("tools").children) button.setAttribute("aria-pressed", String(button.dataset.tool === app.tool));
  byId("stage").classList.toggle("drawing", app.tool !== "move" || Boolean(app.pick));
  const hint = byId("hint");
  const tool = TOOLS.find((one) => one.key === app.tool);
  const words = app.pick ? app.pick.words : app.tool === "move" ? "" : tool.words;
  hint.hidden = !words || !app.server?.model;
  hint.replaceChildren(words, app.pick ? h("button", { type: "button", onclick: stopPicking }, "Stop") : "");
}

let frame = 0;

/** Draw once a frame, however many changes there were. */
function drawSoon() {
  cancelAnimationFrame(frame);
  frame = requestAnimationFrame(() => {
    drawBar();
    drawTools();
    drawStage();
    drawPanel();
    drawCard();
    drawWalk();
  });
}

function settleDisk(choice) {
  return whileBusy("Opening…", async () => take(await api.disk(choice), "Settled."));
}

async function pulse() {
  if (document.hidden || app.busy || !app.server) return;
  try {
    const { revision, changed_on_disk: changed } = await api.pulse();
    if (app.gone) update({ gone: false });
    if (changed) askAboutDisk(`The file ${app.server.file} was changed by another program. Nothing was overwritten.`, settleDisk);
    else if (revision > app.server.revision && !app.draft && !app.busy) take(await api.state(), "Changed in another tab: this is the newest state.");
  } catch (error) {
    if (!(error instanceof Gone)) throw error;
    if (!app.gone) update({ gone: true });
  }
}

async function begin() {
  byId("tools").append(
    ...TOOLS.map((tool) =>
      h(
        "button",
        { type: "button", "data-tool": tool.key, title: tool.words, "aria-pressed": "false", onclick: () => takeTool(tool.key) },
        s("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, s("path", { d: tool.icon })),
        tool.label,
      ),
    ),
  );
  const press = (id, action) => byId(id).addEventListener("click", action);
  press("undo", undo);
  press("redo", redo);
  press("steps", openWalk);
  press("keep", openExport);
  press("more", openMore);
  press("title", openTitle);
  press("choose", openFile);
  press("camera", openCamera);
  press("zoom-in", () => setView(zoomAbout(stage.view, 1.3, [stage.size[0] / 2, stage.size[1] / 2])));
  press("zoom-out", () => setView(zoomAbout(stage.view, 1 / 1.3, [stage.size[0] / 2, stage.size[1] / 2])));
  press("zoom-fit", fitAll);
  whenDiskChanged((words) => askAboutDisk(words, settleDisk));
  whenSaying((words) => update({ said: words, hushed: new Set([...(app.hushed ?? [])].filter((one) => one !== words)) }));
  listenToPointers();
  listenToKeys();
  listenForPhotos();
  subscribe(drawSoon);
  subscribe(() => {
    if (app.server?.picture) loadInk();
  });
  new ResizeObserver(() => {
    const before = stage.size;
    measureStage();
    if (app.shown?.model) setView({ ...stage.view, x: stage.view.x + (stage.size[0] - before[0]) / 2, y: stage.view.y + (stage.size[1] - before[1]) / 2 });
  }).observe(byId("stage-box"));
  take(await api.state());
  announce(app.server.model ? "The picture is open." : "Empty page. Choose, drop or paste a photograph of a truss.");
  setInterval(pulse, PULSE);
  document.addEventListener("visibilitychange", pulse);
  document.body.dataset.ready = "true";
}

begin();
