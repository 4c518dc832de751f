// The ink that hangs from the ductor: what each zone gets, filled, against what its
// image takes, the outline around it. Both are opening × sweep over the sweep that
// the curve refers to, so that an outline stays where it is whatever the sweep, and
// has the curve's own unit.

import { svg, put, renew, write, amount, round } from "./dom.js";
import { writeAt } from "./keys.js";
import { edges, byPlace, extent } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { Zone } from "./types.js" */

/**
 * What hangs in one zone, in % open at the reference sweep.
 * @typedef {object} Hung
 * @property {number} gets
 * @property {number | null} takes null is not to be seen, or no sheet
 * @property {boolean} prints
 * @property {boolean} [right] as it was weighed, whatever is left
 */

const ROLLER = 18; // px of the ductor
const MOST = 1.12; // of the film's height that are drawn: more is cut off
const RIGHT = 10; // %: supply is right within so much of demand, as in the exercise
const BARE = 5; // % open that a bare zone is fed beyond what the curve asks for it

// height of the film with its signs and the room for their words, whether or not
// there are any.
/** @type {(p: Plan) => number} */
export const height = (p) => (p.all ? 4 : ROLLER) + p.film + 10 + (p.all ? 0 : words(p));

/** @type {(p: Plan) => number} */
const words = (p) => (p.off.upright ? p.off.size * extent("▲ 999", true).width : p.off.lines * p.off.high);

// said is how a zone's supply strays, or null where it is right: a sign, by how
// much, and a word.
/** @type {(h: Hung) => { sign: string, by: string, word: string } | null} */
export function said({ gets, takes, prints, right }) {
  if (takes === null || right) return null;
  if (!prints) return gets > takes + BARE ? { sign: "△", by: "bare", word: "fed" } : null;
  const off = takes > 0 ? round((gets / takes - 1) * 100, 0) : gets > 0 ? Infinity : 0;
  if (Math.abs(off) <= RIGHT) return null;
  const by = off > 999 ? "much" : `${Math.abs(off)} %`;
  return off < 0 ? { sign: "▼", by, word: "short" } : { sign: "▲", by, word: "over" };
}

export function make() {
  const g = svg("g"), parts = { labels: svg("g", { class: "small film-labels" }), words: svg("g", { class: "film-words" }) };
  for (const name of ["roller", "scale", "gets", "over", "takes", "signs", "edge"]) g.append((parts[name] = svg("path", { class: `film-${name}` })));
  g.append(parts.labels, parts.words);
  return { g, parts };
}

const px = (v) => v.toFixed(1);
const box = (l, t, r, b) => `M${px(l)} ${px(t)}H${px(r)}V${px(b)}H${px(l)}Z`;

// draw hangs the film from y on; what the outline is of is said, "" where none is seen.
/** @type {(film: any, p: Plan, y: number, zones: Zone[], hung: Hung[], unit: string, outline: string, colour: string | null) => void} */
export function draw({ parts }, p, y, zones, hung, unit, outline, colour) {
  const edge = y + (p.all ? 4 : ROLLER);
  const down = (v) => edge + Math.min(v / p.full, MOST) * p.film;
  const d = { gets: "", takes: "", over: "", signs: "" };
  for (const zone of byPlace(zones)) {
    const h = hung[zone - 1], [from, to] = edges(p, zones[zone - 1]);
    const l = from + 1, r = to - 1, inset = Math.min(2.5, (to - from) * 0.12);
    const takes = h.takes ?? (outline ? 0 : Infinity);
    d.gets += box(l + inset, edge, r - inset, down(Math.min(h.gets, takes)));
    if (h.gets > takes) d.over += box(l + inset, down(takes), r - inset, down(h.gets));
    if (h.takes !== null && h.prints) d.takes += `M${px(l)} ${edge}V${px(down(takes))}H${px(r)}V${edge}`;
    const stray = said(h);
    if (stray && p.all) d.signs += triangle((from + to) / 2, edge + p.film + 3, Math.min(4.5, (to - from) * 0.3), stray.sign);
  }
  for (const [name, path] of Object.entries(d)) put(parts[name], { d: path });
  put(parts.gets, { class: colour ? "film-gets tinted" : "film-gets", fill: colour ?? "" });
  put(parts.roller, { d: p.all ? "" : box(p.left - 4, y, p.right + 4, edge) });
  put(parts.edge, { d: `M${px(p.left - 4)} ${edge}H${px(p.right + 4)}` });
  put(parts.scale, { d: p.all ? "" : [0.5, 1].map((at) => `M${p.left} ${px(edge + at * p.film)}H${px(p.right)}`).join("") });
  renew(parts.labels, [p.all, p.roomy, p.off, p.left, p.right, p.film, p.full, y, unit, outline], () => labels(p, y, edge, unit, outline));
  renew(parts.words, [p.all, p.column, p.left, p.off, p.film, y, hung], () => (p.all ? [] : strayed(p, edge + p.film + 8, zones, hung)));
}

const triangle = (x, y, half, sign) => (sign === "▼"
  ? `M${px(x - half)} ${px(y)}h${px(2 * half)}L${px(x)} ${px(y + 7)}Z`
  : `M${px(x - half)} ${px(y + 7)}h${px(2 * half)}L${px(x)} ${px(y)}Z`);

/** @type {(p: Plan, y: number, edge: number, unit: string, outline: string) => any[]} */
function labels(p, y, edge, unit, outline) {
  if (p.all) return [];
  const text = (x, at, anchor, string) => {
    const t = svg("text", { x, y: at, "text-anchor": anchor });
    write(t, string);
    return t;
  };
  const signs = p.roomy || p.off.lines === 3 ? "" : "▼ short, ▲ over, %"; // else they have their words, or stand at the left
  const says = outline
    ? [`ductor: filled is what each zone gets, the outline what ${outline}; ${unit}`, `filled: gets; outline: ${outline}; ${unit}`, `filled: gets; outline: ${outline}`].map((s) => (signs ? `${s}; ${signs}` : s))
    : [`ductor: the ink that each zone gets, ${unit}`, `gets, ${unit}`];
  const long = (/** @type {string} */ s) => 11.5 * extent(s).width < p.right - p.left - 8;
  const list = [text((p.left + p.right) / 2, y + 13, "middle", says.find(long) ?? "gets and takes")];
  if (!p.roomy) return list;
  if (p.off.lines !== 3 && outline) list.push(...["▼ short,", "▲ over, %"].map((s, n) => text(p.left - 8, edge + p.film + 18 + n * 14, "end", s)));
  return [...list, ...[0, 0.5, 1].map((at) => text(p.left - 8, edge + at * p.film + 4, "end", String(at * p.full)))];
}

// strayed is the signs and words of zones that get other than they take.
/** @type {(p: Plan, y: number, zones: Zone[], hung: Hung[]) => any[]} */
function strayed(p, y, zones, hung) {
  return byPlace(zones).flatMap((zone) => {
    const stray = said(hung[zone - 1]);
    if (!stray) return [];
    const [from, to] = edges(p, zones[zone - 1]), x = (from + to) / 2;
    const at = (dy, anchor, string) => writeAt(svg("text", { "text-anchor": anchor, "data-zone": zone, class: "film-word" }), x, y + dy, p.off, string);
    const figure = brief(stray.by, p);
    if (p.off.upright) return [at(0, "end", `${stray.sign} ${figure}`)];
    const lines = p.off.lines === 3 ? [stray.sign, stray.by, stray.word] : [stray.sign, figure];
    return lines.map((s, n) => at((n + 0.5) * p.off.high, "middle", s));
  });
}

// brief is by how much a supply strays where there is room for a figure alone: its
// unit stands beside the row, and a bare zone has a sign of its own.
/** @type {(by: string, p: Plan) => string} */
function brief(by, p) {
  const figure = by.replace(" %", "");
  if (by === "bare") return "";
  return by !== "much" && (p.off.upright || p.off.size * extent(figure, true).width < p.column) ? figure : "≫";
}

// unitOf names the unit of what is hung.
/** @type {(reference: number, sweepUnit: string) => string} */
export const unitOf = (reference, sweepUnit) => `in % open at sweep ${amount(reference, sweepUnit)}`;
