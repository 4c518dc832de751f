// The form above the fountain: a separation's picture, or all inks over one
// another, or the plate that is being drawn, with the zones as strips over it.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as shapes from "./shapes.js";
import { svg, put, write, renew, show } from "./dom.js";
import { writeAt } from "./keys.js";
import { inkColour, tinted } from "./inks.js";
import { edges, byPlace, extent } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { DrawnShape } from "./state.js" */
/** @import { Computed, Outline, Shape, Unit, Zone } from "./types.js" */

// A plate that is seen: its separation, where there is one yet, and where it lies.
/** @typedef {{ separation: string | undefined, ink: string, outline: Outline }} Plate */

const pictures = new Map(); // addresses of those of this placement, by separation; "" while one is on its way
const tints = new Map(); // of those in their inks' colours, by separation and ink
let placed = "";

/** @param {Zone[]} zones */
export function make(zones) {
  const g = svg("g", { class: "form" });
  const images = svg("g", { class: "plates" });
  const drawn = svg("g", { class: "plates" }), hold = svg("g");
  const plate = svg("rect", { class: "plate" });
  const rule = svg("path", { class: "rule" });
  const lead = svg("path", { class: "lead" });
  const strips = byPlace(zones).map((zone) => svg("rect", { class: "strip", "data-zone": zone }));
  const words = svg("g", { class: "small" }), numbers = svg("g");
  g.append(plate, images, drawn, lead, rule, ...strips, hold, words, numbers);
  return { g, images, drawn, hold, plate, lead, rule, strips, words, numbers };
}

// fetchPictures brings what is to be seen and calls back when something came.
/** @param {Unit[]} units @param {() => void} then */
export function fetchPictures(units, then) {
  const tint = units.length > 1;
  const { placement } = compute;
  const { lead_edge, mirrored, dpi_x, dpi_y } = placement;
  const now = JSON.stringify([lead_edge, mirrored, dpi_x, dpi_y]);
  if (now !== placed) {
    for (const url of [...pictures.values(), ...tints.values()]) if (url) URL.revokeObjectURL(url);
    pictures.clear();
    tints.clear();
    placed = now;
  }
  const keep = (list, name, coming) => {
    if (list.has(name)) return;
    list.set(name, "");
    coming().then((url) => {
      if (placed !== now) return;
      list.set(name, url);
      fetchPictures(units, then); // that are made of this one
      then();
    }).catch(() => {}); // the keys' own answer says what is wrong
  };
  for (const { separation, ink } of units) {
    keep(pictures, separation, () => api.picture(separation, placement));
    const gray = pictures.get(separation);
    if (tint && gray) keep(tints, tintOf(separation, ink), () => tinted(gray, ink));
  }
}

/** @type {(separation: string | undefined, ink: string) => string} */
const tintOf = (separation, ink) => `${separation}|${inkColour(ink)}`;

// frame is an outline in px, standing on its lead edge.
/** @type {(p: Plan, y: number, outline: Outline) => any} */
function frame(p, y, { left_mm, width_mm, length_mm }) {
  const height = (p.form * length_mm) / p.longest_mm;
  return { left: p.x(left_mm), top: y + p.form - height, width: width_mm * p.scale, height };
}

// draw draws the plates that are seen, or the shapes of those that are drawn by
// hand, and answers where the last one lies.
/** @type {(parts: any, p: Plan, y: number, result: Computed, plates: Plate[], drawing: DrawnShape[] | null) => any} */
export function draw(parts, p, y, result, plates, drawing) {
  const at = drawing ? drawn(parts, p, y, drawing, plates) : separations(parts, p, y, plates);
  put(parts.plate, { x: at.left, y: at.top, width: at.width, height: at.height });
  put(parts.lead, { d: `M${at.left} ${y + p.form}h${at.width}` });
  for (const strip of parts.strips) {
    const [from, to] = edges(p, result.zones[strip.dataset.zone - 1]);
    put(strip, { x: from, y, width: to - from, height: p.form });
  }
  renew(parts.words, [p, y, at, result.zones], () => labels(p, y, at, result));
  put(parts.rule, { d: p.roomy ? rule(p, y, at).map(([, ry]) => `M${p.left - 11} ${ry}h5`).join("") + `M${p.left - 6} ${at.top}V${y + p.form}` : bar(p, y) });
  renew(parts.numbers, [p, y, result.zones], () => (p.all ? numbers(p, y, result) : []));
  return at;
}

/** @type {(parts: any, p: Plan, y: number, list: DrawnShape[], plates: Plate[]) => any} */
function drawn(parts, p, y, list, plates) {
  const at = frame(p, y, plates[0].outline), inks = plates.map((plate) => plate.ink);
  const seen = list.filter((s) => inks.includes(store.inkOf(s)));
  parts.images.replaceChildren();
  renew(parts.drawn, [at, seen, inks.length], () => seen.map((s) => svg("rect", {
    ...boxOf(at, s), fill: inks.length > 1 ? thin(inkColour(store.inkOf(s)), s.tint) : gray(s.tint),
    class: inks.length > 1 && s.tint ? "overprints" : "",
  })));
  const held = store.state.trial ? null : list[shapes.chosen];
  renew(parts.hold, [at, held ?? null], () => (held ? holds(boxOf(at, held)) : []));
  return at;
}

/** @type {(at: any, s: Shape) => { x: number, y: number, width: number, height: number }} */
const boxOf = (at, s) => ({ x: at.left + s.x * at.width, y: at.top + (1 - s.y - s.h) * at.height, width: s.w * at.width, height: s.h * at.height });

// holds is the outline and the corners of the shape that is taken hold of.
const holds = (box) => [
  svg("rect", { ...box, class: "hold-halo" }), svg("rect", { ...box, class: "hold" }),
  ...[0, 1].flatMap((u) => [0, 1].map((v) => svg("rect", { x: box.x + u * box.width - 5, y: box.y + v * box.height - 5, width: 10, height: 10, class: "hold-corner" }))),
];

// thin is a colour as a tint of so many % prints it.
const thin = (colour, tint) => {
  const part = (at) => Math.round(255 - ((255 - parseInt(colour.slice(at, at + 2), 16)) * tint) / 100);
  return `rgb(${part(1)},${part(3)},${part(5)})`;
};

const gray = (tint) => {
  const level = Math.round(255 * (1 - tint / 100));
  return `rgb(${level},${level},${level})`;
};

/** @type {(parts: any, p: Plan, y: number, plates: Plate[]) => any} */
function separations(parts, p, y, plates) {
  let at = { left: p.left, top: y, width: p.right - p.left, height: p.form };
  const images = [];
  for (const { separation, ink, outline } of plates) {
    const url = plates.length > 1 ? tints.get(tintOf(separation, ink)) : pictures.get(separation);
    if (!url) continue;
    at = frame(p, y, outline);
    images.push({ href: url, x: at.left, y: at.top, width: at.width, height: at.height });
  }
  for (const name of ["drawn", "hold"]) renew(parts[name], [], () => []);
  const shown = [...parts.images.children];
  if (shown.length !== images.length) {
    parts.images.replaceChildren(...images.map(() => svg("image", { preserveAspectRatio: "none" })));
  }
  images.forEach((attributes, i) => put(parts.images.children[i], attributes));
  return at;
}

// numbers are the zones' over all inks, whose blade lines have none.
/** @type {(p: Plan, y: number, result: Computed) => any[]} */
const numbers = (p, y, result) => result.zones.map((z) => {
  const [from, to] = edges(p, z), node = svg("text", { class: "key-number", "text-anchor": "middle" });
  return writeAt(node, (from + to) / 2, y - 4 - p.number.high / 2, p.number, String(z.zone));
});

// rule is the marks of a scale along the form, in mm from its lead edge.
/** @type {(p: Plan, y: number, at: any) => number[][]} */
function rule(p, y, at) {
  const perMM = p.form / p.longest_mm, length_mm = at.height / perMM;
  const step = [20, 50, 100, 200, 500].find((mm) => mm * perMM >= 24 && length_mm / mm <= 10) ?? 1000;
  return Array.from({ length: Math.floor(length_mm / step) + 1 }, (_, i) => [i * step, y + p.form - i * step * perMM]);
}

const FLAT = 1.05; // times: less is not seen
const LONG = 100; // mm of the bar that stands for a rule where there is no room for one

/** @type {(p: Plan, y: number) => string} */
const bar = (p, y) => `M${p.left} ${above(p, y) - 8}v8h${LONG * p.scale}v-8`;

// above is the line of the words above the form.
/** @type {(p: Plan, y: number) => number} */
const above = (p, y) => y - 5 - (p.all ? p.number.high + 4 : 0);

/** @type {(p: Plan, y: number, at: any, result: Computed) => any[]} */
function labels(p, y, at, result) {
  const text = (x, ty, anchor, string) => {
    const t = svg("text", { x, y: ty, "text-anchor": anchor });
    write(t, string);
    return t;
  };
  const list = [...under(p, y + p.form + 14, at, result, text), ...over(p, above(p, y), text)];
  return p.roomy ? [...list, ...rule(p, y, at).map(([mm, ry]) => text(p.left - 14, ry + (mm ? 4 : 2), "end", mm ? String(mm) : "0 mm"))] : list;
}

/** @typedef {(x: number, y: number, anchor: string, string: string) => any} Text */

const wide = (/** @type {string} */ s) => 11.5 * extent(s).width;
const GRIP = 30; // px from the middle of the form to beside its grip

// under is the line of words under the form, around its grip: the longest that there is
// room for.
/** @type {(p: Plan, y: number, at: any, result: Computed, text: Text) => any[]} */
function under(p, y, at, result, text) {
  const order = byPlace(result.zones), middle = at.left + at.width / 2;
  const ends = [[`◄ left end, zone ${order[0]}`, `right end, zone ${order.at(-1)} ►`], [`◄ zone ${order[0]}`, `zone ${order.at(-1)} ►`]].find((e) => wide(e[0]) < middle - GRIP - p.left && wide(e[1]) < p.right - middle - GRIP) ?? ["", ""];
  const lead = ["gripper edge (lead edge), nearest you", "lead edge, nearest you", "lead edge", ""].find((s) => middle + GRIP + 10 + wide(s) < p.right - wide(ends[1]));
  return [text(p.left, y, "start", ends[0]), text(p.right, y, "end", ends[1]), text(middle + GRIP, y, "start", lead)];
}

// over is the line of words over the form: by how much it is flattened, always; the
// bar that stands for a rule, where there is none; and the edge's name where it has room.
/** @type {(p: Plan, y: number, text: Text) => any[]} */
function over(p, y, text) {
  const width = p.right - p.left, tail = wide("tail edge"), says = `${show(p.flat, 2)} times flatter`;
  const flat = p.flat < FLAT ? "" : wide(`drawn ${says} than it is`) < width * (p.roomy ? 0.9 : 0.5) ? `drawn ${says} than it is` : says;
  const from = p.roomy ? (p.left + p.right - tail) / 2 : p.left + LONG * p.scale + 14 + wide(`${LONG} mm`);
  const at = from + tail + 10 < p.right - wide(flat) ? from : p.left; // else at its left end, where it has that
  const list = flat ? [text(p.right, y, "end", flat)] : [];
  if (!p.roomy) list.push(text(p.left + LONG * p.scale + 4, y, "start", `${LONG} mm`));
  if ((p.roomy || at === from) && at + tail + 10 < p.right - wide(flat)) list.push(text(at, y, "start", "tail edge"));
  return list;
}
