// What can be done with the truss, by whatever hand: with a press, a drag or a key.

import { app, choose, edit, update } from "./app.mjs";
import { announce } from "./dom.mjs";
import { clean } from "./format.mjs";
import { openLoad, openSupport } from "./given.mjs";
import { pickJoint, startLength, startMember } from "./picking.mjs";
import { openJoint, openMember } from "./popups.mjs";

export const TOOLS = [
  { key: "move", label: "Move", words: "Drag a joint to move it. Press a joint or member to see what can be done.", icon: "M12 3v18M3 12h18M12 3l-3 3M12 3l3 3M12 21l-3-3M12 21l3-3M3 12l3-3M3 12l3 3M21 12l-3-3M21 12l-3 3" },
  { key: "draw", label: "Draw", words: "Drag from joint to joint for a member. Press for a new joint.", icon: "M5 19L19 5M7 19a2 2 0 1 1-4 0 2 2 0 0 1 4 0M21 5a2 2 0 1 1-4 0 2 2 0 0 1 4 0" },
  { key: "support", label: "Support", words: "Press the joint that is held.", icon: "M12 5l7 11H5zM3 20h18M6 20l-2 2M11 20l-2 2M16 20l-2 2" },
  { key: "load", label: "Load", words: "Drag from a joint in the direction of the load.", icon: "M12 3v14M12 21l-4-6h8zM5 3h14" },
  { key: "length", label: "Length", words: "Press two joints, or a member, and write what lies between.", icon: "M4 7v10M20 7v10M4 12h16M4 12l3-2M4 12l3 2M20 12l-3-2M20 12l-3 2" },
  { key: "erase", label: "Erase", words: "Press a joint or a member that is not there.", icon: "M4 15l9-9 7 7-7 7H9zM9 20h11M8 11l7 7" },
];

/** Take up a tool. */
export function takeTool(key) {
  const tool = TOOLS.find((one) => one.key === key);
  update({ tool: key, pick: null, draft: null });
  announce(`${tool.label}. ${tool.words}`);
}

/** Do with a joint or member what the tool does: the same for a press and for Enter. */
export function activate(what) {
  if (app.tool === "erase" && !app.pick) {
    erase(what);
    return;
  }
  choose(what);
  if (what.kind === "member") {
    if (app.tool === "length") pickJoint(what.start, what.end);
    else openMember(what.start, what.end);
    return;
  }
  if (app.pick) pickJoint(what.name);
  else if (app.tool === "support") openSupport(what.name);
  else if (app.tool === "load") openLoad(what.name, { way: [0, -1] });
  else if (app.tool === "draw") startMember(what.name);
  else if (app.tool === "length") startLength(what.name);
  else openJoint(what.name);
}

/** Delete a joint or a member. */
export function erase(what) {
  if (what.kind === "joint") edit({ kind: "delete-joint", joint: what.name });
  else edit({ kind: "delete-member", start: what.start, end: what.end });
}

/** End the drag of a load's arrow. */
export function endLoad(draft) {
  update({ draft: null, shown: { model: app.server.model, answer: app.server.answer } });
  if (draft.row === undefined) {
    openLoad(draft.joint, { way: draft.plane });
    return;
  }
  const load = app.server.model.loads[draft.row];
  if (!load.force) {
    openLoad(draft.joint, { way: draft.plane, row: draft.row });
    return;
  }
  const size = Math.hypot(...load.force);
  edit({ kind: "change-load", row: draft.row, force: [clean(draft.plane[0] * size), clean(draft.plane[1] * size)] });
}
