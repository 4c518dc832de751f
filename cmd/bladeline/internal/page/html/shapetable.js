// Shapes as numbers: of the inks that are seen, a row each.

import * as store from "./state.js";
import * as shapes from "./shapes.js";
import * as paint from "./paint.js";
import { $, el, write, clamp, round, unchanged } from "./dom.js";

const columns = [["x", "from the left"], ["y", "from the lead edge"], ["w", "width"], ["h", "length"], ["tint", "tint"]];

export function make() {
  $("shape-add").addEventListener("click", () => {
    shapes.change((list) => list.push({ x: 0.4, y: 0.4, w: 0.2, h: 0.2, tint: paint.tint, ...paint.inThis() }));
    shapes.look(store.state.shapes.length - 1);
    $("shapes-part").open = true;
    $("shapes").lastChild.querySelector("input").focus();
  });
  $("shape-copy").addEventListener("click", () => shapes.duplicate(shapes.atHand()));
  $("shape-remove").addEventListener("click", () => {
    shapes.remove(shapes.atHand());
    $("shape-add").focus();
  });
}

export function draw() {
  if ($("paint-part").hidden) return;
  const list = shapes.seen(), body = $("shapes"), held = list.includes(shapes.atHand());
  $("shape-copy").disabled = $("shape-remove").disabled = !held;
  while (body.children.length > list.length) body.lastChild.remove();
  while (body.children.length < list.length) body.append(row(body.children.length));
  list.forEach((i, n) => fill(body.children[n], i));
}

/** @type {(row: any, i: number) => void} */
function fill(row, i) {
  const shape = store.state.shapes[i], ink = store.state.inks.length > 1 && store.state.all ? ` ${store.inkOf(shape)}` : "";
  row.dataset.shape = i;
  row.classList.toggle("held", i === shapes.chosen);
  write(row.firstChild, `${i === shapes.chosen ? "▸ " : ""}${row.rowIndex}${ink}`);
  columns.forEach(([name], n) => {
    const input = row.querySelectorAll("input")[n];
    if (document.activeElement !== input) input.value = inField(shape, name);
  });
}

// row is the n-th; which shape it is of may change.
/** @param {number} n */
function row(n) {
  const of = () => Number(tr.dataset.shape);
  const cells = columns.map(([name, says]) => {
    const input = el("input", { type: "number", min: 0, max: 100, step: "any", "aria-label": `Shape ${n + 1}, ${says} in %` });
    input.addEventListener("change", () => typed(of(), name, input));
    return el("td", {}, input);
  });
  const act = (word, does) => el("button", { type: "button", "aria-label": `${word} shape ${n + 1}`, onclick: does }, word.toLowerCase());
  const tr = el("tr", {}, el("th", { scope: "row" }), ...cells,
    el("td", {}, act("Copy", () => shapes.duplicate(of())), act("Remove", () => remove(of(), n))));
  tr.addEventListener("focusin", () => shapes.chosen === of() || shapes.look(of()));
  return tr;
}

// remove leaves the focus with the shape that takes the place, or where one is added.
function remove(i, n) {
  shapes.remove(i);
  const left = $("shapes").children[Math.min(n, $("shapes").children.length - 1)];
  (left ? left.querySelector("button:last-child") : $("shape-add")).focus();
}

const inField = (shape, name) => (name === "tint" ? shape.tint : round(shape[name] * 100));

// typed takes a number, held on the plate, or leaves it and says why.
function typed(i, name, input) {
  const says = input.getAttribute("aria-label").replace(" in %", "");
  if (input.value === "" || !input.checkValidity()) {
    input.value = inField(store.state.shapes[i], name);
    return void write($("paint-said"), unchanged(input, says, input.value));
  }
  const v = Number(input.value);
  shapes.change((list) => {
    const s = list[i];
    if (name === "tint") s.tint = v;
    if (name === "x") s.x = Math.min(v / 100, 1 - s.w);
    if (name === "y") s.y = Math.min(v / 100, 1 - s.h);
    if (name === "w") s.w = clamp(v / 100, shapes.THINNEST, 1 - s.x);
    if (name === "h") s.h = clamp(v / 100, shapes.THINNEST, 1 - s.y);
  });
  input.value = inField(store.state.shapes[i], name);
  if (Number(input.value) !== round(v)) write($("paint-said"), `${says} is held at ${input.value} %, so that the shape lies on the plate.`);
}
