// The learner's keys as fields: the box under a zone is where its key is typed. A
// field shows itself while it is typed in; else the drawing shows what it holds.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as quiz from "./quiz.js";
import { $, el, svg, put } from "./dom.js";
import { byPlace } from "./plan.js";
import { isSetting, keyText, readKey } from "./scale.js";

const WIDE = 64; // px of a field that is typed in, where its zone is narrower

export function make() {
  $("bench").addEventListener("laid", draw); // drawn anew, as when the window is made narrower
  for (const kind of ["focusin", "focusout"]) $("bench").addEventListener(kind, place);
}

export function draw() {
  const { trial } = store.state, drawing = document.querySelector("#drawing");
  const here = trial && drawing && compute.unit();
  const list = $("quiz-keys");
  if (!here) return void list?.remove();
  const order = byPlace(compute.result.zones), of = [order, store.base().key_unit].join();
  if (!list || list.dataset.of !== of || list.parentNode !== drawing) {
    list?.remove();
    drawing.append(group(order, of));
  }
  for (const input of $("quiz-keys").querySelectorAll("input")) {
    if (document.activeElement !== input || !typing) input.value = keyText(trial.keys[input.dataset.key - 1]);
  }
  place();
}

function group(order, of) {
  const unit = { "%": "%", turn: "turns", notch: "notches" }[store.base().key_unit] ?? store.base().key_unit;
  return svg("g", { id: "quiz-keys", role: "group", "aria-label": `Your keys, ${unit}`, "data-of": of }, ...order.map((zone) => svg("foreignObject", {}, field(zone, unit))));
}

let typing = false; // so that no answer overwrites what is half typed

function field(zone, unit) {
  const input = el("input", { type: "text", inputmode: unit === "%" ? "numeric" : "text", autocomplete: "off", "data-key": zone, "data-zone": zone, "aria-label": `Zone ${zone}, key in ${unit}` });
  input.addEventListener("input", () => { typing = true; forgive(); });
  input.addEventListener("change", () => typed(zone, input));
  input.addEventListener("blur", () => { typing = false; });
  input.addEventListener("focus", () => input.select());
  input.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    onward(input);
  });
  return input;
}

// onward takes what was typed and goes to the next zone, and from the last to the
// sweep.
function onward(input) {
  const all = [...$("quiz-keys").querySelectorAll("input")], next = all[all.indexOf(input) + 1];
  if (next) next.focus();
  else $("sweep").focus();
}

// place lays the fields over the boxes of the keys.
function place() {
  for (const holder of $("quiz-keys")?.children ?? []) {
    const input = holder.firstChild, box = document.querySelector(`g.key[data-zone="${input.dataset.zone}"] .key-box`);
    if (!box) continue;
    const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => Number(box.getAttribute(name)));
    const wide = document.activeElement === input ? Math.max(width, WIDE) : width;
    const most = Number($("drawing").getAttribute("width")) - wide;
    put(holder, { x: Math.max(0, Math.min(x + (width - wide) / 2, most)), y, width: wide, height });
  }
}

// forgive takes back what was said of a key while another is typed.
function forgive() {
  if (store.state.trial.problem) store.look((state) => { state.trial.problem = ""; });
}

// typed takes a key, or leaves it where it was and says why.
function typed(zone, input) {
  const key = readKey(input.value);
  typing = false;
  store.look((state) => { state.trial.problem = isSetting(key) ? "" : refused(zone); });
  if (isSetting(key)) quiz.set(zone, key);
  else input.value = keyText(store.state.trial.keys[zone - 1]);
}

const refused = (zone) => {
  const { key_travel, key_step } = store.base();
  return `The key of zone ${zone} stays at ${keyText(store.state.trial.keys[zone - 1])}: its scale goes from 0 to ${keyText(key_travel)} in steps of ${keyText(key_step)}.`;
};
