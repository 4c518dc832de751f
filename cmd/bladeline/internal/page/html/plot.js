// What the curve is plotted on: its scales, its grid, and lines on them.

import { svg, put } from "./dom.js";

// Both scales are those of square roots: where most zones stand, in the tenth at
// the low end, dots lie apart, and what is in proportion is a straight line still.
export const W = 420, H = 340, L = 58, R = 14, T = 22, B = 42;
const root = (v) => Math.sign(v) * Math.sqrt(Math.abs(v) / 100), square = (v) => Math.sign(v) * v * v * 100;
export const X = (c) => L + root(c) * (W - L - R);
export const Y = (o) => H - B - root(o) * (H - T - B);
const TICKS = [0, 2, 5, 10, 20, 40, 60, 80, 100];

// valuesAt are coverage and opening at a place on the plot.
/** @type {(at: number[]) => number[]} */
export const valuesAt = ([x, y]) => [square((x - L) / (W - L - R)), square((H - B - y) / (H - T - B))];

export function grid() {
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

export function label(x, y, anchor, text) {
  const t = svg("text", { x, y, "text-anchor": anchor });
  t.textContent = text;
  return t;
}

// path is the curve at so many times its openings: between the whole per cents that
// the server answers, where the scale is wide, in quarters.
/** @type {(curve: number[], times: number) => string} */
export function path(curve, times) {
  let d = "";
  for (let c = 0; c <= 100; c += c < 10 ? 0.25 : 1) d += `${d ? "L" : "M"}${X(c).toFixed(1)} ${Y(Math.min(on(curve, c) * times, 100)).toFixed(1)}`;
  return d;
}

/** @type {(curve: number[], c: number) => number} */
export const on = (curve, c) => curve[Math.floor(c)] + (curve[Math.min(Math.floor(c) + 1, 100)] - curve[Math.floor(c)]) * (c % 1);
