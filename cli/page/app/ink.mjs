// Grey levels of the shown photograph, for snapping to its ink.

import { app } from "./app.mjs";
import { byId } from "./dom.mjs";
import { greyOf, snap } from "./snap.mjs";
import { placeOf } from "./stage.mjs";

const SAMPLES = 72; // pixels of a patch, across: more would only cost time

let canvas = null;
let key = null;

/** Load the photograph's pixels once. */
export async function loadInk() {
  const picture = app.server?.picture;
  if (!picture || key === picture.key) return;
  key = picture.key;
  canvas = null;
  const image = new Image();
  image.src = `/api/picture?key=${picture.key}`;
  await image.decode();
  const fresh = document.createElement("canvas");
  fresh.width = image.naturalWidth;
  fresh.height = image.naturalHeight;
  fresh.getContext("2d", { willReadFrequently: true }).drawImage(image, 0, 0);
  canvas = fresh;
  byId("stage").dataset.ink = key; // from here on joints are caught by it
}

/**
 * Return the place of the ink's crossing near a place of the picture, or the place itself where there is no ink.
 *
 * reach: how far to look, picture pixels; joint: name of the joint that is moved, whose members tell the rays.
 */
export function snapToInk(place, reach, joint = null) {
  const picture = app.server?.picture;
  if (!canvas || !picture) return place;
  const shrunk = canvas.width / picture.width;
  const half = Math.max(4, reach * 2.8 * shrunk);
  const left = Math.max(0, Math.round(place[0] * shrunk - half));
  const top = Math.max(0, Math.round(place[1] * shrunk - half));
  const width = Math.min(canvas.width - left, Math.round(2 * half));
  const height = Math.min(canvas.height - top, Math.round(2 * half));
  if (width < 4 || height < 4) return place;
  const fine = Math.min(1, SAMPLES / Math.max(width, height));
  const small = document.createElement("canvas");
  small.width = Math.max(4, Math.round(width * fine));
  small.height = Math.max(4, Math.round(height * fine));
  const context = small.getContext("2d", { willReadFrequently: true });
  context.drawImage(canvas, left, top, width, height, 0, 0, small.width, small.height);
  const patch = {
    grey: greyOf(context.getImageData(0, 0, small.width, small.height).data),
    width: small.width,
    height: small.height,
  };
  const scale = shrunk * fine;
  const into = ([x, y]) => [x * scale - left * fine, y * scale - top * fine];
  const targets = joint === null ? [] : farEnds(joint).map(into);
  const found = snap(patch, into(place), reach * scale, targets);
  return found ? [(found[0] + left * fine) / scale, (found[1] + top * fine) / scale] : place;
}

function farEnds(joint) {
  return app.server.model.members
    .filter(({ joints }) => joints.includes(joint))
    .map(({ joints: [a, b] }) => placeOf(a === joint ? b : a));
}
