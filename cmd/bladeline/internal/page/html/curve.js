// The relation: how wide a key opens for what its zone is covered, with one dot
// a zone. Its points are dragged, or moved by the arrow keys; they are held
// between their neighbours, so that a curve cannot fall.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, svg, put, write, say, amount, clamp, round, eachFrame, stroke, hold, inStroke } from "./dom.js";
import { light, mark } from "./link.js";
import { keyStates } from "./plan.js";

/** @import { Key, PresetUnit, Relation } from "./types.js" */

const W = 420, H = 316, L = 40, R = 12, T = 14, B = 38;
const X = (c) => L + (c / 100) * (W - L - R);
const Y = (o) => H - B - (o / 100) * (H - T - B);
const APART = 0.1; // least step between two points' coverages

let last = 0; // the point last touched
const chosen = () => clamp(last, 0, points().length - 1); // some curves have fewer
const parts = {};

export function make() {
  const root = svg("svg", { id: "relation", viewBox: `0 0 ${W} ${H}`, role: "group", "aria-label": "Curve: opening of a key by the coverage of its zone" });
  root.append(grid());
  for (const name of ["now", "drawn", "guide"]) root.append((parts[name] = svg("path", { class: `curve-${name}` })));
  root.append((parts.dots = svg("g")), (parts.points = svg("g")), (parts.tag = svg("text", { class: "flag" })));
  $("curve").replaceChildren(root);
  parts.root = root;
  root.addEventListener("pointerdown", grab);
  root.addEventListener("dblclick", addHere);
  hold(root, (finger) => nearest(finger, reach("touch")) >= 0);
  root.addEventListener("keydown", keyed);
  $("point-add").addEventListener("click", () => addAfter(chosen()));
  $("point-remove").addEventListener("click", () => remove(chosen()));
}

function grid() {
  const g = svg("g", { class: "grid" });
  for (let v = 0; v <= 100; v += 20) {
    g.append(svg("path", { d: `M${X(v)} ${Y(0)}V${Y(100)}M${X(0)} ${Y(v)}H${X(100)}` }));
    g.append(label(X(v), Y(0) + 15, "middle", v), label(X(0) - 6, Y(v) + 4, "end", v));
  }
  g.append(label((X(0) + X(100)) / 2, H - 4, "middle", "covered, % of the zone"));
  const up = label(11, (Y(0) + Y(100)) / 2, "middle", "opening of the key, %");
  put(up, { transform: `rotate(-90 11 ${(Y(0) + Y(100)) / 2})` });
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
  const path = (times) => found.curve_pct.map((o, c) => `${c ? "L" : "M"}${X(c).toFixed(1)} ${Y(Math.min(o * times, 100)).toFixed(1)}`).join("");
  const times = found.reference_sweep / found.sweep;
  put(parts.drawn, { d: path(1) });
  const hide = store.state.trial !== null;
  put(parts.now, { d: hide || Math.abs(times - 1) < 1e-9 ? "" : path(times) });
  said(found, times, hide);
  dots(hide ? [] : found.keys);
  guide(hide ? null : found.keys[store.state.lit - 1]);
  mark();
}

// empty shows the points alone: what is known is of another state.
function empty() {
  for (const name of ["drawn", "now"]) put(parts[name], { d: "" });
  write($("curve-said"), "");
  dots([]);
  guide(null);
}

// said names the lines and the dots.
/** @type {(found: Relation & PresetUnit, times: number, hide: boolean) => void} */
function said(found, times, hide) {
  const sweepUnit = compute.result.preset.press.sweep_unit;
  const list = [`thick: the curve, at sweep ${amount(found.reference_sweep, sweepUnit)}`];
  if (!hide && Math.abs(times - 1) >= 1e-9) list.push(`dashed: the same ink at sweep ${amount(found.sweep, sweepUnit)}`);
  if (!hide) list.push(`dots: the zones' keys as they stand${found.keys.some((k) => k.state !== "set") ? ", squares where a limit holds them" : ""}`);
  write($("curve-said"), `${list.join("; ")}.`);
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

// guide leads the lit zone's dot to both scales.
/** @param {Key | null} key */
function guide(key) {
  put(parts.guide, { d: "" });
  write(parts.tag, "");
  if (!key) return;
  const x = X(clamp(key.coverage_pct ?? 0, 0, 100)), y = Y(clamp(key.opening_pct, 0, 100));
  put(parts.guide, { d: `M${x} ${Y(0)}V${y}H${X(0)}` });
  const right = x > W - 90;
  put(parts.tag, { x: right ? x - 10 : x + 10, y: y < 40 ? y + 22 : y - 10, "text-anchor": right ? "end" : "start" });
  write(parts.tag, `zone ${key.zone}${key.state === "set" ? "" : ` ${keyStates[key.state]?.sign ?? ""}`}`);
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
  $("point-remove").disabled = list.length <= 2;
}

function handle() {
  const g = svg("g", { role: "slider", tabindex: 0, "aria-valuemin": 0, "aria-valuemax": 100, "aria-orientation": "vertical" },
    svg("circle", { r: 13, class: "reach" }), svg("rect", { x: -5, y: -5, width: 10, height: 10, transform: "rotate(45)" }));
  g.addEventListener("focus", () => choose(Number(g.dataset.point)));
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
  const box = parts.root.getBoundingClientRect(), scale = box.width / W, [c, o] = spot(event);
  const away = points().map((p) => Math.hypot(X(p[0]) - X(c), Y(p[1]) - Y(o)) * scale);
  const least = Math.min(...away);
  return least <= px ? away.indexOf(least) : -1;
}

// grab takes a point, which keeps its distance to the pointer. One that is let
// go where it was taken was only touched: then the zone whose dot lies there is
// lit.
function grab(event) {
  const i = event.button ? -1 : nearest(event, reach(event.pointerType));
  if (i < 0) return;
  const g = parts.points.children[i], from = spot(event), at = points()[i];
  const to = (e) => spot(e).map((v, n) => at[n] + v - from[n]);
  let pulled = false;
  const follow = eachFrame((e) => {
    pulled ||= Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) > 3;
    if (pulled) move(i, ...to(e), `drag ${i}`);
  });
  const begun = stroke(g, event, follow.call, () => {
    follow.end();
    store.closeEdit();
    if (!pulled) touched(event);
  });
  if (!begun) return;
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

function spot(event) {
  const m = parts.root.getScreenCTM().inverse();
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(m);
  return [((x - L) / (W - L - R)) * 100, ((H - B - y) / (H - T - B)) * 100];
}

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
  const o = along ? along[Math.floor(c)] + (along[Math.min(Math.floor(c) + 1, 100)] - along[Math.floor(c)]) * (c % 1) : (list[at][1] + list[at + 1][1]) / 2;
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
