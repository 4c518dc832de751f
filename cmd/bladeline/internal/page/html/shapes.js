// Shapes by hand: pulled up on the plate, taken hold of by a click, and then moved,
// or resized by a corner.

import * as store from "./state.js";
import * as bench from "./bench.js";
import * as paint from "./paint.js";
import { $, clamp, round, copy, eachFrame, stroke, hold } from "./dom.js";

/** @import { DrawnShape } from "./state.js" */
/** @import { Shape } from "./types.js" */

export const THINNEST = 0.002; // of the plate's side: what a shape is at least
const NEAR = { mouse: 9, touch: 22 }; // px from a corner at which it is taken

export let chosen = -1; // the shape that is taken hold of
let drawn = -1; // the one that was drawn last, while none is taken hold of
/** @param {number} i */
export const choose = (i) => {
  chosen = i < store.state.shapes.length ? i : -1;
  if (chosen >= 0 || drawn >= store.state.shapes.length) drawn = -1;
};
export const letGo = () => choose(-1);

// atHand is the shape that is copied or removed: the one held, else the one just drawn.
export const atHand = () => (chosen >= 0 ? chosen : drawn);

/** @type {(mutate: (shapes: DrawnShape[]) => void, merge?: string | null) => void} */
export function change(mutate, merge = null) {
  store.change((state) => mutate(state.shapes), merge);
  choose(chosen);
}

const painting = () => store.state.view === "drawn" && !store.state.trial && bench.layout;

// seen are the shapes of the inks that are seen, by number.
/** @type {() => number[]} */
export const seen = () => store.state.shapes.flatMap((s, i) => (store.state.all || store.inkOf(s) === paint.inkAtHand() ? [i] : []));

export function watch() {
  $("bench").addEventListener("pointerdown", begin);
  hold($("bench"), (finger) => painting() && !finger.target.closest(".grip") && at(bench.spot(finger)) !== null);
  document.addEventListener("keydown", keyed);
}

function keyed(event) {
  if (!painting() || chosen < 0 || event.target.matches("input, select, [data-point]")) return;
  if (event.key === "Delete" || event.key === "Backspace") remove(chosen);
  else if (event.key === "Escape") look(-1);
}

// look takes hold of another shape, of which there is nothing to take back.
/** @param {number} i */
export const look = (i) => store.look(() => {
  drawn = -1;
  choose(i);
});

// begin pulls a corner of the shape that is held, or the shape, or a new one. What
// is pulled is as large as the pointer went, though the page moves meanwhile.
function begin(event) {
  if (!painting() || event.button) return;
  const first = bench.spot(event), start = at(first) ?? (corner(first, event.pointerType) && at(first, true));
  if (!start) return;
  const { scale } = bench.layout;
  const end = (e) => at({ x: first.x + (e.clientX - event.clientX) / scale, y: first.y + (e.clientY - event.clientY) / scale }, true);
  const act = held(start, first, event.pointerType) ?? fresh(start);
  let moved = false;
  const word = `shape ${performance.now()}`;
  const follow = eachFrame((e) => {
    moved ||= Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) > 3;
    if (moved) act(end(e), word);
  });
  stroke($("bench"), event, follow.call, () => {
    follow.end();
    store.closeEdit();
    if (!moved) look(under(start));
  });
}

// held is what a pull does to the shape that is held, if it begins on it.
/** @type {(start: number[], first: any, pointer: string) => ((to: number[], word: string) => void) | null} */
function held(start, first, pointer) {
  const was = copy(store.state.shapes[chosen] ?? null), i = chosen;
  if (!was) return null;
  const far = corner(first, pointer); // the one that stays
  if (far) return (to, word) => change((list) => { Object.assign(list[i], between(far, to)); }, word);
  if (!over(was, start)) return null;
  return (to, word) => change((list) => {
    list[i].x = round(clamp(was.x + to[0] - start[0], 0, 1 - was.w), 4);
    list[i].y = round(clamp(was.y + to[1] - start[1], 0, 1 - was.h), 4);
  }, word);
}

// corner is the one opposite to the corner of the held shape that is near, or null.
function corner({ x, y }, pointer) {
  const s = store.state.shapes[chosen], f = bench.layout.form;
  if (!s || !seen().includes(chosen)) return null;
  for (const u of [0, 1]) {
    for (const v of [0, 1]) {
      const px = f.left + (s.x + u * s.w) * f.width, py = f.top + (1 - s.y - v * s.h) * f.height;
      if (Math.hypot(px - x, py - y) <= (NEAR[pointer] ?? NEAR.mouse)) return [s.x + (1 - u) * s.w, s.y + (1 - v) * s.h];
    }
  }
  return null;
}

/** @param {number[]} start */
function fresh(start) {
  const n = store.state.shapes.length, ink = paint.inThis();
  return (to, word) => {
    letGo(); // so that the next pull is a new one, too
    drawn = n;
    change((list) => { list[n] = { ...between(start, to), tint: paint.tint, ...ink }; }, word);
  };
}

/** @type {(s: Shape, place: number[]) => boolean} */
const over = (s, [u, v]) => u >= s.x && u <= s.x + s.w && v >= s.y && v <= s.y + s.h;

// under is the topmost shape that is seen at a place, or -1.
/** @param {number[]} place */
const under = (place) => seen().findLast((i) => over(store.state.shapes[i], place)) ?? -1;

// at is a place on the plate in parts of its sides, from its left and lead
// edge; null beside it, unless it is to be the nearest on it.
function at({ x, y }, onPlate = false) {
  const f = bench.layout.form;
  const u = (x - f.left) / f.width, v = 1 - (y - f.top) / f.height;
  if (!onPlate && (u < 0 || u > 1 || v < 0 || v > 1)) return null;
  return [clamp(u, 0, 1), clamp(v, 0, 1)];
}

/** @type {(a: number[], b: number[]) => { x: number, y: number, w: number, h: number }} */
const between = (a, b) => ({
  x: round(Math.min(a[0], b[0]), 3), y: round(Math.min(a[1], b[1]), 3),
  w: Math.max(THINNEST, round(Math.abs(a[0] - b[0]), 3)), h: Math.max(THINNEST, round(Math.abs(a[1] - b[1]), 3)),
});

// duplicate puts a copy of a shape a little to the right of it and nearer to the
// tail, and takes hold of it.
/** @param {number} i */
export function duplicate(i) {
  const n = store.state.shapes.length;
  change((list) => {
    const s = copy(list[i]);
    list.push({ ...s, x: round(Math.min(s.x + 0.03, 1 - s.w), 4), y: round(Math.min(s.y + 0.03, 1 - s.h), 4) });
  });
  look(n);
}

/** @param {number} i */
export function remove(i) {
  letGo();
  drawn = -1;
  change((list) => list.splice(i, 1));
}
