// The link: pointing at or focusing any part of a zone lights the whole zone,
// its strip on the form, its gap in the blade, its key, its dot and its row.

import * as store from "./state.js";
import * as compute from "./compute.js";
import { byPlace } from "./plan.js";
import { $ } from "./dom.js";

export function light(zone) {
  if (zone === store.state.lit) return;
  store.look((state) => { state.lit = zone; });
}

// mark puts the light on what is drawn now, once for all parts that draw.
let marking = false;
export function mark() {
  if (marking) return;
  marking = true;
  queueMicrotask(() => {
    marking = false;
    markNow();
  });
}

// markNow touches nothing that has its light.
function markNow() {
  const zone = store.state.lit;
  const of = zone === null ? [] : document.querySelectorAll(`[data-zone="${zone}"]`);
  const stay = new Set(of);
  for (const node of document.querySelectorAll(".lit, [aria-selected=true][data-zone]")) if (!stay.has(node)) turn(node, false);
  for (const node of of) turn(node, true);
}

function turn(node, on) {
  if (node.classList.contains("lit") !== on) node.classList.toggle("lit", on);
  if (node.hasAttribute("aria-selected") && node.getAttribute("aria-selected") !== String(on)) node.setAttribute("aria-selected", String(on));
}

function pointed(event) {
  const part = event.target.closest?.("[data-zone]");
  if (part) light(Number(part.dataset.zone));
}

// beside puts the light out: a touch on what is no zone and no control.
function beside(event) {
  if (!event.target.closest?.("[data-zone], [data-point], #relation, a, button, label, input, select, summary")) light(null);
}

// moved takes no notice of a page that scrolls under a pointer at rest, as when
// the focus is moved by keyboard.
let rest = "";
function moved(event) {
  const at = `${event.screenX} ${event.screenY}`;
  if (at !== rest) pointed(event);
  rest = at;
}

export function watch() {
  $("zone-back").addEventListener("click", () => step(-1));
  $("zone-on").addEventListener("click", () => step(1));
  document.addEventListener("pointerover", moved);
  document.addEventListener("pointerdown", pointed);
  document.addEventListener("click", beside);
  document.addEventListener("focusin", pointed);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !event.defaultPrevented) light(null);
  });
}

// step lights the next zone across, or the one before.
/** @param {number} by */
export function step(by) {
  const { result } = compute;
  if (!result) return;
  const order = byPlace(result.zones), at = order.indexOf(store.state.lit);
  light(at < 0 ? order.at(by > 0 ? 0 : -1) : order[Math.min(Math.max(at + by, 0), order.length - 1)]);
}

// rove lets the arrow keys walk a list of which one part is a tab stop.
export function rove(list, back, forth) {
  list.addEventListener("keydown", (event) => {
    const parts = [...list.querySelectorAll("[data-rove]")];
    const at = parts.indexOf(event.target.closest("[data-rove]"));
    if (at < 0) return;
    const to = { [back]: at - 1, [forth]: at + 1, Home: 0, End: parts.length - 1 }[event.key];
    if (to === undefined || event.target.matches("input")) return;
    event.preventDefault();
    focusOne(parts, Math.min(Math.max(to, 0), parts.length - 1));
  });
}

function focusOne(parts, at) {
  parts.forEach((part, i) => part.setAttribute("tabindex", i === at ? 0 : -1));
  parts[at].focus();
}
