// One chart of what zones print, as film or as density, against the band of 10 % of film.

import { clamp, put, renew, svg, write } from "./dom.js";
import { writeAt } from "./keys.js";
import { byPlace, extent, fit } from "./plan.js";

/** @import { Films, Zone } from "./types.js" */

export const BAND = 10, HIGH = 128, NUMBERS = 18; // % of film off what is wanted; px of a chart, and of the zones' numbers below it
const SEEN = { film: [25, 50, 100], density: [0.2, 0.4, 0.8, 1.6, 3] }; // what is drawn to either side, the least that shows all
const LEAST = 9; // px of a figure that is read
const WORTH = 5; // % of film off, from which a figure stands there

/** @typedef {"film" | "density"} Kind */

const px = (v) => v.toFixed(1);
const text = (x, y, anchor, string, more = {}) => {
  const t = svg("text", { x, y, "text-anchor": anchor, ...more });
  write(t, string);
  return t;
};
const signed = (by) => `${by < 0 ? "−" : "+"}${Math.abs(by).toFixed(beyond(by) ? 1 : 0)}`;
// beyond tells what lies just outside the band of 10 % and would round onto its edge.
const beyond = (by) => Math.abs(by) > 10 && Math.abs(by) < 10.5;

// of are films in a kind's numbers.
/** @type {(kind: Kind, films: Films | null | undefined) => number[]} */
export const of = (kind, films) => (films ? (kind === "film" ? films.pct : films.density) : []);

/** @type {(kind: Kind, density: number[]) => number[]} lean, wanted and fat */
export const bandOf = (kind, density) => (kind === "film" ? [100 - BAND, 100, 100 + BAND] : density);

/** @type {(kind: Kind) => any} */
export function make(kind) {
  const parts = { band: svg("rect", { class: "films-band" }), axis: svg("path", { class: "films-axis" }), curve: svg("path", { class: "films-curve" }), solved: svg("path", { class: "films-solved" }), preset: svg("path", { class: "films-preset" }), words: svg("g", { class: "films-words" }), names: svg("g", { class: "films-words" }) };
  return { kind, g: svg("g", {}, ...Object.values(parts)), ...parts };
}

// draw draws a chart at its place: what a preset prints, what the curve asks for, and
// keys that were solved.
/** @type {(chart: any, p: any, top: number, zones: Zone[], density: number[], shown: { preset: Films, curve: Films, solved: Films | undefined, quick: boolean }) => void} */
export function draw(chart, p, top, zones, density, { preset, curve, solved, quick }) {
  const { kind } = chart, [lean, wanted, fat] = bandOf(kind, density), values = of(kind, preset);
  const most = Math.max(fat - wanted, ...values.filter((v, i) => preset.pct[i]).map((v) => Math.abs(v - wanted)));
  const seen = SEEN[kind].find((v) => v >= most) ?? SEEN[kind].at(-1), y = (v) => top + HIGH / 2 - (clamp(v - wanted, -seen, seen) * HIGH) / 2 / seen;
  put(chart.band, { x: p.left, y: y(fat), width: p.right - p.left, height: y(lean) - y(fat) });
  put(chart.axis, { d: [lean, wanted, fat].map((v) => `M${p.left} ${px(y(v))}H${p.right}`).join("") });
  put(chart.preset, { d: steps(p, y, zones, preset, kind), class: quick ? "films-preset quick" : "films-preset" });
  put(chart.curve, { d: steps(p, y, zones, curve, kind) });
  put(chart.solved, { d: steps(p, y, zones, solved, kind) });
  renew(chart.names, [p, top, preset, curve, solved], () => names(p, y, top, zones, [["preset", "this preset", preset], ["curve", "curve asks", curve], ["solved", "keys solved", solved]], kind));
  renew(chart.words, [p.width, top, preset, density], () => [...scale(kind, p, y, [wanted - seen, lean, wanted, fat, wanted + seen]), ...figures(kind, p, y, zones, preset, wanted, top)]);
}

const NAMED = 14; // px from one line's name to the next

// names are the lines', each beside where its line ends, apart from one another, with a
// piece of it.
/** @type {(p: any, y: (v: number) => number, top: number, zones: Zone[], lines: [string, string, Films | undefined][], kind: Kind) => any[]} */
function names(p, y, top, zones, lines, kind) {
  const order = byPlace(zones), end = (/** @type {Films} */ films) => order.findLast((zone) => films.pct[zone - 1]);
  const list = lines.flatMap(([line, name, films]) => (films && end(films) ? [{ line, name, at: y(of(kind, films)[end(films) - 1]) }] : [])).sort((a, b) => a.at - b.at);
  list.forEach((n, i) => { n.at = Math.max(n.at, top + 6, i ? list[i - 1].at + NAMED : 0); });
  list.reverse().forEach((n, i) => { n.at = Math.min(n.at, top + HIGH - 4, i ? list[i - 1].at - NAMED : Infinity); });
  return list.flatMap(({ line, name, at }) => [
    svg("path", { class: `films-name ${line}`, d: `M${p.right + 5} ${px(at)}h18` }), text(p.right + 28, at + 4, "start", name),
  ]);
}

// steps is a step a zone, with none where nothing prints.
/** @type {(p: any, y: (v: number) => number, zones: Zone[], films: Films | undefined, kind: Kind) => string} */
export function steps(p, y, zones, films, kind) {
  let d = "", before = false;
  for (const zone of films ? byPlace(zones) : []) {
    const { left_mm, right_mm } = zones[zone - 1], prints = !!films.pct[zone - 1];
    if (prints) d += `${before ? "L" : "M"}${px(p.x(left_mm))} ${px(y(of(kind, films)[zone - 1]))}H${px(p.x(right_mm))}`;
    before = prints;
  }
  return d;
}

// scale are the figures at its left: the band's, and the ends'.
/** @type {(kind: Kind, p: any, y: (v: number) => number, values: number[]) => any[]} */
function scale(kind, p, y, [low, lean, wanted, fat, high]) {
  const at = (v, string) => text(p.left - 5, y(v) + 4, "end", string, { class: "soft" });
  if (kind === "film") return [high, fat, lean, low].map((v) => at(v, `${signed(v - wanted)}${p.roomy ? " %" : ""}`));
  const apart = Math.abs(y(high) - y(fat)) > 12;
  return [...(apart ? [high, low].filter((v) => v >= 0) : []), fat, wanted, lean].filter((v, _, all) => v === wanted || Math.abs(y(v) - y(wanted)) > 10 || all.length < 4).map((v) => at(v, v.toFixed(2)));
}

// figures are the zones' numbers, and the values of those that are off: in a narrow column
// upright, and where that is too small the fifth numbers alone.
/** @type {(kind: Kind, p: any, y: (v: number) => number, zones: Zone[], films: Films, wanted: number, top: number) => any[]} */
function figures(kind, p, y, zones, films, wanted, top) {
  const list = [], longest = (texts, bold) => Math.max(0, ...texts.map((s) => extent(s, bold).width));
  const off = zones.filter(({ zone }) => films.pct[zone - 1] && Math.abs(films.pct[zone - 1] - 100) >= WORTH);
  const says = off.map(({ zone }) => (kind === "film" ? signed(films.pct[zone - 1] - 100) : of(kind, films)[zone - 1].toFixed(2)));
  const number = fit(longest(zones.map(({ zone }) => String(zone)), false), p.column, 11, false), value = fit(longest(says, true), p.column, 11, true);
  const every = number.size >= LEAST, middle = ({ left_mm, right_mm }) => p.x((left_mm + right_mm) / 2);
  for (const zone of zones) {
    if (every) list.push(writeAt(figure("films-number"), middle(zone), top + HIGH + NUMBERS / 2 + 1, number, String(zone.zone)));
    else if (zone.zone === 1 || zone.zone % 5 === 0) list.push(text(middle(zone), top + HIGH + 14, "middle", String(zone.zone)));
  }
  if (value.size >= LEAST) off.forEach((zone, i) => {
    const at = figureAt(top, y(of(kind, films)[zone.zone - 1]), films.pct[zone.zone - 1] - 100, value.high / 2);
    list.push(writeAt(figure("films-value"), middle(zone), at, value, says[i]));
  });
  return list;
}

/** @param {string} kind */
const figure = (kind) => svg("text", { class: `films-figure ${kind}`, "text-anchor": "middle" });

// figureAt is the middle of a film's figure: on the far side of its line, or the near
// one where the drawing ends.
/** @type {(top: number, y: number, by: number, half: number) => number} */
const figureAt = (top, y, by, half) => ((by < 0 && y + 2 * half + 3 <= top + HIGH + 3) || y - 2 * half - 2 < top - 16 ? y + half + 3 : y - half - 2);
