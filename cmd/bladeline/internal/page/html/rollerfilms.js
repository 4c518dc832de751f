// What every zone prints, as film, density or both, against the band of 10 %; what the lit
// zone's key does to all of them; and the film over the sheet, with rulers on which the form rollers'
// circumferences are marked off. All share one scale across.

import * as store from "./state.js";
import { $, clamp, eachFrame, put, renew, round, show, svg, write } from "./dom.js";
import * as chart from "./filmchart.js";
import { byPlace } from "./plan.js";
import { letter } from "./sideview.js";

/** @import { Found } from "./rehearse.js" */
/** @import { Kind } from "./filmchart.js" */
/** @import { Computed, Line, Roller, Sheet, Zone } from "./types.js" */

const TOP = 16, NEXT = chart.HIGH + chart.NUMBERS + 12, SHARES = 46, MAP = 240, FOOT = 18; // px; a chart and what parts it from the next
const FIGURES = 18; // px of a column that holds two figures
const NAMES = 104; // px beside the charts for the names of their lines
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

/** @type {(line: Line, result: Computed, kinds: Kind[]) => any} */
function planned({ train }, result, kinds) {
  const width = $("rehearse-films").clientWidth, roomy = width >= 560;
  const forms = train.rollers.map((roller, i) => ({ roller, letter: letter(i) })).filter(({ roller }) => roller.kind === "form");
  const ruler = roomy ? 34 : 30, left = roomy ? 46 : 30, right = width - 8 - Math.max(ruler * forms.length, NAMES);
  const scale = (right - left) / result.fountain_mm, shares = TOP + kinds.length * NEXT - 12, map = shares + SHARES;
  return {
    width, roomy, left, right, scale, forms, ruler, shares, map, column: (right - left) / result.zones.length,
    long: train.image_mm, high: Math.min(MAP, train.image_mm * scale), x: (mm) => left + mm * scale,
  };
}

/** @type {(found: Found, result: Computed, kinds: Kind[]) => void} */
export function draw(found, result, kinds) {
  if (!$("rehearse-films").clientWidth) return; // not seen
  const { line, own, settled, solved, pull } = found, p = planned(line, result, kinds);
  const shown = { ...(settled ?? own), solved: solved?.films, quick: !settled };
  build(result, kinds, p);
  put(built.drawing, { viewBox: `0 0 ${p.width} ${p.map + p.high + FOOT}`, width: p.width, height: p.map + p.high + FOOT });
  built.charts.forEach((c, i) => chart.draw(c, p, TOP + i * NEXT, result.zones, own.band, shown));
  const shares = pull && pull.zone === store.state.lit ? pull : null;
  renew(built.shares, [p, shares], () => footprint(p, result.zones, shares));
  put(built.sheet, { x: p.left, y: p.map, width: p.right - p.left, height: p.high });
  if (settled) renew(built.image, settled.sheet, () => [svg("image", { href: pictureOf(settled.sheet), preserveAspectRatio: "none", width: 1, height: 1 })]);
  put(built.image, { transform: `translate(${p.left} ${p.map}) scale(${p.right - p.left} ${p.high})`, class: settled ? "" : "old" });
  renew(built.rulers, [p, origin], () => rulers(p));
  put($("ruler-from"), { max: Math.floor(p.long) });
  if (document.activeElement !== $("ruler-from")) $("ruler-from").value = String(origin);
  columns(p, result.zones, shown.preset.pct);
}

/** @type {(result: Computed, kinds: Kind[], p: any) => void} */
function build(result, kinds, p) {
  const kind = [...kinds, ...result.zones.map((z) => z.left_mm)].join();
  if (built?.kind === kind) return void (built.plan = p);
  const charts = kinds.map(chart.make);
  const parts = { shares: svg("g", { class: "films-words" }), sheet: svg("rect", { class: "plate" }), image: svg("g"), rulers: svg("g", { class: "films-words" }) };
  const columns = svg("g", { role: "listbox", "aria-label": "Zones and their films, from left to right", "aria-orientation": "horizontal" },
    ...byPlace(result.zones).map((zone, i) => svg("rect", { class: "column", "data-zone": zone, "data-rove": true, role: "option", "aria-selected": "false", tabindex: i ? -1 : 0 })));
  const drawing = svg("svg", { role: "group", "aria-label": "What every zone prints, and the film over the sheet" }, svg("g", { "aria-hidden": "true" }, ...charts.map(({ g }) => g), ...Object.values(parts)), columns);
  $("rehearse-films").replaceChildren(drawing);
  built = { kind, drawing, columns, charts, plan: p, ...parts };
}

const px = (v) => v.toFixed(1);

const text = (x, y, anchor, string, more = {}) => {
  const t = svg("text", { x, y, "text-anchor": anchor, ...more });
  write(t, string);
  return t;
};
const middle = (p, { left_mm, right_mm }) => p.x((left_mm + right_mm) / 2);

// footprint is how what one key does is shared among the zones.
/** @type {(p: any, zones: Zone[], pull: Found["pull"]) => any[]} */
function footprint(p, zones, pull) {
  const top = p.shares, foot = top + SHARES - 18;
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
  const foot = p.map + p.high + 14;
  list.push(text(p.left, foot, "start", "lead edge", { class: "soft" }), text(p.right, foot, "end", `light −${DARKEST} %, dark +${DARKEST} %${p.roomy ? " of film" : ""}`, { class: "soft" }));
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
