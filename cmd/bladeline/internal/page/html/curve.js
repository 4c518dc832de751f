// The relation: how wide a key opens for what its zone is covered, with one dot
// a zone. Its points are dragged, or chosen by the arrow keys and moved by them once one
// is taken hold of; they are held between their neighbours, so that a curve cannot fall.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import * as guide from "./guide.js";
import { $, svg, put, write, say, clamp, round, eachFrame, stroke, hold, inStroke } from "./dom.js";
import { light, mark } from "./link.js";
import { W, H, T, X, Y, grid, on, path, valuesAt } from "./plot.js";

/** @import { Key, PresetUnit, Relation } from "./types.js" */

const APART = 0.1; // least step between two points' coverages

let last = 0; // the point last touched
const chosen = () => clamp(last, 0, points().length - 1); // some curves have fewer
const parts = {};

export function make() {
  const drawing = svg("svg", { id: "relation", viewBox: `0 0 ${W} ${H}`, role: "group", "aria-label": "Curve: opening of a key by the coverage of its zone" });
  drawing.append(grid());
  for (const name of ["now", "drawn"]) drawing.append((parts[name] = svg("path", { class: `curve-${name}` })));
  const { path: way, names, tag, times } = (parts.guide = guide.make());
  parts.hand = svg("text", { class: "flag", "aria-hidden": "true" });
  drawing.append(way, names, (parts.dots = svg("g")), (parts.points = svg("g", { role: "listbox", "aria-orientation": "horizontal", "aria-label": "Points of the curve" })), tag, times, parts.hand);
  $("curve").replaceChildren(drawing);
  parts.root = drawing;
  drawing.addEventListener("pointerdown", grab);
  drawing.addEventListener("dblclick", addHere);
  hold(drawing, (finger) => nearest(finger, reach("touch")) >= 0);
  drawing.addEventListener("keydown", keyed);
  $("point-add").addEventListener("click", () => addAfter(chosen()));
  $("point-remove").addEventListener("click", () => remove(chosen()));
}

const points = () => store.unit().curve.points;

export function draw() {
  const unit = store.unit(), found = compute.unit();
  $("curve-part").hidden = !unit;
  if (!unit) return;
  handles();
  if (!found || compute.error && !compute.isLost()) return empty();
  const times = found.reference_sweep / found.sweep, same = Math.abs(times - 1) < 1e-9;
  put(parts.drawn, { d: path(found.curve_pct, 1) });
  const hide = store.state.trial !== null;
  put(parts.now, { d: hide || same ? "" : path(found.curve_pct, times) });
  guide.names(parts.guide, found, times, hide || same);
  said(found, hide);
  dots(hide ? [] : found.keys);
  guide.draw(parts.guide, hide ? null : found, times);
  if (parts.hand.textContent) write(parts.guide.tag, ""); // which would lie across it
  mark();
}

// empty shows no keys, as what is known of them is of another state or nothing; of an
// ink that does not fit its curve all the same.
function empty() {
  const known = compute.misfitCurve();
  put(parts.drawn, { d: known ? path(known.curve_pct, 1) : "" });
  put(parts.now, { d: "" });
  write($("curve-said"), "");
  if (known) guide.names(parts.guide, known, 1, true);
  else parts.guide.names.replaceChildren();
  dots([]);
  guide.draw(parts.guide, null, 1);
}

// said names the dots.
/** @type {(found: Relation & PresetUnit, hide: boolean) => void} */
function said(found, hide) {
  write($("curve-said"), hide ? "" : `Dots: the zones' keys as they stand${found.keys.some((k) => k.state !== "set") ? ", squares where a limit holds them" : ""}.`);
}

/** @param {Key[]} keys */
function dots(keys) {
  while (parts.dots.children.length > keys.length) parts.dots.lastChild.remove();
  while (parts.dots.children.length < keys.length) parts.dots.append(svg("path", { class: "dot" }));
  keys.forEach((k, i) => put(parts.dots.children[i], {
    "data-zone": k.zone, class: k.state === "set" ? "dot" : "dot held",
    d: shape(X(clamp(k.coverage_pct ?? 0, 0, 100)), Y(clamp(k.opening_pct, 0, 100)), k.state !== "set"),
  }));
}

// shape is a disc, or a square where a limit holds the key.
const shape = (x, y, square, r = 4) => square
  ? `M${x - r} ${y - r}h${2 * r}v${2 * r}h${-2 * r}Z`
  : `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;

// atHand writes a point's values at the hand that pulls it.
/** @param {number} i */
function atHand(i) {
  const at = points()[i];
  write(parts.hand, at ? `${round(at[0], 2)} → ${round(at[1], 2)} %` : "");
  if (!at) return;
  const x = X(at[0]), right = x > W - 120;
  put(parts.hand, { x: right ? x - 16 : x + 16, y: clamp(Y(at[1]) - 14, T, Y(0) - 4), "text-anchor": right ? "end" : "start" });
}

function handles() {
  const list = points(), now = chosen();
  while (parts.points.children.length > list.length) parts.points.lastChild.remove();
  while (parts.points.children.length < list.length) parts.points.append(handle());
  list.forEach(([c, o], i) => put(parts.points.children[i], {
    transform: `translate(${X(c).toFixed(2)} ${Y(o).toFixed(2)})`, "data-point": i,
    "aria-label": `Point ${i + 1} of ${list.length}: covered ${c} %, opening ${o} %`,
  }));
  stopAt(now);
  atHand(list.length && byKeys() || pulled >= 0 ? now : -1);
  $("point-remove").disabled = list.length <= 2;
}

let pulled = -1; // the point under the hand
const byKeys = () => parts.root.querySelector(".point:focus-visible") !== null;

function handle() {
  const g = svg("g", { role: "option", class: "point" },
    svg("circle", { r: 13, class: "reach" }), svg("rect", { x: -5, y: -5, width: 10, height: 10, transform: "rotate(45)" }));
  g.addEventListener("focus", () => {
    choose(Number(g.dataset.point));
    atHand(byKeys() ? chosen() : -1);
  });
  g.addEventListener("blur", () => {
    atHand(-1);
    takeHold(false);
  });
  return g;
}

/** @param {number} i */
function choose(i) {
  last = i;
  stopAt(i);
}

// stopAt makes a point the one that a Tab comes to; none is while keys are set by eye.
/** @param {number} i */
function stopAt(i) {
  for (const g of parts.points.children) {
    const is = Number(g.dataset.point) === i;
    put(g, { class: is ? held ? "point chosen held" : "point chosen" : "point", "aria-selected": is, tabindex: is && !store.state.trial ? 0 : -1 });
  }
}

let held = false; // whether the arrow keys move the chosen point, and do not choose another

/** @param {boolean} on */
function takeHold(on) {
  if (held === on) return;
  held = on;
  store.closeEdit(); // what is moved while it is held is taken back together
  stopAt(chosen());
  write($("point-held"), on ? `Point ${chosen() + 1} is held: the arrow keys move it, finer with Shift. Enter or Escape lets it go.` : "");
}

// reach is how far from its middle a point is taken, in px: by finger farther.
const reach = (pointer) => (pointer === "touch" ? 24 : 14);

// nearest is the point within so many px, or -1: where points stand close, the
// one that is meant is not always the one that lies on top.
function nearest(event, px) {
  const box = parts.root.getBoundingClientRect(), scale = box.width / W, [x, y] = place(event);
  const away = points().map((p) => Math.hypot(X(p[0]) - x, Y(p[1]) - y) * scale);
  const least = Math.min(...away);
  return least <= px ? away.indexOf(least) : -1;
}

// grab takes a point, which keeps its distance to the pointer. One that is let
// go where it was taken was only touched: then the zone whose dot lies there is
// lit.
function grab(event) {
  const i = event.button ? -1 : nearest(event, reach(event.pointerType));
  if (i < 0) return;
  const g = parts.points.children[i], from = place(event), at = [X(points()[i][0]), Y(points()[i][1])];
  const to = (e) => valuesAt(place(e).map((v, n) => at[n] + v - from[n]));
  let moved = false;
  const follow = eachFrame((e) => {
    moved ||= Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) > 3;
    if (moved) move(i, ...to(e), `drag ${i}`);
  });
  const begun = stroke(g, event, follow.call, () => {
    follow.end();
    pulled = -1;
    store.closeEdit();
    store.letSweepGo();
    atHand(-1);
    if (!moved) touched(event);
  });
  if (!begun) return;
  pulled = i;
  const now = compute.unit();
  if (now && !compute.error) store.holdSweep(now.sweep);
  g.focus({ preventScroll: true });
  bench.remember();
}

function touched(event) {
  const near = [...parts.dots.children].map((dot) => {
    const box = dot.getBoundingClientRect();
    return [Math.hypot(box.x + box.width / 2 - event.clientX, box.y + box.height / 2 - event.clientY), dot];
  }).filter(([away]) => away <= reach(event.pointerType) / 2).sort((a, b) => a[0] - b[0]);
  if (near.length) light(Number(near[0][1].dataset.zone));
}

// place is where on the drawing a pointer is.
function place(event) {
  const m = parts.root.getScreenCTM().inverse();
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(m);
  return [x, y];
}

const spot = (event) => valuesAt(place(event));

// move puts a point where it is wanted, held between its neighbours. It
// answers where it came to stand. The ends stay at their coverage.
export function move(i, c, o, merge = null, digits = 1) {
  const list = points(), exact = (v, n) => (v === list[i][n] ? v : round(v, digits)); // what is not moved stays
  const before = list[i - 1], after = list[i + 1];
  const fixed = !before && list[i][0] === 0 || !after && list[i][0] === 100;
  const at = [
    fixed ? list[i][0] : exact(clamp(c, before ? before[0] + APART : 0, after ? after[0] - APART : 100), 0),
    exact(clamp(o, before ? before[1] : 0, after ? after[1] : 100), 1),
  ];
  store.change(() => { points()[i] = at; }, merge);
  return at;
}

export function add(c, o) {
  const list = points();
  const i = list.findIndex((p) => p[0] > c);
  const at = i < 0 ? list.length : i;
  const before = list[at - 1], after = list[at];
  if ((before && c - before[0] < APART) || (after && after[0] - c < APART)) return say($("said"), "There is no room for a point here.");
  bench.remember();
  last = at;
  store.change(() => {
    points().splice(at, 0, [round(c), round(clamp(o, before ? before[1] : 0, after ? after[1] : 100))]);
  });
  parts.points.children[at]?.focus();
}

function addHere(event) {
  const [c, o] = spot(event), inside = (v) => v >= 0 && v <= 100;
  if (event.target.closest("[data-zone]") || nearest(event, 8) >= 0) return;
  if (inside(c) && inside(o)) add(round(c), o);
}

// addAfter puts a point on the curve, midway to the next.
function addAfter(i) {
  const list = points(), at = Math.min(i, list.length - 2);
  const c = round((list[at][0] + list[at + 1][0]) / 2);
  const along = (compute.unit() ?? compute.misfitCurve())?.curve_pct;
  const o = along ? on(along, c) : (list[at][1] + list[at + 1][1]) / 2;
  add(c, o);
}

export function remove(i) {
  if (points().length <= 2 || inStroke()) return;
  bench.remember();
  store.change(() => points().splice(i, 1));
  choose(clamp(i, 0, points().length - 1));
  parts.points.children[chosen()]?.focus();
}

function keyed(event) {
  const g = event.target.closest("[data-point]");
  if (!g || inStroke()) return;
  const i = Number(g.dataset.point), { key } = event;
  const other = { Enter: () => takeHold(!held), " ": () => takeHold(!held), Delete: () => remove(i), Backspace: () => remove(i), Insert: () => addAfter(i), "+": () => addAfter(i) }[key];
  if (key === "Escape" && held) takeHold(false);
  else if (other) other();
  else if (!(held ? pushed(i, event) : walked(i, key))) return;
  event.preventDefault();
}

// walked chooses another point, and answers whether a key says which.
/** @type {(i: number, key: string) => boolean} */
function walked(i, key) {
  const most = points().length - 1;
  const to = { ArrowLeft: i - 1, ArrowDown: i - 1, ArrowRight: i + 1, ArrowUp: i + 1, Home: 0, End: most }[key];
  if (to !== undefined) parts.points.children[clamp(to, 0, most)].focus();
  return to !== undefined;
}

// pushed moves the point that is held, and answers whether a key says where.
/** @type {(i: number, event: KeyboardEvent) => boolean} */
function pushed(i, { key, shiftKey }) {
  const [c, o] = points()[i], step = shiftKey ? 0.1 : 1;
  const to = {
    ArrowUp: [c, o + step], ArrowDown: [c, o - step], ArrowLeft: [c - step, o], ArrowRight: [c + step, o],
    PageUp: [c, o + 5], PageDown: [c, o - 5],
  }[key];
  if (!to) return false;
  bench.remember(`arrow ${i}`);
  const [covered, opening] = move(i, to[0], to[1], `arrow ${i}`);
  write($("point-held"), `Point ${i + 1} is held: covered ${covered} %, opening ${opening} %.`);
  return true;
}
