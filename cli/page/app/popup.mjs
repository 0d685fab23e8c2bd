// The small sheet beside what was pressed: placing it, its form, its keys. One at a time.

import { edit, update } from "./app.mjs";
import { byId, h } from "./dom.mjs";
import { stage } from "./stage.mjs";
import { toWindow } from "./view.mjs";

let giveBack = null;

/**
 * Open a popup.
 *
 * title: its heading; at: a place of the picture to lie beside, or null for below the bar; children: its content; back:
 * called with the keyboard's focus when it is closed.
 */
export function openPopup(title, at, children, back = null) {
  const popup = byId("popup");
  const before = document.activeElement;
  popup.replaceChildren(
    h("h2", { id: "popup-head" }, title),
    h("button", { type: "button", class: "close", "aria-label": "Close", onclick: () => closePopup(true) }, "✕"),
    ...children.filter(Boolean),
  );
  popup.setAttribute("aria-labelledby", "popup-head");
  popup.hidden = false;
  giveBack = back ?? (() => before?.isConnected && before.focus({ preventScroll: true }));
  place(popup, at);
  const first = popup.querySelector("[autofocus]") ?? popup.querySelector("input, select, .menu button, .ways button, button:not(.close)");
  (first ?? popup.querySelector("button")).focus({ preventScroll: true });
  if (first?.select) first.select();
  update({});
}

function place(popup, at) {
  const [width, height] = stage.size;
  const size = [popup.offsetWidth, popup.offsetHeight];
  const [x, y] = at ? toWindow(stage.view, at) : [width - size[0] - 12, 0];
  const gap = at ? 34 : 12;
  const left = x + gap + size[0] <= width - 6 ? x + gap : x - gap - size[0] >= 6 ? x - gap - size[0] : Math.max(6, (width - size[0]) / 2);
  const beside = left >= x + gap || left + size[0] <= x - gap + 1;
  const wanted = beside ? y - size[1] / 2 : y + gap + size[1] <= height - 6 ? y + gap : y - gap - size[1];
  popup.style.left = `${left}px`;
  popup.style.top = `${Math.max(6, Math.min(wanted, height - size[1] - 6))}px`;
}

/** Close the popup; with `focus` the keyboard goes back to where it came from. Returns whether one was open. */
export function closePopup(focus = false) {
  const popup = byId("popup");
  if (popup.hidden) return false;
  const inside = popup.contains(document.activeElement);
  popup.hidden = true;
  popup.replaceChildren();
  if (focus || inside) giveBack?.();
  update({}); // the card that made room for it comes back
  return true;
}

/**
 * Return a form. `submit` gets the form's fields by name; a sentence that it returns is shown as a fault, with the name
 * of the field in front of a bar ("value|Give a number.").
 */
export function form(fields, label, submit, more = []) {
  const fault = h("p", { class: "fault", id: "popup-fault", role: "alert" });
  const element = h("form", { novalidate: true }, ...fields, fault, h("div", { class: "row" }, h("button", { class: "main" }, label), ...more));
  element.addEventListener("submit", async (event) => {
    event.preventDefault();
    const values = Object.fromEntries(new FormData(element).entries());
    const wrong = await submit(values);
    for (const input of element.querySelectorAll("input")) {
      input.classList.remove("wrong");
      input.removeAttribute("aria-invalid");
      input.removeAttribute("aria-describedby");
    }
    if (typeof wrong === "string") {
      const [name, words] = wrong.split("|");
      fault.textContent = words;
      const input = element.elements.namedItem(name);
      if (input?.classList) {
        input.classList.add("wrong");
        input.setAttribute("aria-invalid", "true");
        input.setAttribute("aria-describedby", "popup-fault");
        input.focus();
      }
    }
  });
  return element;
}

/** Return a field with a label. */
export function field(label, name, value, attributes = {}) {
  return h("label", {}, label, h("input", { name, value, autocomplete: "off", ...attributes }));
}

/** Return a choice of a few. */
export function choices(legend, name, options, chosen, onchange = null) {
  return h(
    "fieldset",
    {},
    h("legend", {}, legend),
    h(
      "div",
      { class: "choices" },
      ...options.map(([value, words]) =>
        h("label", {}, h("input", { type: "radio", name, value, checked: value === chosen, onchange }), h("span", {}, words)),
      ),
    ),
  );
}

/** Return a button of a menu. */
export function item(words, action, wide = false) {
  return h("button", { type: "button", class: wide ? "wide" : null, onclick: action }, words);
}

/** Close the popup and make an edit. */
export function act(change) {
  closePopup(true);
  return edit(change);
}

/** Return what closes the popup and then does something else. */
export const leave = (action) => () => {
  closePopup(true);
  action();
};
