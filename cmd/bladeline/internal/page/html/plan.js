// Where everything on the bench stands. The form, the blade line and the keys
// share one scale across, so that a zone is one column from top to bottom.

import { show } from "./dom.js";

/** @import { Computed, Zone } from "./types.js" */

const NARROWEST = 13; // of a column that still holds a figure, turned upright,
const NARROWEST_IN_HAND = 11; // and of one in the hand, where smaller ones are read and 32 zones are to fit
const AIR = 5; // px between the figures of two columns
const LEAST_LYING = 10; // px of a figure that lies; a smaller one is turned upright, where it can be larger

const ROOMY = 560; // px of a drawing whose gutters hold labels,
const BESIDE = 760; // and of one that has room for the demand along the sheet beside the form
const FLATTEST = 1.9; // times that a form is flattened on a drawing that may be scrolled,
const OF_WINDOW = 0.95; // as long as it is seen whole: part of the window that it takes at most

/** @typedef {ReturnType<typeof plan>} Plan */

// plan is where all stands on a drawing of a width, in a window of a height: the
// form keeps its aspect where that leaves room for the keys under it, and is
// flattened where it does not, on a drawing that scrolls only so far.
/** @param {number} width @param {Computed} result @param {boolean} all @param {number} high @param {boolean} scrolls */
export function plan(width, result, all, high, scrolls) {
  const zones = result.zones, keys = result.preset.units.flatMap((u) => u?.keys ?? []), there = result.units.filter(Boolean);
  const roomy = width >= ROOMY, beside = width >= BESIDE;
  const left = roomy ? 72 : 4;
  const right = beside ? 92 : roomy ? 12 : 4;
  const across = Math.max(width - left - right, zones.length * (roomy ? NARROWEST : NARROWEST_IN_HAND));
  const scale = across / result.fountain_mm;
  const column = across / zones.length;
  const number = fit(zones.map((z) => String(z.zone)), column, 13, true);
  const key = fit([...keys.map((k) => k.key_text), "100"], column, 17, true); // a learner's keys go to 100
  const covered = fit(keys.map((k) => show(k.coverage_pct)), column, 11, false);
  const off = strays(column, roomy);
  const most = Math.max(...there.flatMap((u) => u.demand.map((d) => d / u.reference_sweep)));
  const keyRow = Math.max(30, key.high + 8);
  const flag = (all ? 23 + number.high : 18) + 15; // the zones' numbers stand over all inks, the tail edge's name over every form
  const film = all ? 16 : 56, gap = all ? 40 : 92;
  const longest_mm = Math.max(result.length_mm, ...there.map((u) => u.outline.length_mm));
  const natural = longest_mm * scale;
  const under = all ? high * 0.5 : 20 + 18 + film + 48 + 24 + gap + 39 + number.high + covered.high + keyRow;
  const least = scrolls && !all ? Math.min(natural / FLATTEST, high * OF_WINDOW) : 0;
  const form = Math.min(natural, Math.max(high - flag - under, all ? 150 : 170, least));
  return {
    width: across + left + right, left, right: left + across, scale, column, all, roomy, beside,
    x: (mm) => left + mm * scale,
    flag, form, longest_mm, flat: natural / form, film, gap, number, covered, key, keyRow, off,
    full: [25, 50, 75].find((v) => v >= most) ?? 100, // of the film: it stays through every sweep
  };
}

// strays is how film.js says in a column how supply strays: by sign, figure and word
// in lines, else by sign and figure, and else upright.
/** @type {(column: number, roomy: boolean) => { size: number, upright: boolean, high: number, lines: number }} */
function strays(column, roomy) {
  const full = fit(["54 %", "short"], column, 11, true);
  if (!full.upright) return { ...full, lines: 3 };
  const figure = fit(["54"], column, 11, true);
  return roomy && !figure.upright ? { ...figure, lines: 2 } : { ...full, lines: 0 };
}

// fit is how a row of figures stands in its columns: at what size, lying where
// the longest has room and else upright, and how high the row is then.
function fit(texts, column, most, bold) {
  const alike = new Set(texts.map((text) => text.replace(/\d/g, "0"))); // figures are as wide as one another
  const long = Math.max(...[...alike].map((text) => extent(text, bold).width)), tall = extent("0", bold).height;
  const lying = Math.min(most, (column - AIR) / long);
  if (lying >= LEAST_LYING) return { size: lying, upright: false, high: lying * 1.2 };
  const size = Math.min(most, (column - 1) / tall);
  return { size, upright: true, high: size * long + AIR };
}

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
// is said behind other things.
export const keyStates = {
  set: { sign: "", word: "", says: "" },
  floor: { sign: "▁", word: "floor", says: "held by the floor" },
  ceiling: { sign: "▔", word: "ceiling", says: "held by the ceiling" },
  neighbour: { sign: "↔", word: "neighbour", says: "held by a neighbour" },
  "off-sheet": { sign: "–", word: "off-sheet", says: "not under the sheet" },
  "too much": { sign: "▲", word: "too much" },
  "too little": { sign: "▼", word: "too little" },
  right: { sign: "=", word: "right" },
  "no print": { sign: "–", word: "no print" },
  "wide open": { sign: "▲", word: "bare fed" },
  "not counted": { sign: "·", word: "not counted" },
};
