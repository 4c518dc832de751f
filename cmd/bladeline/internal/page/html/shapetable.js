// Shapes as numbers: of the inks that are seen, a row each. The one whose numbers have
// the focus is taken hold of, to be copied or removed.

import * as store from "./state.js";
import * as shapes from "./shapes.js";
import * as paint from "./paint.js";
import { $, el, write, round, unchanged } from "./dom.js";

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
  const tr = el("tr", {}, el("th", { scope: "row" }), ...cells);
  tr.addEventListener("focusin", () => shapes.chosen === of() || shapes.look(of()));
  return tr;
}

const inField = (shape, name) => (name === "tint" ? shape.tint : round(shape[name] * 100));

const sizes = { x: "w", y: "h" };

// typed takes a number, or leaves it and says why.
function typed(i, name, input) {
  const says = input.getAttribute("aria-label").replace(" in %", "");
  if (input.value === "" || !input.checkValidity()) {
    input.value = inField(store.state.shapes[i], name);
    return void write($("paint-said"), unchanged(input, says, input.value));
  }
  const v = Number(input.value), was = store.state.shapes[i], size = sizes[name] ?? name;
  const fits = placed(was, name, v);
  shapes.change((list) => { list[i] = fits; });
  input.value = inField(fits, name);
  const cut = name !== "tint" && (round(v) !== Number(input.value) || size !== name && fits[size] < was[size]);
  write($("paint-said"), cut ? `Shape ${input.closest("tr").rowIndex}, ${columns.find(([of]) => of === size)[1]} is held at ${inField(fits, size)} %, so that the shape lies on the plate.` : "");
}

// placed is a shape with a number of its own, cut where it would reach over the plate's
// edge: the number stands, so that all may be typed in any order.
function placed(shape, name, v) {
  const s = { ...shape };
  if (name === "tint") s.tint = v;
  for (const [place, size] of Object.entries(sizes)) {
    if (name === place) s[place] = Math.min(v / 100, 1 - shapes.THINNEST);
    if (name === size) s[size] = Math.max(v / 100, shapes.THINNEST);
    s[size] = Math.min(s[size], round(1 - s[place], 4));
  }
  return s;
}
