// Putting joints on the picture, by whatever hand.

import { app, choose, edit } from "./app.mjs";
import { announce } from "./dom.mjs";
import { toSegment } from "./hit.mjs";
import { snapToInk } from "./ink.mjs";
import { focusOn, placeOf, stage } from "./stage.mjs";
import { toPicture } from "./view.mjs";

/** Return a place as an edit wants it: in the picture, or in the plane where there is no picture. */
export function placeFields([x, y]) {
  const { picture, scale } = app.server;
  return picture || !scale ? { px: [x, y] } : { at: [x / scale, -y / scale] };
}

/** Put a joint on the picture: on a member it is split, from a joint a member is drawn. */
export function putJoint(place, { join = null, over = null, reach = 0 } = {}) {
  const split = over?.kind === "member" ? app.server.model.members[over.row].joints : null;
  let put = snapToInk(place, reach);
  if (split) {
    // On a member of the model the joint lies on its line, unless the ink's crossing is close by.
    const [a, b] = split.map(placeOf);
    const { t, distance } = toSegment(put, a, b);
    if (distance > reach) put = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
  }
  return edit({ kind: "add-joint", ...placeFields(put), split, join });
}

/** Put a joint in the middle of what is shown: for the keyboard, which then moves it. */
export async function putJointInMiddle() {
  const before = new Set(app.server.model.joints.map((joint) => joint.name));
  const middle = toPicture(stage.view, [stage.size[0] / 2, stage.size[1] / 2]);
  if (!(await edit({ kind: "add-joint", ...placeFields(middle) }))) return;
  const fresh = app.server.model.joints.find((joint) => !before.has(joint.name));
  choose({ kind: "joint", name: fresh.name });
  focusOn({ kind: "joint", name: fresh.name });
  announce(`Joint ${fresh.name} in the middle. Shift with the arrow keys moves it.`);
}
