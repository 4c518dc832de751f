// The relation: how wide a key opens for what its zone is covered, with one dot
// a zone. Its points are dragged, or moved by the arrow keys; they are held
// between their neighbours, so that a curve cannot fall.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import * as lesson from "./lesson.js";
import { $, svg, put, write, say, show, amount, clamp, round, eachFrame, stroke, hold, inStroke } from "./dom.js";
import { light, mark } from "./link.js";
import { extent } from "./plan.js";

/** @import { Key, PresetUnit, Relation } from "./types.js" */

// Both scales are those of square roots: where most zones stand, in the tenth at
// the low end, dots lie apart, and what is in proportion is a straight line still.
const W = 420, H = 340, L = 58, R = 14, T = 22, B = 42;
const root = (v) => Math.sign(v) * Math.sqrt(Math.abs(v) / 100), square = (v) => Math.sign(v) * v * v * 100;
const X = (c) => L + root(c) * (W - L - R);
const Y = (o) => H - B - root(o) * (H - T - B);
const TICKS = [0, 2, 5, 10, 20, 40, 60, 80, 100];
const APART = 0.1; // least step between two points' coverages

let last = 0; // the point last touched
const chosen = () => clamp(last, 0, points().length - 1); // some curves have fewer
const parts = {};

export function make() {
  const drawing = svg("svg", { id: "relation", viewBox: `0 0 ${W} ${H}`, role: "group", "aria-label": "Curve: opening of a key by the coverage of its zone" });
  drawing.append(grid());
  for (const name of ["now", "drawn", "guide"]) drawing.append((parts[name] = svg("path", { class: `curve-${name}` })));
  drawing.append((parts.names = svg("g", { class: "curve-names", "aria-hidden": "true" })), (parts.dots = svg("g")), (parts.points = svg("g")));
  for (const name of ["tag", "times", "hand"]) drawing.append((parts[name] = svg("text", { class: "flag", "aria-hidden": "true" })));
  $("curve").replaceChildren(drawing);
  parts.root = drawing;
  drawing.addEventListener("pointerdown", grab);
  drawing.addEventListener("dblclick", addHere);
  hold(drawing, (finger) => nearest(finger, reach("touch")) >= 0);
  drawing.addEventListener("keydown", keyed);
  $("point-add").addEventListener("click", () => addAfter(chosen()));
  $("point-remove").addEventListener("click", () => remove(chosen()));
}

function grid() {
  const g = svg("g", { class: "grid" });
  for (const v of TICKS) {
    g.append(svg("path", { d: `M${X(v)} ${Y(0)}V${Y(100)}M${X(0)} ${Y(v)}H${X(100)}` }));
    g.append(label(X(v), Y(0) + 15, "middle", v), label(X(0) - 6, Y(v) + 4, "end", v));
  }
  g.append(label((X(0) + X(100)) / 2, H - 6, "middle", "covered, % of the zone"));
  const up = label(13, (Y(0) + Y(100)) / 2, "middle", "opening of the key, %");
  put(up, { transform: `rotate(-90 13 ${(Y(0) + Y(100)) / 2})` });
  g.append(up);
  return g;
}

function label(x, y, anchor, text) {
  const t = svg("text", { x, y, "text-anchor": anchor });
  t.textContent = text;
  return t;
}

const points = () => store.unit().curve.points;

export function draw() {
  const unit = store.unit(), found = compute.unit();
  $("curve-part").hidden = !unit;
  if (!unit) return;
  handles();
  if (!found || compute.error) return empty();
  const times = found.reference_sweep / found.sweep, same = Math.abs(times - 1) < 1e-9;
  put(parts.drawn, { d: path(found.curve_pct, 1) });
  const hide = store.state.trial !== null;
  put(parts.now, { d: hide || same ? "" : path(found.curve_pct, times) });
  names(found, times, hide || same);
  said(found, hide);
  dots(hide ? [] : found.keys);
  guide(hide ? null : found, times);
  mark();
}

// path is the curve at so many times its openings: between the whole per cents that
// the server answers, where the scale is wide, in quarters.
/** @type {(curve: number[], times: number) => string} */
function path(curve, times) {
  let d = "";
  for (let c = 0; c <= 100; c += c < 10 ? 0.25 : 1) d += `${d ? "L" : "M"}${X(c).toFixed(1)} ${Y(Math.min(on(curve, c) * times, 100)).toFixed(1)}`;
  return d;
}

/** @type {(curve: number[], c: number) => number} */
const on = (curve, c) => curve[Math.floor(c)] + (curve[Math.min(Math.floor(c) + 1, 100)] - curve[Math.floor(c)]) * (c % 1);

// names writes each line's name on it: of two, the upper's above and the lower's below.
/** @type {(found: Relation & PresetUnit, times: number, one: boolean) => void} */
function names(found, times, one) {
  const unit = compute.result.preset.press.sweep_unit, at = (v) => Y(Math.min(found.curve_pct[100] * v, 100));
  const line = (v, name, above) => {
    const from = clamp(square((X(100) - 2 - 12 * extent(name).width - L) / (W - L - R)), 0, 100); // the line is lowest where the name begins
    return label(X(100) - 2, above ? Math.max(at(v) - 8, T - 8) : Y(Math.min(on(found.curve_pct, from) * v, 100)) + 18, "end", name);
  };
  const list = [line(1, `the curve, at sweep ${amount(found.reference_sweep, unit)}`, one || times < 1)];
  if (!one) list.push(line(times, `at sweep ${amount(found.sweep, unit)}`, times > 1));
  parts.names.replaceChildren(...list);
}

// empty shows the points alone: what is known is of another state.
function empty() {
  for (const name of ["drawn", "now"]) put(parts[name], { d: "" });
  write($("curve-said"), "");
  parts.names.replaceChildren();
  dots([]);
  guide(null, 1);
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

// guide leads the lit zone up to the curve at the curve's own sweep, from there by
// the sweeps' ratio, and on to where a limit holds the key; then across to its scale.
/** @type {(found: (Relation & PresetUnit) | null, times: number) => void} */
function guide(found, times) {
  put(parts.guide, { d: "" });
  for (const name of ["tag", "times"]) write(parts[name], "");
  const key = found?.keys[store.state.lit - 1];
  if (!key) return;
  const up = lesson.phase(0.5, 0.75), turned = lesson.phase(0.75, 0.95), across = lesson.phase(0.9, 1);
  const x = X(clamp(key.coverage_pct ?? 0, 0, 100)), off = key.state === "off-sheet", wanted = found.wanted_pct[key.zone - 1];
  const curve = off ? 0 : Y(clamp(wanted / times, 0, 100)), y = Y(clamp(key.opening_pct, 0, 100));
  const from = off ? Y(0) : Y(0) + (curve - Y(0)) * up, to = off ? y : from + (y - curve) * turned;
  const tick = off ? "" : `M${x - 5} ${from}h10`;
  put(parts.guide, { d: `M${x} ${Y(0)}V${from}V${to}H${x + (X(0) - x) * across}${tick}` });
  const right = x > W - 190;
  const beside = (node, ny, text) => {
    put(node, { x: right ? x - 10 : x + 10, y: ny, "text-anchor": right ? "end" : "start" });
    write(node, text);
  };
  const stepped = !off && Math.abs(times - 1) >= 1e-9 && turned > 0;
  if (stepped) beside(parts.times, clamp((from + to) / 2 + 5, T + 12, Y(0) - 4), `× ${round(found.reference_sweep, 2)} ÷ ${round(found.sweep, 2)}`);
  const above = to > T + 26 && (!stepped || to <= from);
  beside(parts.tag, clamp(above ? to - 10 : to + 20, T - 6, Y(0) - 4), `zone ${key.zone}${across === 1 ? `: ${show(key.coverage_pct)} → ${show(key.opening_pct)} %` : ""}`);
}

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
    class: i === now ? "point chosen" : "point",
    "aria-label": `Curve point ${i + 1} of ${list.length}`, "aria-valuenow": o, "aria-valuetext": `covered ${c} %, opening ${o} %`,
  }));
  atHand(list.length && parts.root.contains(document.activeElement) || pulled >= 0 ? now : -1);
  $("point-remove").disabled = list.length <= 2;
}

let pulled = -1; // the point under the hand

function handle() {
  const g = svg("g", { role: "slider", tabindex: 0, "aria-valuemin": 0, "aria-valuemax": 100, "aria-orientation": "vertical" },
    svg("circle", { r: 13, class: "reach" }), svg("rect", { x: -5, y: -5, width: 10, height: 10, transform: "rotate(45)" }));
  g.addEventListener("focus", () => {
    choose(Number(g.dataset.point));
    atHand(chosen());
  });
  g.addEventListener("blur", () => atHand(-1));
  return g;
}

function choose(i) {
  last = i;
  for (const g of parts.points.children) g.classList.toggle("chosen", Number(g.dataset.point) === i);
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

/** @type {(at: number[]) => number[]} */
const valuesAt = ([x, y]) => [square((x - L) / (W - L - R)), square((H - B - y) / (H - T - B))];

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
  const along = compute.unit()?.curve_pct;
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
  const i = Number(g.dataset.point), [c, o] = points()[i];
  const step = event.shiftKey ? 0.1 : 1;
  const to = {
    ArrowUp: [c, o + step], ArrowDown: [c, o - step], ArrowLeft: [c - step, o], ArrowRight: [c + step, o],
    PageUp: [c, o + 5], PageDown: [c, o - 5],
  }[event.key];
  if (to) {
    bench.remember(`arrow ${i}`);
    move(i, ...to, `arrow ${i}`);
  } else if (event.key === "Delete" || event.key === "Backspace") remove(i);
  else if (event.key === "Insert" || event.key === "+") addAfter(i);
  else return;
  event.preventDefault();
}
