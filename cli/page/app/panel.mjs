// The sheet beside the picture: the answer in words, what to look at, what to do, what is chosen, the tables.

import { takeTool } from "./actions.mjs";
import { app, choose, edit, memberRow, update } from "./app.mjs";
import { announce, byId } from "./dom.mjs";
import { number, short } from "./format.mjs";
import { loadWords, openDeck, openLength, openLoad, openSupport } from "./given.mjs";
import { dimensionWords } from "./marks.mjs";
import { paint, v } from "./paint.mjs";
import { openStock, stocksInUse, stockWords } from "./stocks.mjs";
import { drawStrength } from "./strength.mjs";
import { focusOn, placeOf, revealPlace } from "./stage.mjs";

const senseName = { T: "T", C: "C", 0: "0", "?": "u" };

/** Draw the panel. */
export function drawPanel() {
  const { server, shown } = app;
  const open = Boolean(shown?.model);
  for (const id of ["verdict", "tasks"]) byId(id).hidden = !open;
  drawNotice();
  if (!open) {
    for (const id of ["looks", "strength", "table", "given"]) byId(id).hidden = true;
    return;
  }
  const kept = focusedKey();
  drawVerdict(shown.answer);
  drawLooks(server.looks);
  drawTasks(server);
  drawStrength(shown);
  drawTable(shown);
  drawGiven(server);
  giveFocus(kept);
}

function focusedKey() {
  const element = document.activeElement;
  return byId("panel").contains(element) ? (element.dataset.focus ?? null) : null;
}

function giveFocus(key) {
  if (key === null) return;
  const all = [...byId("panel").querySelectorAll("[data-focus]")];
  (all.find((one) => one.dataset.focus === key) ?? all[0])?.focus({ preventScroll: true });
}

function drawNotice() {
  const notice = byId("notice");
  const file = app.server?.file ?? "its file";
  const gone = app.gone
    ? `The program behind this page has ended. Everything is saved in ${file}. Start it again in the terminal: panelpoint confirm ${file}`
    : null;
  const hushed = app.hushed ?? new Set();
  const left = [gone, app.said, app.server?.answer?.members.length ? null : app.server?.notices?.join(" ")].filter((words) => words && !hushed.has(words));
  notice.hidden = left.length === 0;
  notice.className = gone || app.said ? "pressing" : "";
  paint(
    notice,
    v("div", {}, ...left.map((words) => v("p", {}, words))),
    v("button", { type: "button", "aria-label": "Close this note", onclick: () => update({ hushed: new Set([...hushed, ...left]), said: null }) }, "✕"),
  );
}

function drawVerdict(answer) {
  const count = answer.count;
  const more = answer.motions.length > 1;
  const remarks = [...answer.remarks, ...(app.server.notices ?? [])];
  paint(
    byId("verdict"),
    v("h2", { id: "headline" }, answer.headline),
    count && v("p", { class: "count", title: "members + reaction components, against twice the joints" }, count.arithmetic),
    count && v("p", { class: "words" }, count.words),
    answer.words && v("p", { class: "words" }, answer.words),
    ...answer.motions.map((motion, n) => v("p", { class: "words", hidden: n !== app.motion }, motion.says)),
    ...(more
      ? [
          v(
            "div",
            { class: "row" },
            v("button", { type: "button", "data-focus": "motion", onclick: () => update({ motion: (app.motion + 1) % answer.motions.length }) }, `Show way ${((app.motion + 1) % answer.motions.length) + 1} of ${answer.motions.length}`),
          ),
        ]
      : []),
    ...(remarks.length ? [v("details", { class: "remarks", open: app.remarksOpen ?? false, ontoggle: (event) => (app.remarksOpen = event.target.open) }, v("summary", { "data-focus": "remarks" }, remarks.length === 1 ? "1 remark" : `${remarks.length} remarks`), v("ul", {}, ...remarks.map((remark) => v("li", {}, remark))))] : []),
  );
}

/** Walk to something to look at. */
export function lookAt(key) {
  const look = app.server.looks.find((one) => one.key === key);
  if (!look) return;
  update({ look: key, chosen: null });
  const names = [...look.joints, ...look.members.flat(), ...look.dimensions.flatMap((row) => [app.server.model.dimensions[row].from, app.server.model.dimensions[row].to])];
  const places = names.map(placeOf).filter(Boolean);
  if (places.length) revealPlace([places.reduce((sum, [x]) => sum + x, 0) / places.length, places.reduce((sum, [, y]) => sum + y, 0) / places.length]);
  announce(look.sentence);
}

/** Walk to the next thing to look at. */
export function nextLook(step = 1) {
  const { looks } = app.server;
  if (!looks.length) {
    announce("Nothing left to look at.");
    return;
  }
  const now = looks.findIndex((look) => look.key === app.look);
  lookAt(looks[(now + step + looks.length) % looks.length].key);
}

function drawLooks(looks) {
  const section = byId("looks");
  section.hidden = looks.length === 0;
  if (!looks.length) {
    app.look = null;
    return;
  }
  const at = Math.max(0, looks.findIndex((look) => look.key === app.look));
  const look = looks[at];
  paint(
    section,
    v(
      "div",
      { class: "counted" },
      v("h2", { id: "looks-head" }, "Please look at these"),
      v("span", { class: "quiet" }, `${at + 1} of ${looks.length}`),
    ),
    v(
      "div",
      { class: look.urgent ? "look urgent" : "look" },
      v("p", {}, look.sentence),
      v(
        "div",
        { class: "row" },
        look.loads.length ? v("button", { type: "button", class: "main", "data-focus": "look-size", onclick: () => openLoad(app.server.model.loads[look.loads[0]].joint, { row: look.loads[0] }) }, "Give its size") : null,
        ...look.cures.map((cure, n) =>
          v("button", { type: "button", "data-focus": `cure ${n}`, onclick: () => settle(looks, at, cure.edit) }, cure.label),
        ),
      ),
    ),
    v(
      "div",
      { class: "row look-more" },
      v("button", { type: "button", class: "plain", "data-focus": "look-show", onclick: () => lookAt(look.key) }, "Show where"),
      looks.length > 1 && v("button", { type: "button", class: "plain", "data-focus": "look-next", onclick: () => nextLook() }, "Next one"),
    ),
  );
}

/** Make the edit that settles a look, and go on to the next one. */
async function settle(looks, at, change) {
  const following = looks[at + 1]?.key;
  if (!(await edit(change))) return;
  const next = app.server.looks.find((look) => look.key === following) ?? app.server.looks[Math.min(at, app.server.looks.length - 1)];
  if (next) lookAt(next.key);
}

const TASK_TOOLS = { reading: "draw", supports: "support", loads: "load", lengths: "length" };

function drawTasks(server) {
  const { model, tasks, looks } = server;
  const next = tasks.find((task) => !task.done);
  const unsized = model.loads.some((load) => !load.force);
  paint(
    byId("tasks"),
    v("h2", { id: "tasks-head" }, "From picture to forces"),
    v(
      "ol",
      {},
      ...tasks.map((task) =>
        v(
          "li",
          { class: task.done ? "done" : null },
          v("span", { class: "tick", "aria-hidden": "true" }, task.done ? "✓" : ""),
          v("div", {}, v("div", {}, task.label, v("span", { class: "unseen" }, task.done ? " (done)" : " (to do)")), v("div", { class: "words" }, task.words)),
          v(
            "button",
            { type: "button", "data-focus": `task ${task.key}`, class: task === next && task.key !== "lengths" ? "main" : null, "aria-label": `${task.label}: ${task.key === "reading" && looks.length ? "look" : task.done ? "change" : "put on"}`, onclick: () => beginTask(task, looks) },
            task.key === "reading" && looks.length ? "Look" : task.done ? "Change" : "Begin",
          ),
        ),
      ),
    ),
    model.confirmed
      ? v("div", { class: "confirmed" }, v("span", {}, "✓ Confirmed"), v("button", { type: "button", class: "plain quiet", "data-focus": "confirm", onclick: () => edit({ kind: "reopen" }) }, "Take back"))
      : v("button", { type: "button", id: "confirm", "data-focus": "confirm", class: next && next.key !== "lengths" ? null : "main", disabled: !model.members.length || unsized, onclick: () => edit({ kind: "accept-all" }) }, looks.length ? "Everything is right: confirm all" : "Everything is right: confirm"),
  );
}

function beginTask(task, looks) {
  if (task.key === "reading" && looks.length) {
    lookAt(looks[0].key);
    return;
  }
  takeTool(TASK_TOOLS[task.key]);
  const [first] = app.server.model.joints;
  if (first) focusOn(app.chosen?.kind === "joint" ? app.chosen : { kind: "joint", name: first.name });
}

function drawTable({ model, answer }) {
  const section = byId("table");
  section.hidden = !answer.solved;
  if (!answer.solved) return;
  const unit = model.units.force;
  const errors = answer.members.some((one) => one.error);
  paint(
    section,
    v("h2", {}, "Members"),
    v(
      "table",
      {},
      v("caption", { class: "unseen" }, `Member forces in ${unit}, tension positive`),
      v("thead", {}, v("tr", {}, v("th", { scope: "col" }, "Member"), v("th", { scope: "col", class: "num" }, `Force, ${unit}`), errors && v("th", { scope: "col", class: "num" }, "±"), v("th", { scope: "col", class: "num" }, "T or C"))),
      v(
        "tbody",
        {},
        ...answer.members.map((one) =>
          v(
            "tr",
            { "aria-current": String(app.chosen?.kind === "member" && memberRow(model, app.chosen.start, app.chosen.end) === memberRow(model, one.start, one.end)) },
            v("td", {}, v("button", { type: "button", class: "plain", "data-focus": `row ${one.start} ${one.end}`, onclick: () => choose({ kind: "member", start: one.start, end: one.end }) }, `${one.start}–${one.end}`)),
            v("td", { class: "num" }, one.sense === "0" ? "0" : number(Math.abs(one.force))),
            errors && v("td", { class: "num quiet" }, one.sense === "0" ? "" : number(one.error ?? 0, 2)),
            v("td", { class: `num sense sense-${senseName[one.sense]}` }, one.sense),
          ),
        ),
      ),
    ),
    ...(answer.reactions.length
      ? [
          v("h2", { class: "reactions-head" }, "Reactions"),
          v("table", {}, v("tbody", {}, ...answer.reactions.map((one) => v("tr", {}, v("td", {}, one.joint), v("td", { class: "num" }, one.label), v("td", { class: "num" }, wayArrow(one.direction)))))),
        ]
      : []),
  );
}

function wayArrow([x, y]) {
  const signs = ["→", "↗", "↑", "↖", "←", "↙", "↓", "↘"];
  const turn = (Math.atan2(y, x) * 180) / Math.PI;
  const near = ((Math.round(turn / 45) % 8) + 8) % 8;
  const exact = Math.abs(turn - Math.round(turn / 45) * 45) < 0.05;
  return exact ? signs[near] : `${signs[near]} ${short(turn < 0 ? turn + 360 : turn, 4)}°`;
}

function drawGiven({ model, looks }) {
  const section = byId("given");
  const rows = [];
  model.supports.forEach((one) => rows.push([`${one.kind === "pin" ? "Pin" : "Roller"} at ${one.joint}`, "Change", () => openSupport(one.joint)]));
  model.loads.forEach((one, row) => rows.push([`Load on ${one.joint}: ${loadWords(one)}`, "Change", () => openLoad(one.joint, { row })]));
  (model.deck_loads ?? []).forEach((one, row) => {
    rows.push([`Deck ${one.joints[0]} to ${one.joints.at(-1)}: ${short(Math.hypot(...one.force), 4)} ${model.units.force}/${model.units.length}`, "Change", () => openDeck(one.joints)]);
    rows.push([`Deck load ${row + 1}`, "Remove", () => edit({ kind: "remove-deck-load", row })]);
  });
  if (model.self_weight) rows.push([`Self-weight ${short(model.self_weight, 4)} ${model.units.force}/${model.units.length}`, "Remove", () => edit({ kind: "set-self-weight", per_length: 0 })]);
  model.dimensions.forEach((one, row) => {
    const fault = looks.some((look) => look.urgent && look.dimensions.includes(row));
    rows.push([`${one.kind[0].toUpperCase()}${one.kind.slice(1)} ${one.from}–${one.to}: ${dimensionWords(one, model)}`, "Change", () => openLength(one.from, one.to), fault]);
  });
  for (const [name, count] of stocksInUse(model)) rows.push([`${count === 1 ? "1 member" : `${count} members`} of ${stockWords(name)}`, "Change", () => openStock()]);
  section.hidden = rows.length === 0;
  paint(
    section,
    v("h2", {}, "Given"),
    v("ul", {}, ...rows.map(([words, label, action, fault]) => v("li", { class: fault ? "fault" : null }, v("span", {}, fault ? `⚠ ${words}` : words), v("button", { type: "button", "aria-label": `${label}: ${words}`, "data-focus": `given ${words}`, onclick: action }, label)))),
  );
}
