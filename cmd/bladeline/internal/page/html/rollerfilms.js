// What every zone prints, against the band of 10 %; what the lit zone's key does to all
// of them; and the film over the sheet, with rulers on which the form rollers'
// circumferences are marked off. All share one scale across.

import * as store from "./state.js";
import { $, clamp, eachFrame, put, renew, round, show, svg, write } from "./dom.js";
import { byPlace } from "./plan.js";
import { letter } from "./sideview.js";

/** @import { Found } from "./rehearse.js" */
/** @import { Computed, Line, Roller, Sheet, Zone } from "./types.js" */

const BAND = 10; // % of film off what is wanted: the band,
const SEEN = [25, 50, 100]; // and what is drawn, the least that shows all
const TOP = 16, CHART = 128, NUMBERS = 18, SHARES = 46, MAP = 240, FOOT = 18;
const FIGURES = 27; // px of a column that holds figures
const DARKEST = 15; // % off that is drawn black, or white

let origin = 0; // of the rulers, mm from the lead edge
let redraw = () => {};
let built = null;

/** @param {() => void} then */
export function make(then) {
  redraw = then;
  const field = $("ruler-from");
  field.addEventListener("change", () => {
    if (field.checkValidity() && field.value !== "") origin = Number(field.value);
    redraw();
  });
  const move = eachFrame((event) => begin(event));
  $("rehearse-films").addEventListener("pointermove", (event) => move.call(event));
}

// begin begins the rulers where the pointer is on the sheet.
function begin(event) {
  const p = built?.plan;
  if (!p) return;
  const box = built.drawing.getBoundingClientRect(), y = event.clientY - box.top, x = event.clientX - box.left;
  if (y < p.map || y > p.map + p.high || x < p.left || x > p.right) return;
  origin = round(((p.map + p.high - y) / p.high) * p.long, 0);
  redraw();
}

/** @typedef {ReturnType<typeof planned>} Planned */

/** @type {(line: Line, result: Computed, pct: number[]) => any} */
function planned({ train }, result, pct) {
  const width = $("rehearse-films").clientWidth, roomy = width >= 560;
  const forms = train.rollers.map((roller, i) => ({ roller, letter: letter(i) })).filter(({ roller }) => roller.kind === "form");
  const ruler = roomy ? 34 : 30, left = roomy ? 46 : 30, right = width - 8 - ruler * forms.length;
  const scale = (right - left) / result.fountain_mm, map = TOP + CHART + NUMBERS + SHARES;
  const most = Math.max(...pct.filter(Boolean).map((film) => Math.abs(film - 100))), seen = SEEN.find((v) => v >= most) ?? 100;
  return {
    width, roomy, left, right, scale, forms, ruler, map, seen, column: (right - left) / result.zones.length,
    long: train.image_mm, high: Math.min(MAP, train.image_mm * scale), x: (mm) => left + mm * scale,
    y: (pct) => TOP + CHART / 2 - (clamp(pct - 100, -seen, seen) * CHART) / 2 / seen,
  };
}

/** @type {(found: Found, result: Computed) => void} */
export function draw(found, result) {
  if (!$("rehearse-films").clientWidth) return; // not seen
  const { line, settled, solved, pull } = found, films = settled ?? line, p = planned(line, result, films.preset_pct);
  build(result, p);
  put(built.drawing, { viewBox: `0 0 ${p.width} ${p.map + p.high + FOOT}`, width: p.width, height: p.map + p.high + FOOT });
  put(built.band, { x: p.left, y: p.y(100 + BAND), width: p.right - p.left, height: p.y(100 - BAND) - p.y(100 + BAND) });
  put(built.axis, { d: [100 - BAND, 100, 100 + BAND].map((v) => `M${p.left} ${p.y(v)}H${p.right}`).join("") });
  put(built.preset, { d: steps(p, result.zones, films.preset_pct), class: settled ? "films-preset" : "films-preset quick" });
  put(built.curve, { d: steps(p, result.zones, films.curve_pct) });
  put(built.solved, { d: solved ? steps(p, result.zones, solved.films_pct) : "" });
  renew(built.words, [p, films.preset_pct], () => labels(p, result.zones, films.preset_pct));
  const shares = pull && pull.zone === store.state.lit ? pull : null;
  renew(built.shares, [p, shares], () => footprint(p, result.zones, shares));
  put(built.sheet, { x: p.left, y: p.map, width: p.right - p.left, height: p.high });
  if (settled) renew(built.image, settled.sheet, () => [svg("image", { href: pictureOf(settled.sheet), preserveAspectRatio: "none", width: 1, height: 1 })]);
  put(built.image, { transform: `translate(${p.left} ${p.map}) scale(${p.right - p.left} ${p.high})`, class: settled ? "" : "old" });
  renew(built.rulers, [p, origin], () => rulers(p));
  put($("ruler-from"), { max: Math.floor(p.long) });
  if (document.activeElement !== $("ruler-from")) $("ruler-from").value = String(origin);
  columns(p, result.zones, films.preset_pct);
}

/** @type {(result: Computed, p: any) => void} */
function build(result, p) {
  const kind = result.zones.map((z) => z.left_mm).join();
  if (built?.kind === kind) return void (built.plan = p);
  const parts = { band: svg("rect", { class: "films-band" }), axis: svg("path", { class: "films-axis" }), curve: svg("path", { class: "films-curve" }), solved: svg("path", { class: "films-solved" }), preset: svg("path", { class: "films-preset" }),
    words: svg("g", { class: "films-words" }), shares: svg("g", { class: "films-words" }), sheet: svg("rect", { class: "plate" }), image: svg("g"), rulers: svg("g", { class: "films-words" }) };
  const columns = svg("g", { role: "listbox", "aria-label": "Zones and their films, from left to right", "aria-orientation": "horizontal" },
    ...byPlace(result.zones).map((zone, i) => svg("rect", { class: "column", "data-zone": zone, "data-rove": true, role: "option", "aria-selected": "false", tabindex: i ? -1 : 0 })));
  const drawing = svg("svg", { role: "group", "aria-label": "What every zone prints, and the film over the sheet" }, svg("g", { "aria-hidden": "true" }, ...Object.values(parts)), columns);
  $("rehearse-films").replaceChildren(drawing);
  built = { kind, drawing, columns, plan: p, ...parts };
}

const px = (v) => v.toFixed(1);

// steps is a step a zone, with none where nothing prints.
/** @type {(p: any, zones: Zone[], pct: number[]) => string} */
function steps(p, zones, pct) {
  let d = "", before = false;
  for (const zone of byPlace(zones)) {
    const film = pct[zone - 1], { left_mm, right_mm } = zones[zone - 1];
    if (film) d += `${before ? "L" : "M"}${px(p.x(left_mm))} ${px(p.y(film))}H${px(p.x(right_mm))}`;
    before = !!film;
  }
  return d;
}

const text = (x, y, anchor, string, more = {}) => {
  const t = svg("text", { x, y, "text-anchor": anchor, ...more });
  write(t, string);
  return t;
};
const middle = (p, { left_mm, right_mm }) => p.x((left_mm + right_mm) / 2);

// signed is how far off a film is.
const signed = (by) => `${by < 0 ? "−" : "+"}${Math.abs(by).toFixed(0)}`;

/** @type {(p: any, zones: Zone[], pct: number[]) => any[]} */
function labels(p, zones, pct) {
  const list = [p.seen, BAND, -BAND, -p.seen].map((v) => text(p.left - 5, p.y(100 + v) + 4, "end", `${signed(v)}${p.roomy ? " %" : ""}`, { class: "soft" }));
  const every = p.column >= FIGURES ? 1 : 5;
  for (const zone of zones) {
    const by = pct[zone.zone - 1] - 100, x = middle(p, zone);
    if (zone.zone === 1 || zone.zone % every === 0) list.push(text(x, TOP + CHART + 14, "middle", String(zone.zone)));
    if (pct[zone.zone - 1] && Math.abs(by) >= 5 && p.column >= FIGURES) list.push(text(x, figureAt(p.y(100 + by), by), "middle", signed(by), { class: "figure" }));
  }
  return list;
}

// figureAt is where a film's figure stands: on the far side of its line, or the near
// one where the drawing ends.
const figureAt = (y, by) => (by < 0 && y + 13 <= TOP + CHART || y - 4 < 11 ? y + 13 : y - 4);

// footprint is how what one key does is shared among the zones.
/** @type {(p: any, zones: Zone[], pull: Found["pull"]) => any[]} */
function footprint(p, zones, pull) {
  const top = TOP + CHART + NUMBERS, foot = top + SHARES - 18;
  if (!pull) return [text(p.left, foot + 8, "start", p.roomy ? "Point at a zone: what its key does to all of them follows here." : "Point at a zone to see what its key does.", { class: "soft" })];
  const most = Math.max(...pull.shares_pct), y = (share) => foot - (Math.max(share, 0) / most) * (foot - top - 8);
  const d = byPlace(zones).map((zone, i) => `${i ? "L" : "M"}${px(p.x(zones[zone - 1].left_mm))} ${px(y(pull.shares_pct[zone - 1]))}H${px(p.x(zones[zone - 1].right_mm))}`).join("");
  const list = [svg("path", { class: "films-share", d }), svg("path", { class: "films-axis", d: `M${p.left} ${foot}H${p.right}` })];
  for (const zone of zones) {
    const share = pull.shares_pct[zone.zone - 1];
    if (p.column >= FIGURES && share >= 0.5) list.push(text(middle(p, zone), foot + 12, "middle", share.toFixed(0)));
  }
  if (p.roomy) list.push(text(p.left - 5, foot + 12, "end", "key, %", { class: "soft" }));
  return list;
}

// pictureOf is the film over the sheet in grays, the lead edge below: light is lean.
/** @type {(sheet: Sheet) => string} */
function pictureOf({ rows, columns, film_pct }) {
  const canvas = document.createElement("canvas"), pen = canvas.getContext("2d");
  Object.assign(canvas, { width: columns, height: rows });
  const image = pen.createImageData(columns, rows);
  film_pct.forEach((film, i) => {
    const row = rows - 1 - Math.floor(i / columns), at = 4 * (row * columns + (i % columns));
    const gray = film ? 135 - (clamp(film - 100, -DARKEST, DARKEST) / DARKEST) * 100 : 255;
    image.data.set([gray, gray, gray, 255], at);
  });
  pen.putImageData(image, 0, 0);
  return canvas.toDataURL();
}

// rulers mark off the form rollers' circumferences to either side of where they begin,
// what they bring back and what that comes from: each beside the sheet, with lines over it.
/** @type {(p: any) => any[]} */
function rulers(p) {
  const y = (mm) => p.map + p.high * (1 - mm / p.long), list = [];
  let across = "";
  p.forms.forEach((/** @type {{ roller: Roller, letter: string }} */ { roller, letter: name }, i) => {
    const x = p.right + 12 + i * p.ruler;
    let d = `M${px(x)} ${p.map}V${p.map + p.high}`;
    list.push(text(x, p.map - 5, "middle", name, { class: "figure" }));
    for (let mm = origin % roller.circumference_mm; mm <= p.long; mm += roller.circumference_mm) {
      d += `M${px(x - 4)} ${px(y(mm))}h8`;
      if (Math.abs(mm - origin) > 1e-6) {
        across += `M${p.left} ${px(y(mm))}H${p.right}`;
        list.push(text(x + 5, y(mm) - 3, "start", mm.toFixed(0)));
      }
    }
    list.push(svg("path", { class: "ruler", d }));
  });
  const base = `M${p.left} ${px(y(origin))}H${p.right}`;
  list.unshift(svg("path", { class: "ruler-halo", d: across + base }), svg("path", { class: "ruler-line", d: across }), svg("path", { class: "ruler-base", d: base }));
  list.push(text(p.left, p.map + p.high + 14, "start", "lead edge", { class: "soft" }));
  return list;
}

/** @type {(p: any, zones: Zone[], pct: number[]) => void} */
function columns(p, zones, pct) {
  for (const column of built.columns.children) {
    const zone = zones[column.dataset.zone - 1], by = pct[zone.zone - 1] - 100;
    const off = by < -100 + 1e-9 ? "prints nothing" : Math.abs(by) < 0.5 ? "as wanted" : `${show(Math.abs(by), 0)} % ${by < 0 ? "light" : "heavy"}`;
    put(column, { x: p.x(zone.left_mm), y: TOP, width: p.column, height: p.map + p.high - TOP, "aria-label": `Zone ${zone.zone}: ${off}` });
  }
}
