// Teaching: plates drawn by hand, one an ink; the server measures them like any
// other. Shapes are pulled with the hand (shapes.js) or typed (shapetable.js).

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as shapes from "./shapes.js";
import { $, $$, el, write, say, copy, same, unchanged, download } from "./dom.js";

/** @import { Plate, PreparedForm, Separation } from "./types.js" */

const posted = new Map(); // the plates that the server is to measure, as text, by ink
const sizes = new Map(); // of those that it measured
const errors = new Map(); // why the newest of some have no measure
export let busy = false;
export let error = null; // the first of these
export let tint = 100; // to draw with, in %

const drawing = () => store.state.view === "drawn";

// fits tells whether the plates that were measured are for this press.
export const fits = () => !drawing() || [...sizes.values()].every((size) => same(size, sizeOf(plate(""))));

/** @param {Plate} plate */
const sizeOf = ({ width_mm, height_mm }) => [width_mm, height_mm];

// plate is an ink's: a little narrower than the fountain and as long as the press
// prints.
/** @type {(ink: string) => Plate} */
function plate(ink) {
  const press = store.press();
  return {
    width_mm: Math.max(1, Math.floor(press.zones * press.zone_width_mm * 0.96)),
    height_mm: press.print_length_mm || 457, ink,
    shapes: store.state.shapes.filter((s) => store.inkOf(s) === ink).map(({ x, y, w, h, tint: of }) => ({ x, y, w, h, tint: of })),
  };
}

export function make() {
  $("prepared").append(...store.offer.forms.map((form) => el("button", { type: "button", "data-form": form.id, onclick: () => pick(form) }, form.title)));
  for (const button of $$("[data-tint]")) {
    button.addEventListener("click", () => { $("tint").value = button.dataset.tint; tinted(); });
  }
  $("tint").addEventListener("change", tinted);
  $("shape-clear").addEventListener("click", () => {
    const ink = inkAtHand();
    shapes.change((list) => list.splice(0, list.length, ...list.filter((s) => store.inkOf(s) !== ink)));
  });
  $("drawn-save").addEventListener("click", save);
  $("ink-add").addEventListener("click", addInk);
  $("ink-remove").addEventListener("click", removeInk);
  shapes.watch();
  tints();
}

// inThis is how a shape says that it is of the ink at hand: of the first of all inks
// it says nothing, so that a prepared form stays what it is.
export const inThis = () => (inkAtHand() === store.state.inks[0] ? {} : { ink: inkAtHand() });

// inkAtHand is the ink that shapes are drawn in: the one that is seen, or was last.
export const inkAtHand = () => store.unit()?.ink ?? store.state.inks[0];

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

// pick begins the plate of the ink at hand with a prepared form.
/** @param {PreparedForm} form */
function pick(form) {
  const ink = inkAtHand();
  shapes.change((list) => list.splice(0, list.length, ...list.filter((s) => store.inkOf(s) !== ink), ...copy(form.shapes).map((s) => ({ ...s, ...inThis() }))));
}

function addInk() {
  const field = $("ink-new"), name = field.value.trim();
  if (!name) return void field.focus();
  const free = store.freeName(name);
  store.change((state) => { state.inks.push(free); });
  field.value = "";
  say($("paint-said"), `${free} has a plate of its own now.`);
}

function removeInk() {
  const ink = inkAtHand();
  shapes.letGo();
  store.change((state) => {
    state.shapes = state.shapes.filter((s) => store.inkOf(s) !== ink);
    state.inks = state.inks.filter((name) => name !== ink);
    state.views.drawn.units = state.views.drawn.units.filter((u) => u.ink !== ink);
    state.unit = 0;
    state.all &&= state.inks.length > 1;
  });
  say($("paint-said"), `${ink} is taken out; Undo brings it back.`);
}

// measure has the plates measured anew that are not those the server holds.
export async function measure() {
  if (!drawing() || busy) return;
  forget();
  const ink = store.state.inks.find((name) => posted.get(name) !== JSON.stringify(plate(name)));
  if (ink === undefined) return;
  const wanted = plate(ink);
  busy = true;
  posted.set(ink, JSON.stringify(wanted));
  try {
    const separation = await api.draw(wanted, store.revision);
    sizes.set(ink, sizeOf(wanted));
    errors.delete(ink);
    adopt(separation, ink);
  } catch (e) {
    errors.set(ink, e);
  }
  error = [...errors.values()][0] ?? null;
  busy = false;
  await measure();
}

// forget drops what is known of inks that are there no more.
function forget() {
  for (const list of [posted, sizes, errors]) {
    for (const ink of [...list.keys()]) if (!store.state.inks.includes(ink)) list.delete(ink);
  }
  error = [...errors.values()][0] ?? null;
}

// again has the plates measured although they did not change: the server lost them.
export async function again() {
  posted.clear();
  await measure();
  if (!error) compute.again(); // they may bear the names that they had
}

async function save() {
  try {
    const { blob, name } = await api.drawn(store.unit().separation);
    download(blob, name);
  } catch (e) {
    say($("paint-said"), `Not saved. ${e.message}`);
  }
}

/** @type {(separation: Separation, ink: string) => void} */
function adopt(separation, ink) {
  store.derive((state) => {
    const units = state.views.drawn.units, unit = units.find((u) => u.ink === ink);
    if (unit && unit.separation !== separation.id && !units.some((u) => u !== unit && u.separation === unit.separation)) delete state.separations[unit.separation];
    state.separations[separation.id] = separation;
    if (unit) unit.separation = separation.id;
    else if (state.inks.includes(ink)) units.push({ ...store.newUnit(separation), ink });
  });
}

export function draw() {
  const on = drawing() && !store.state.trial;
  $("paint-part").hidden = !on;
  $("bench").classList.toggle("painting", on);
  if (!on) return;
  $("drawn-save").disabled = !store.unit();
  $("ink-remove").disabled = store.state.inks.length < 2;
  write($("ink-remove"), store.state.inks.length < 2 ? "Take this ink out" : `Take ${inkAtHand()} out`);
}
