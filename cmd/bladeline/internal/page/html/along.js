// Demand along the sheet: what the lit zone takes from lead edge to tail, beside
// the form, with the tenth of the length that is warned of and the take-off bar that
// is advised where they lie; and the zone's image gathered at the lead edge into a
// block of its area, which is the coverage.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as lesson from "./lesson.js";
import { svg, put, write, renew, show } from "./dom.js";
import { edges, extent, UNDER_FORM } from "./plan.js";

/** @import { Columns, Plan } from "./plan.js" */
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
  const g = svg("g", { class: "along" }), parts = { g, hint: svg("text", { class: "small along-hint" }), words: svg("g", { class: "small" }), gathered: svg("g") };
  for (const name of ["ink", "axis", "mean", "uneven", "bar"]) g.append((parts[name] = svg("path", { class: `along-${name}` })));
  g.append(parts.hint, parts.words, parts.gathered);
  return parts;
}

const WIDE = 72; // px of 100 % beside the form,
const STRIP = 34; // and under it

// known is what is known of the zone that is lit now.
export const known = () => (found && found.of === placeOf() && question() ? found.answer : null);

// height of the strip under the form, where there is no room beside it and demand may be
// seen.
/** @type {(p: Columns) => number} */
export const height = (p) => (p.roomy || p.hidden ? 0 : STRIP + 18);

// Place is a place in the drawing of so many mm from the lead edge, and so many % of ink.
/** @typedef {(mm: number, pct: number) => [x: number, y: number]} Place */

// placing stands upright beside the form, to its scale; or lies under it, from the lead
// edge at the left to the tail edge at the right, over nothing.
/** @type {(p: Plan, top: number, length_mm: number) => Place} */
const placing = (p, top, length_mm) => (p.roomy
  ? (mm, pct) => [p.right + 14 + (pct / 100) * WIDE, top + p.form - (mm * p.form) / p.longest_mm]
  : (mm, pct) => [p.left + (mm / length_mm) * (p.right - p.left), top + p.form + UNDER_FORM + STRIP * (1 - pct / 100)]);

/** @type {(parts: any, layout: any) => void} */
export function draw(parts, { plan: p, result, top }) {
  const answer = known(), zone = result.zones[store.state.lit - 1];
  parts.g.classList.toggle("none", !answer || !zone);
  write(parts.hint, height(p) && !zone ? "Here: the demand along the sheet of a zone that you touch." : "");
  put(parts.hint, { x: p.left, y: top + p.form + UNDER_FORM + STRIP / 2 });
  if (!answer || !zone) return;
  const across = edges(p, zone);
  const y = (/** @type {number} */ mm) => top + p.form - (mm * p.form) / p.longest_mm;
  const place = placing(p, top, answer.length_mm);
  profile(parts, answer, place);
  places(parts, answer, place, across, y);
  renew(parts.words, [p.roomy, p.left, p.right, top, p.form, answer, zone.zone], () => words(p, answer, zone.zone, place, top));
  gather(parts, answer, p, across, y, compute.unit()?.keys[zone.zone - 1]?.coverage_pct);
}

const px = (v) => v.toFixed(1);
const box = (l, t, r, b) => `M${px(l)} ${px(t)}H${px(r)}V${px(b)}H${px(l)}Z`;
const line = (/** @type {number[][]} */ spots) => `M${spots.map(([x, y]) => `${px(x)} ${px(y)}`).join("L")}`;

// profile is the ink of each band as a step from the axis, its mean dashed.
/** @type {(parts: any, answer: Along, place: Place) => void} */
function profile(parts, { length_mm, bands_pct }, place) {
  const high = length_mm / bands_pct.length;
  const steps = bands_pct.flatMap((pct, i) => [place(i * high, Math.min(pct, 100)), place((i + 1) * high, Math.min(pct, 100))]);
  put(parts.ink, { d: `${line([place(0, 0), ...steps, place(length_mm, 0)])}Z` });
  put(parts.axis, { d: [[[0, 0], [length_mm, 0]], [[0, 100], [length_mm, 100]], [[0, 0], [0, 100]]].map((ends) => line(ends.map(([mm, pct]) => place(mm, pct)))).join("") });
  const mean = bands_pct.reduce((sum, pct) => sum + pct, 0) / bands_pct.length;
  put(parts.mean, { d: line([place(0, mean), place(length_mm, mean)]) });
}

// places outlines the tenth and the bar, on the zone and beside it.
/** @type {(parts: any, answer: Along, place: Place, zone: number[], y: (mm: number) => number) => void} */
function places(parts, { uneven, bar }, place, [from, to], y) {
  /** @type {(b: Band | null, inset: number) => string} */
  const both = (b, inset) => (b ? `${box(from + inset, y(b.to_mm), to - inset, y(b.from_mm))}${line([place(b.from_mm, 0), place(b.from_mm, 100), place(b.to_mm, 100), place(b.to_mm, 0)])}Z` : "");
  put(parts.uneven, { d: both(uneven, 1) });
  put(parts.bar, { d: both(bar, 2) });
}

/** @type {(p: Plan, answer: Along, zone: number, place: Place, top: number) => any[]} */
function words(p, { uneven, bar, length_mm }, zone, place, top) {
  const text = (x, y, anchor, string) => {
    const t = svg("text", { x, y, "text-anchor": anchor, class: "on-ink" });
    write(t, string);
    return t;
  };
  const onPaper = (/** @type {string} */ string, /** @type {number} */ mm) => { // for a halo leaves ink between the letters
    const half = 6 * extent(string, true).width + 1, [x, y] = place(mm, 50);
    const middle = p.roomy ? x : Math.min(Math.max(x, p.left + half), p.right - half);
    const at = p.roomy ? Math.min(Math.max(y + 4, top + 12), top + p.form - 4) : y + 4;
    return [svg("rect", { x: middle - half, y: at - 11, width: 2 * half, height: 14, class: "paper" }), text(middle, at, "middle", string)];
  };
  const list = ends(p, zone, place, length_mm, top, text);
  if (uneven) list.push(...onPaper(`tenth: ${show(uneven.coverage_pct, 0)} %`, (uneven.from_mm + uneven.to_mm) / 2));
  if (bar) list.push(...onPaper(`bar: ${show(bar.to_mm - bar.from_mm, 0)} mm`, bar.to_mm));
  return list;
}

// ends names the zone and the scale's ends.
/** @type {(p: Plan, zone: number, place: Place, length_mm: number, top: number, text: (x: number, y: number, anchor: string, string: string) => any) => any[]} */
function ends(p, zone, place, length_mm, top, text) {
  const [left, base] = place(0, 0), [right] = place(p.roomy ? 0 : length_mm, 100);
  if (p.roomy) return [text((left + right) / 2, top - 5, "middle", `zone ${zone}`), text(left, base + 14, "middle", "0"), text(right, base + 14, "end", "100 %")];
  return [text((left + right) / 2, base + 14, "middle", `zone ${zone}, 0 to 100 %`), text(left, base + 14, "start", "lead edge"), text(right, base + 14, "end", "tail edge")];
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
