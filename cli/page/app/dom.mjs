// Building elements: a name, attributes, children. Text never becomes markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** Return an HTML element. */
export function h(name, attributes = {}, ...children) {
  return fill(document.createElement(name), attributes, children);
}

/** Return an SVG element. */
export function s(name, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, name), attributes, children);
}

/** Return the element with an id. */
export const byId = (id) => document.getElementById(id);

let liveTurn = false;

/** Say something to people who listen to the page. */
export function announce(words) {
  const live = byId("live");
  liveTurn = !liveTurn;
  // A no-break space makes the same words news again.
  live.textContent = words + (liveTurn ? "\u00a0" : "");
}

/** Say something that cannot wait. */
export function alarm(words) {
  byId("alarm").textContent = words;
}
