// Demand along the sheet: what the lit zone takes from lead edge to tail, beside
// the form, with the tenth of the length that is warned of and the take-off bar that
// is advised where they lie; and the zone's image gathered at the lead edge into a
// block of its area, which is the coverage.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as lesson from "./lesson.js";
import { svg, put, write, renew, show } from "./dom.js";
import { edges, extent } from "./plan.js";

/** @import { Along, Band } from "./types.js" */

const PAUSE = 120; // ms that a zone must stay lit, and its ink as it is

/** @type {{ of: string, zone: number, answer: Along } | null} */
let found = null;
let asked = "", timer = 0;
export let busy = false; // whether more is to come

// question is what is to be known of the lit zone, null where there is none.
function question() {
  const { lit, trial, unit } = store.state, { units, ...form } = store.sent();
  if (lit === null || trial || !compute.result || compute.error || !units[unit] || lit > compute.result.zones.length) return null;
  return { state: { ...form, units: [units[unit]] }, zone: lit };
}

// placeOf tells apart what is the same zone of the same form.
const placeOf = () => [store.state.view, store.unit()?.separation, store.state.lit].join();

// ask asks for the lit zone when it has stayed as it is for a while, and calls back
// when there is an answer.
/** @param {() => void} then */
export function ask(then) {
  const wanted = question(), text = JSON.stringify(wanted);
  if (text === asked) return;
  asked = text;
  clearTimeout(timer);
  busy = wanted !== null;
  if (!wanted) return;
  const { revision } = store, place = placeOf();
  timer = setTimeout(async () => {
    try {
      const answer = await api.along(wanted, revision);
      if (asked === text) found = { of: place, zone: wanted.zone, answer };
    } catch { /* the keys' own answer says what is wrong */ }
    if (asked !== text) return;
    busy = false;
    then();
  }, PAUSE);
}

export function make() {
  const g = svg("g", { class: "along" }), parts = { g, words: svg("g", { class: "small" }), gathered: svg("g") };
  for (const name of ["ground", "ink", "axis", "mean", "uneven", "bar"]) g.append((parts[name] = svg("path", { class: `along-${name}` })));
  g.append(parts.words, parts.gathered);
  return parts;
}

const WIDE = 72;

// known is what is known of the zone that is lit now.
export const known = () => (found && found.of === placeOf() && question() ? found.answer : null);

/** @type {(parts: any, layout: any) => void} */
export function draw(parts, { plan: p, result, top }) {
  const answer = known(), zone = result.zones[store.state.lit - 1];
  parts.g.classList.toggle("none", !answer || !zone);
  if (!answer || !zone) return;
  const [from, to] = edges(p, zone);
  const y = (mm) => top + p.form - (mm * p.form) / p.longest_mm;
  const left = p.beside ? p.right + 14 : (from + to) / 2 < (p.left + p.right) / 2 ? p.right - WIDE - 4 : p.left + 4;
  profile(parts, p, answer, left, y, top);
  places(parts, answer, left, [from, to], y);
  renew(parts.words, [left, top, p.form, answer, zone.zone], () => words(p, answer, zone.zone, left, y, top));
  gather(parts, answer, p, [from, to], y, compute.unit()?.keys[zone.zone - 1]?.coverage_pct);
}

const px = (v) => v.toFixed(1);
const box = (l, t, r, b) => `M${px(l)} ${px(t)}H${px(r)}V${px(b)}H${px(l)}Z`;

// profile is the ink of each band as a step from the left, its mean dashed.
/** @type {(parts: any, p: any, answer: Along, left: number, y: (mm: number) => number, top: number) => void} */
function profile(parts, p, { length_mm, bands_pct }, left, y, top) {
  const x = (pct) => left + (Math.min(pct, 100) / 100) * WIDE, n = bands_pct.length, at = (i) => y((i / n) * length_mm);
  put(parts.ground, { d: p.beside ? "" : box(left - 4, top, left + WIDE + 4, top + p.form) });
  put(parts.ink, { d: `M${left} ${px(at(0))}${bands_pct.map((pct, i) => `H${px(x(pct))}V${px(at(i + 1))}`).join("")}H${left}Z` });
  put(parts.axis, { d: `M${left} ${px(at(0))}V${px(at(n))}M${left + WIDE} ${px(at(0))}V${px(at(n))}M${left} ${px(at(0))}h${WIDE}` });
  const mean = x(bands_pct.reduce((sum, pct) => sum + pct, 0) / n);
  put(parts.mean, { d: `M${px(mean)} ${px(at(0))}V${px(at(n))}` });
}

// places outlines the tenth and the bar, on the zone and beside it.
/** @type {(parts: any, answer: Along, left: number, zone: number[], y: (mm: number) => number) => void} */
function places(parts, { uneven, bar }, left, [from, to], y) {
  /** @type {(b: Band | null, inset: number) => string} */
  const both = (b, inset) => (b ? box(from + inset, y(b.to_mm), to - inset, y(b.from_mm)) + box(left, y(b.to_mm), left + WIDE, y(b.from_mm)) : "");
  put(parts.uneven, { d: both(uneven, 1) });
  put(parts.bar, { d: both(bar, 2) });
}

/** @type {(p: any, answer: Along, zone: number, left: number, y: (mm: number) => number, top: number) => any[]} */
function words(p, { uneven, bar }, zone, left, y, top) {
  const text = (at, ty, anchor, string) => {
    const t = svg("text", { x: at, y: ty, "text-anchor": anchor, class: "on-ink" });
    write(t, string);
    return t;
  };
  const onPaper = (ty, string) => { // for a halo leaves ink between the letters
    const half = 6 * extent(string, true).width + 1;
    return [svg("rect", { x: middle - half, y: ty - 11, width: 2 * half, height: 14, class: "paper" }), text(middle, ty, "middle", string)];
  };
  const inside = (v) => Math.min(Math.max(v, top + 12), top + p.form - 4), middle = left + WIDE / 2;
  const list = [];
  if (p.beside) list.push(text(middle, top - 5, "middle", `zone ${zone}`), text(left, top + p.form + 14, "middle", "0"), text(left + WIDE, top + p.form + 14, "end", "100 %"));
  else list.push(text(middle, top + 12, "middle", `zone ${zone}`));
  if (uneven) list.push(...onPaper(inside((y(uneven.from_mm) + y(uneven.to_mm)) / 2 + 4), `tenth: ${show(uneven.coverage_pct, 0)} %`));
  if (bar) list.push(...onPaper(inside(y(bar.to_mm) - 4), `bar: ${show(bar.to_mm - bar.from_mm, 0)} mm`));
  return list;
}

// gather draws the bands of the zone's image on their way to the lead edge, each as
// high as its ink would be at the zone's full width.
/** @type {(parts: any, answer: Along, p: any, zone: number[], y: (mm: number) => number, covered: number) => void} */
function gather(parts, { length_mm, bands_pct }, p, [from, to], y, covered) {
  if (!lesson.on) return renew(parts.gathered, null, () => []);
  const part = lesson.phase(0, 0.5), high = length_mm / bands_pct.length;
  let d = "", below = 0;
  bands_pct.forEach((pct, i) => {
    const mm = (high * Math.min(pct, 100)) / 100, at = (1 - part) * i * high + part * below;
    if (mm > 0) d += box(from, y(at + mm), to, y(at));
    below += mm;
  });
  renew(parts.gathered, [d, from, to, part === 1, covered], () => {
    const right = to + 60 < p.right; // beside the zone, whose frame would cross it
    const label = svg("text", { x: right ? to + 4 : from - 4, y: y(below) - 5, "text-anchor": right ? "start" : "end", class: "flag" });
    if (part === 1) write(label, `${show(covered)} %`);
    return [svg("path", { class: "gathered-ground", d: box(from, y(length_mm), to, y(0)) }), svg("path", { class: "gathered", d }), label];
  });
}
