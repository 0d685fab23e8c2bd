// Which lets go first: the sentence, the ranking, and the switch of what the picture shows.

import { api, Gone, Refused } from "./api.mjs";
import { app, choose, update } from "./app.mjs";
import { byId } from "./dom.mjs";
import { paint, v } from "./paint.mjs";
import { openStock } from "./stocks.mjs";

const SHOWN = 6; // rows of the ranking before the rest is asked for
const REST = 700; // milliseconds without a change after which the draws are made

let drawn = { revision: -1, found: null };
let timer = 0;

/** Ask for the prediction with its uncertainty when nothing has changed for a while. */
function predict() {
  const { revision } = app.server;
  if (drawn.revision === revision) return;
  drawn = { revision, found: null };
  clearTimeout(timer);
  timer = setTimeout(async () => {
    try {
      const found = await api.prediction();
      if (found.revision !== app.server.revision) return;
      drawn = { revision, found };
      update({});
    } catch (error) {
      // The averages stand without it; what is wrong is said by the next edit or pulse.
      if (!(error instanceof Refused || error instanceof Gone)) throw error;
    }
  }, REST);
}

/** Draw the section of the panel. */
export function drawStrength({ answer }) {
  const section = byId("strength");
  section.hidden = !answer.solved;
  if (!answer.solved) return;
  const { strength } = answer;
  const head = (words) => v("h2", { id: "strength-head" }, words);
  const button = (words, key, onclick, main = null) => v("button", { type: "button", class: main ?? "plain", "data-focus": key, onclick }, words);
  if (!strength) {
    paint(
      section,
      head("Which lets go first?"),
      v("p", { class: "words" }, "Say what the members are made of, and see which one fails first, and at what load."),
      v("div", { class: "row" }, button("Say what it is made of", "stock", () => openStock(), "")),
    );
    return;
  }
  const { ranking } = strength;
  if (!ranking.length) {
    paint(section, head("Which lets go first?"), v("p", { class: "words" }, strength.sentence), v("div", { class: "row" }, button("One stock for all", "stock", () => openStock(), "")));
    return;
  }
  predict();
  const sure = drawn.revision === app.server.revision && answer === app.server.answer ? drawn.found : null;
  paint(
    section,
    head("Which lets go first"),
    v("p", {}, strength.sentence),
    v("h3", {}, "Prediction to write down before a test"),
    v("p", { class: sure ? "first-words" : "quiet" }, sure?.sentence ?? "A moment: ten thousand such trusses are tried…"),
    sure && v("p", { class: "quiet small" }, sure.note),
    picture(),
    table(app.wholeRanking ? ranking : ranking.slice(0, SHOWN)),
    v(
      "div",
      { class: "row" },
      ranking.length > SHOWN && button(app.wholeRanking ? "Show fewer" : `Show all ${ranking.length}`, "ranking", () => update({ wholeRanking: !app.wholeRanking })),
      button("Another stock for all", "stock", () => openStock()),
    ),
  );
}

function picture() {
  const choice = (shows, words) => v("button", { type: "button", "aria-pressed": String(app.shows === shows), "data-focus": `shows ${shows}`, onclick: () => update({ shows }) }, words);
  return v("div", { class: "switch", role: "group", "aria-label": "What the picture shows" }, choice("forces", "Forces"), choice("use", "How near to failing"));
}

function table(ranking) {
  return v(
    "table",
    {},
    v("caption", { class: "unseen" }, "Members and joints in the order in which they would let go"),
    v("thead", {}, v("tr", {}, v("th", { scope: "col" }, "Lets go"), v("th", { scope: "col" }, "How"), v("th", { scope: "col", class: "num" }, "Used"), v("th", { scope: "col", class: "num" }, "At load"))),
    v(
      "tbody",
      {},
      ...ranking.map((one) => {
        const [start, end] = one.joints;
        const what = end ? { kind: "member", start, end } : { kind: "joint", name: start };
        return v(
          "tr",
          { key: one.name, class: one.first ? "first" : null },
          v("td", {}, v("button", { type: "button", class: "plain", "data-focus": `rank ${one.name}`, onclick: () => choose(what) }, one.joints.join("–"))),
          v("td", {}, one.event),
          v("td", { class: "num" }, one.used),
          v("td", { class: "num" }, one.load),
        );
      }),
    ),
  );
}
