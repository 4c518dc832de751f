// Teaching: a plate drawn by hand. Solids, tints and bars are painted with the
// mouse or typed as numbers; the server measures the plate like any other.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, $$, el, write, say, clamp, round, copy, same, eachFrame, stroke, hold, unchanged, download } from "./dom.js";

/** @import { Plate, PreparedForm, Separation, Shape } from "./types.js" */

let posted = ""; // the plate that the server is to measure
let size = null; // of the plate that it measured
export let busy = false;
export let error = null; // why the newest plate has no measure

const THINNEST = 0.002; // of the plate's side: what a shape is at least
let tint = 100; // to paint with, in %

// fits tells whether the plate that was measured is one for this press.
export const fits = () => store.state.view !== "drawn" || !size || same(size, sizeOf(plate()));

/** @param {Plate} plate */
const sizeOf = ({ width_mm, height_mm }) => [width_mm, height_mm];

// plate is a little narrower than the fountain and as long as the press prints.
/** @type {() => Plate} */
function plate() {
  const press = store.press();
  return {
    width_mm: Math.max(1, Math.floor(press.zones * press.zone_width_mm * 0.96)),
    height_mm: press.print_length_mm || 457, ink: "Black", shapes: store.state.shapes,
  };
}

export function make() {
  $("prepared").append(...store.offer.forms.map((form) => el("button", { type: "button", "data-form": form.id, onclick: () => pick(form) }, form.title)));
  for (const button of $$("[data-tint]")) {
    button.addEventListener("click", () => { $("tint").value = button.dataset.tint; tinted(); });
  }
  $("tint").addEventListener("change", tinted);
  $("shape-add").addEventListener("click", () => {
    change((shapes) => shapes.push({ x: 0.4, y: 0.4, w: 0.2, h: 0.2, tint }));
    $("shapes-part").open = true;
    $("shapes").lastChild.querySelector("input").focus();
  });
  $("shape-clear").addEventListener("click", () => change((shapes) => shapes.splice(0)));
  $("bench").addEventListener("pointerdown", paint);
  hold($("bench"), (finger) => painting() && at(bench.spot(finger)) !== null);
  $("drawn-save").addEventListener("click", save);
  tints();
}

// tinted takes the tint in the field, or leaves it and says why.
function tinted() {
  const field = $("tint"), right = field.value !== "" && field.checkValidity();
  if (right) tint = Number(field.value);
  else field.value = tint;
  write($("paint-said"), right ? "" : unchanged(field, "The tint", tint));
  tints();
}

function tints() {
  for (const button of $$("[data-tint]")) button.setAttribute("aria-pressed", String(Number(button.dataset.tint) === tint));
}

/** @param {PreparedForm} form */
function pick(form) {
  change((shapes) => shapes.splice(0, shapes.length, ...copy(form.shapes)));
}

/** @type {(mutate: (shapes: Shape[]) => void, merge?: string | null) => void} */
const change = (mutate, merge = null) => store.change((state) => mutate(state.shapes), merge);

// measure has the plate measured anew when it is not the one the server holds.
export async function measure() {
  if (store.state.view !== "drawn" || busy) return;
  const wanted = plate(), key = JSON.stringify(wanted);
  if (key === posted) return;
  busy = true;
  posted = key;
  try {
    const separation = await api.draw(wanted, store.revision);
    [size, error] = [sizeOf(wanted), null];
    adopt(separation);
  } catch (e) {
    error = e;
  }
  busy = false;
  await measure();
}

// again has the plate measured although it did not change: the server lost it.
export async function again() {
  posted = "";
  await measure();
  if (!error) compute.again(); // it may bear the name that it had
}

async function save() {
  try {
    const { blob, name } = await api.drawn(store.unit().separation);
    download(blob, name);
  } catch (e) {
    say($("paint-said"), `Not saved. ${e.message}`);
  }
}

/** @param {Separation} separation */
function adopt(separation) {
  store.derive((state) => {
    const units = state.views.drawn.units;
    if (units.length) delete state.separations[units[0].separation];
    state.separations[separation.id] = separation;
    if (units.length) units[0].separation = separation.id;
    else units.push(store.newUnit(separation));
  });
}

const painting = () => store.state.view === "drawn" && !store.state.trial && bench.layout;

// paint pulls a shape up on the plate from corner to corner. It is as large as
// the pointer went, though the page grows above the plate meanwhile.
function paint(event) {
  if (!painting() || event.button) return;
  const first = bench.spot(event), start = at(first);
  if (!start) return;
  const end = (e) => at({ x: first.x + e.clientX - event.clientX, y: first.y + e.clientY - event.clientY }, true);
  const word = `paint ${performance.now()}`, n = store.state.shapes.length;
  const follow = eachFrame((e) => change((shapes) => { shapes[n] = between(start, end(e)); }, word));
  stroke($("bench"), event, follow.call, () => {
    follow.end();
    store.closeEdit();
  });
}

// at is a place on the plate in parts of its sides, from its left and lead
// edge; null beside it, unless it is to be the nearest on it.
function at({ x, y }, onPlate = false) {
  const f = bench.layout.form;
  const u = (x - f.left) / f.width, v = 1 - (y - f.top) / f.height;
  if (!onPlate && (u < 0 || u > 1 || v < 0 || v > 1)) return null;
  return [clamp(u, 0, 1), clamp(v, 0, 1)];
}

/** @type {(a: number[], b: number[]) => Shape} */
const between = (a, b) => ({
  x: round(Math.min(a[0], b[0]), 3), y: round(Math.min(a[1], b[1]), 3),
  w: Math.max(THINNEST, round(Math.abs(a[0] - b[0]), 3)), h: Math.max(THINNEST, round(Math.abs(a[1] - b[1]), 3)), tint,
});

export function draw() {
  const on = store.state.view === "drawn" && !store.state.trial;
  $("paint-part").hidden = !on;
  $("bench").classList.toggle("painting", on);
  if (!on) return;
  $("drawn-save").disabled = !store.unit();
  rows(store.state.shapes);
}

const columns = [["x", "from the left"], ["y", "from the lead edge"], ["w", "width"], ["h", "length"], ["tint", "tint"]];

/** @param {Shape[]} shapes */
function rows(shapes) {
  const body = $("shapes");
  while (body.children.length > shapes.length) body.lastChild.remove();
  while (body.children.length < shapes.length) body.append(row(body.children.length));
  shapes.forEach((shape, i) => columns.forEach(([name], n) => {
    const input = body.children[i].querySelectorAll("input")[n];
    if (document.activeElement !== input) input.value = inField(shape, name);
  }));
}

function row(i) {
  const cells = columns.map(([name, says]) => {
    const input = el("input", { type: "number", min: 0, max: 100, step: "any", "aria-label": `Shape ${i + 1}, ${says} in %` });
    input.addEventListener("change", () => typed(i, name, input));
    return el("td", {}, input);
  });
  return el("tr", {}, el("th", { scope: "row" }, String(i + 1)), ...cells,
    el("td", {}, el("button", { type: "button", "aria-label": `Remove shape ${i + 1}`, onclick: () => remove(i) }, "remove")));
}

// remove leaves the focus with the shape that takes the place, or where one is added.
function remove(i) {
  change((shapes) => shapes.splice(i, 1));
  const left = $("shapes").children[Math.min(i, store.state.shapes.length - 1)];
  (left ? left.querySelector("button") : $("shape-add")).focus();
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
  change((shapes) => {
    const s = shapes[i];
    if (name === "tint") s.tint = v;
    if (name === "x") s.x = Math.min(v / 100, 1 - s.w);
    if (name === "y") s.y = Math.min(v / 100, 1 - s.h);
    if (name === "w") s.w = clamp(v / 100, THINNEST, 1 - s.x);
    if (name === "h") s.h = clamp(v / 100, THINNEST, 1 - s.y);
  });
  input.value = inField(store.state.shapes[i], name);
  if (Number(input.value) !== round(v)) write($("paint-said"), `${says} is held at ${input.value} %, so that the shape lies on the plate.`);
}
