// Drawing by description: what is drawn anew after every change is described in full, and only what differs from the
// last time is touched. So an element that stays keeps the keyboard's focus, and the browser lays out little anew.

const SVG = "http://www.w3.org/2000/svg";

/** What each element was drawn from: { name, attributes, children }. */
const drawn = new WeakMap();

/**
 * Describe an element: a name, attributes, children. Text never becomes markup.
 *
 * An attribute of null, undefined or false is left out; one that begins with "on" is called upon its event. `key` or
 * `data-key` says which element of the last time this one is, whatever its place among its neighbours.
 */
export function v(name, attributes = {}, ...children) {
  return { name, attributes, children };
}

/** Make an element's children as described. */
export function paint(parent, ...children) {
  const wanted = children.flat(2).filter((child) => child !== null && child !== undefined && child !== false && child !== "");
  const wantedKeys = new Set();
  for (const want of wanted) {
    const key = keyOf(want);
    if (key !== undefined) wantedKeys.add(key);
  }
  const kept = new Map();
  for (let node = parent.firstChild, next; node; node = next) {
    next = node.nextSibling;
    const key = keyOf(drawn.get(node));
    if (key === undefined) continue;
    if (wantedKeys.has(key)) kept.set(key, node);
    else node.remove();
  }
  let here = parent.firstChild;
  for (const want of wanted) {
    const node = found(want, here, kept);
    // A keyed element is not moved for the sake of one without: that would take the keyboard's focus from it.
    while (node && here !== node && keyOf(drawn.get(here)) === undefined) here = dropped(here);
    const next = node === here ? here?.nextSibling : here;
    if (typeof want === "object") {
      const element = node ?? create(want, parent);
      if (element !== here) parent.insertBefore(element, here);
      dress(element, want);
    } else if (!node) parent.insertBefore(document.createTextNode(want), here);
    else if (node.data !== String(want)) node.data = want;
    here = next ?? null;
  }
  while (here) here = dropped(here);
}

/** Take a node away and return the one after it. */
function dropped(node) {
  const next = node.nextSibling;
  node.remove();
  return next;
}

const keyOf = (description) => description?.attributes?.key ?? description?.attributes?.["data-key"];

/** Return the node of the last time that can become what is wanted, undefined when there is none. */
function found(want, here, kept) {
  if (typeof want !== "object") return here?.nodeType === Node.TEXT_NODE ? here : undefined;
  const key = keyOf(want);
  if (key !== undefined) {
    const node = kept.get(key);
    return node && drawn.get(node).name === want.name ? node : undefined;
  }
  const last = here && drawn.get(here);
  return last && last.name === want.name && keyOf(last) === undefined ? here : undefined;
}

function create(want, parent) {
  const space = want.name === "svg" ? SVG : parent.namespaceURI;
  const element = document.createElementNS(space, want.name);
  drawn.set(element, { name: want.name, attributes: {}, children: [] });
  return element;
}

/** Give an element its attributes and children, touching only what differs from the last time. */
function dress(element, want) {
  const last = drawn.get(element).attributes;
  for (const [name, value] of Object.entries(want.attributes)) {
    if (value === last[name] || name === "key") continue;
    if (name.startsWith("on")) element[name] = value;
    else if (value === null || value === undefined || value === false) element.removeAttribute(name);
    else element.setAttribute(name, value === true ? "" : value);
  }
  for (const name of Object.keys(last)) {
    if (name in want.attributes) continue;
    if (name.startsWith("on")) element[name] = null;
    else element.removeAttribute(name);
  }
  drawn.set(element, want);
  paint(element, ...want.children);
}
