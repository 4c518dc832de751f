// Where everything on the bench stands. The form, the blade line and the keys
// share one scale across, so that a zone is one column from top to bottom.

import { show } from "./dom.js";
import { textsAlike } from "./scale.js";

/** @import { Computed, Zone } from "./types.js" */

const NARROWEST = 13; // px of a column that still holds a figure, turned upright,
const NARROWEST_IN_HAND = 11; // and of one in the hand, where smaller ones are read and 32 zones are to fit
const AIR = 3; // px between the figures of two columns
const LEAST_LYING = 10; // px of a figure that lies; a smaller one is turned upright, where it can be larger

const ROOMY = 560; // px that hold labels in gutters beside the drawing, and the demand along the sheet
export const UNDER_FORM = 20; // px of the line of words under the form

// Columns are made narrower until the form, whose length is bounded by the window,
// keeps its aspect: down to COMFORT px; to LEAST, while it would be flattened by more than
// BARELY; and no further. A form that is flattened by more than MUCH all the same takes
// of the height of what hangs under it.
const COMFORT = 26, LEAST = 18, BARELY = 1.145, MUCH = 1.2;
const SHORTEST = 170; // px of a form, however low the window is,
const SHORTEST_OF_ALL = 150; // and of one that all inks hang under
const FLATTEST = 1.9; // times that a form is flattened on a drawing that is scrolled, if only to see its keys,
const OF_WINDOW = 0.95; // as long as it is seen whole: part of the window that it takes at most

/** @typedef {{ all: boolean, hidden: boolean }} How whether all inks are seen, and whether coverages are to be guessed */
/** @typedef {ReturnType<typeof columns>} Columns */
/** @typedef {Columns & { form: number, flat: number }} Plan */

// plan is where all stands on a drawing in a room so wide and high: the form keeps its
// aspect where that leaves room for what hangs under it, whose height under tells.
/** @type {(width: number, result: Computed, how: How, high: number, under: (p: Columns) => number) => Plan} */
export function plan(width, result, how, high, under) {
  const { all } = how;
  const long = lengths(result), zones = result.zones.length;
  const room = (/** @type {Columns} */ p) => high - p.flag - (all ? high * 0.5 : UNDER_FORM + under(p));
  const fitted = (/** @type {Columns} */ p, low = false) => {
    const kept = (room(p) * result.fountain_mm) / p.longest_mm;
    return columns(width, result, how, long, Math.max(Math.min(Math.max(kept, COMFORT * zones), BARELY * kept), LEAST * zones), low);
  };
  let p = fitted(fitted(columns(width, result, how, long, Infinity, false))); // narrower columns may need higher rows
  if (p.roomy && !all && p.longest_mm * p.scale > MUCH * room(p)) p = fitted(p, true);
  const natural = p.longest_mm * p.scale;
  const form = Math.min(natural, Math.max(room(p), all ? SHORTEST_OF_ALL : SHORTEST, all ? 0 : Math.min(natural / (p.roomy ? FLATTEST : 1), high * OF_WINDOW)));
  return { ...p, form, flat: natural / form };
}

// lengths is how long the figures of a row can be, in parts of their size: of the keys
// wherever they will stand.
/** @param {Computed} result */
function lengths({ zones, preset }) {
  const keys = preset.units.flatMap((u) => u?.keys ?? []), most = Math.max(10, ...keys.map((k) => k.coverage_pct ?? 0));
  return {
    number: longest(zones.map((z) => String(z.zone)), true), key: textsAlike().map((text) => extent(text, true).width),
    covered: [0, 1].map((digits) => extent(show(most, digits)).width),
  };
}

// columns is where all stands across, at most so many px wide, with a low film and gap or
// a high one.
/** @param {number} width @param {Computed} result @param {How} how @param {ReturnType<typeof lengths>} long @param {number} most @param {boolean} low */
function columns(width, result, { all, hidden }, long, most, low) {
  const zones = result.zones.length, there = result.units.filter(Boolean);
  const roomy = width >= ROOMY;
  const left = roomy ? 72 : 4;
  const right = roomy ? 92 : 4;
  const across = Math.max(Math.min(width - left - right, most), zones * (roomy ? NARROWEST : NARROWEST_IN_HAND));
  const column = across / zones, scale = across / result.fountain_mm;
  const number = fit(long.number, column, 13, true);
  const digits = fit(long.covered[1], column, 11, false).upright ? 0 : 1;
  const demand = Math.max(...there.flatMap((u) => u.demand.map((d) => d / u.reference_sweep)));
  return {
    width: across + left + right, left, right: left + across, scale, column, all, hidden, roomy,
    x: (/** @type {number} */ mm) => left + mm * scale,
    flag: (all ? 23 + number.high : 18) + 15, // the zones' numbers stand over all inks, the tail edge's name over every form
    longest_mm: Math.max(result.length_mm, ...there.map((u) => u.outline.length_mm)),
    film: all ? 16 : low ? 30 : 46, gap: all ? 40 : low ? 56 : 76, number, covered: { digits, ...fit(long.covered[digits], column, 11, false), ...(hidden ? { high: 0 } : {}) },
    key: keySize(long.key, column), keyRow: 30, off: strays(column, roomy),
    full: [20, 50, 80].find((v) => v >= demand) ?? 100, // of the film, half of which is a number to be read too: it stays through every sweep
  };
}

// keySize is the size of the keys' figures: that of the longest that still lie.
/** @type {(long: number[], column: number) => number} */
function keySize(long, column) {
  const sizes = long.map((length) => (column - AIR) / length), lying = sizes.filter((size) => size >= LEAST_LYING);
  return Math.min(lying.length === sizes.length ? 17 : 13, ...lying);
}

// keyFit is how one key's figure stands in its box.
/** @type {(text: string, p: Columns) => { size: number, upright: boolean }} */
export function keyFit(text, p) {
  const { width, height } = extent(text, true);
  if (p.key * width <= p.column - AIR + 0.01) return { size: p.key, upright: false };
  return { size: Math.min(p.key, (p.column - 1) / height, (p.keyRow - 3) / width), upright: true };
}

// strays is how film.js says in a column how supply strays: by sign, figure and word
// in lines, else by sign and figure, and else upright.
/** @type {(column: number, roomy: boolean) => { size: number, upright: boolean, high: number, lines: number }} */
function strays(column, roomy) {
  const full = fit(longest(["54 %", "short"], true), column, 11, true);
  if (!full.upright) return { ...full, lines: 3 };
  const figure = fit(extent("54", true).width, column, 11, true);
  return roomy && !figure.upright ? { ...figure, lines: 2 } : { ...full, lines: 0 };
}

// fit is how a row of figures stands in its columns: at what size, lying where
// the longest has room and else upright, and how high the row is then.
/** @typedef {{ size: number, upright: boolean, high: number }} Fit */

/** @type {(long: number, column: number, most: number, bold: boolean) => Fit} */
export function fit(long, column, most, bold) {
  const lying = Math.min(most, (column - AIR) / long);
  if (lying >= LEAST_LYING) return { size: lying, upright: false, high: lying * 1.2 };
  const size = Math.min(most, (column - 1) / extent("0", bold).height);
  return { size, upright: true, high: size * long + AIR };
}

/** @type {(texts: string[], bold: boolean) => number} */
const longest = (texts, bold) => Math.max(...texts.map((text) => extent(text, bold).width));

// extent is how wide a text is and how high its line, in parts of its font's
// size. It is measured once: a drag asks for hundreds.
const pen = document.createElement("canvas").getContext("2d");
const measured = new Map();
export function extent(text, bold = false) {
  const of = `${bold} ${text}`;
  if (!measured.has(of)) {
    pen.font = `${bold ? "bold " : ""}100px ${getComputedStyle(document.documentElement).fontFamily}`;
    const m = pen.measureText(text);
    measured.set(of, { width: m.width / 100, height: (m.fontBoundingBoxAscent + m.fontBoundingBoxDescent) / 100 });
  }
  return measured.get(of);
}

// edges of a zone's column in px.
/** @type {(p: Plan, zone: Zone) => number[]} */
export const edges = (p, zone) => [p.x(zone.left_mm), p.x(zone.right_mm)];

// byPlace is the zones' numbers from left to right: on some presses zone 1 is
// at the right.
/** @type {(zones: Zone[]) => number[]} */
export const byPlace = (zones) => [...zones].sort((a, b) => a.left_mm - b.left_mm).map((z) => z.zone);

// keyStates is what a key's state is in the drawing, by a sign and a word, and as it
// is said behind other things; or how a learner's key is judged.
/** @type {Record<string, { sign: string, word: string, says?: string, judged?: true }>} */
export const keyStates = {
  set: { sign: "", word: "", says: "" },
  floor: { sign: "▁", word: "floor", says: "held by the floor" },
  ceiling: { sign: "▔", word: "ceiling", says: "held by the ceiling" },
  neighbour: { sign: "↔", word: "neighbour", says: "held by a neighbour" },
  "off-sheet": { sign: "–", word: "off-sheet", says: "not under the sheet" },
  "too much": { sign: "▲", word: "too much", judged: true },
  "too little": { sign: "▼", word: "too little", judged: true },
  right: { sign: "=", word: "right", judged: true },
  "no print": { sign: "–", word: "no print", judged: true },
  "wide open": { sign: "△", word: "bare fed", judged: true },
  "not counted": { sign: "·", word: "not counted", judged: true },
};
