// The form above the fountain: a separation's picture, or all inks over one
// another, or the plate that is being drawn, with the zones as strips over it.

import * as api from "./api.js";
import * as compute from "./compute.js";
import { svg, put, renew } from "./dom.js";
import { writeAt } from "./keys.js";
import { edges, byPlace } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { Computed, Shape, Unit, Zone } from "./types.js" */

const pictures = new Map(); // of this placement, by separation
let placed = "";

/** @param {Zone[]} zones */
export function make(zones) {
  const g = svg("g", { class: "form" });
  const images = svg("g", { class: "plates" });
  const plate = svg("rect", { class: "plate" });
  const lead = svg("path", { class: "lead" });
  const strips = byPlace(zones).map((zone) => svg("rect", { class: "strip", "data-zone": zone }));
  const words = svg("g", { class: "small" }), numbers = svg("g");
  g.append(plate, images, lead, ...strips, words, numbers);
  return { g, images, plate, lead, strips, words, numbers };
}

// pictures fetches what is to be seen and calls back when something came.
/** @param {Unit[]} units @param {() => void} then */
export function fetchPictures(units, then) {
  const { placement } = compute;
  const { lead_edge, mirrored, dpi_x, dpi_y } = placement;
  const now = JSON.stringify([lead_edge, mirrored, dpi_x, dpi_y]);
  if (now !== placed) {
    for (const p of pictures.values()) if (p.url) URL.revokeObjectURL(p.url);
    pictures.clear();
    placed = now;
  }
  for (const { separation } of units) {
    if (pictures.has(separation)) continue;
    pictures.set(separation, {});
    api.picture(separation, placement)
      .then((p) => { if (placed === now) { pictures.set(separation, p); then(); } })
      .catch(() => {}); // the keys' own answer says what is wrong
  }
}

// frame is the plate's place in px: centred on the fountain, moved by shift,
// standing on its lead edge.
/** @type {(p: Plan, y: number, result: Computed, size: any) => any} */
export function frame(p, y, result, size) {
  const shift = compute.placement.shift_mm || 0;
  const width = size.width_mm ?? result.fountain_mm;
  const length = Math.max(result.length_mm || 0, size.height_mm || 0) || 1;
  const height = (p.form * (size.height_mm ?? length)) / length;
  const left = p.x(result.fountain_mm / 2 + shift - width / 2);
  return { left, top: y + p.form - height, width: width * p.scale, height };
}

/** @type {(parts: any, p: Plan, y: number, result: Computed, units: Unit[], shapes: Shape[] | null, size: any) => any} */
export function draw(parts, p, y, result, units, shapes, size) {
  const at = shapes ? drawn(parts, p, y, result, shapes, size) : separations(parts, p, y, result, units);
  put(parts.plate, { x: at.left, y: at.top, width: at.width, height: at.height });
  put(parts.lead, { d: `M${at.left} ${y + p.form}h${at.width}` });
  for (const strip of parts.strips) {
    const [from, to] = edges(p, result.zones[strip.dataset.zone - 1]);
    put(strip, { x: from, y, width: to - from, height: p.form });
  }
  renew(parts.words, [p, y, at.top, result.zones], () => labels(p, y, at, result));
  renew(parts.numbers, [p, y, result.zones], () => (p.all ? numbers(p, y, result) : []));
  return at;
}

/** @type {(parts: any, p: Plan, y: number, result: Computed, shapes: Shape[], size: any) => any} */
function drawn(parts, p, y, result, shapes, size) {
  const at = frame(p, y, result, size);
  parts.images.replaceChildren(...shapes.map((s) => svg("rect", {
    x: at.left + s.x * at.width, y: at.top + (1 - s.y - s.h) * at.height,
    width: s.w * at.width, height: s.h * at.height, fill: gray(s.tint),
  })));
  return at;
}

const gray = (tint) => {
  const level = Math.round(255 * (1 - tint / 100));
  return `rgb(${level},${level},${level})`;
};

/** @type {(parts: any, p: Plan, y: number, result: Computed, units: Unit[]) => any} */
function separations(parts, p, y, result, units) {
  let at = { left: p.left, top: y, width: p.right - p.left, height: p.form };
  const images = [];
  for (const { separation } of units) {
    const picture = pictures.get(separation);
    if (!picture || !picture.url) continue;
    at = frame(p, y, result, picture);
    images.push({ href: picture.url, x: at.left, y: at.top, width: at.width, height: at.height });
  }
  const shown = [...parts.images.children];
  if (shown.length !== images.length || shown.some((n) => n.tagName !== "image")) {
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

/** @type {(p: Plan, y: number, at: any, result: Computed) => any[]} */
function labels(p, y, at, result) {
  const text = (x, ty, anchor, string) => {
    const t = svg("text", { x, y: ty, "text-anchor": anchor });
    t.textContent = string;
    return t;
  };
  const order = byPlace(result.zones);
  const under = y + p.form + 14;
  const list = [text((p.left + p.right) / 2, under, "middle", p.roomy ? "lead edge, nearest you" : "lead edge")];
  list.push(text(p.left, under, "start", p.roomy ? `◄ left end, zone ${order[0]}` : `◄ zone ${order[0]}`));
  list.push(text(p.right, under, "end", p.roomy ? `right end, zone ${order.at(-1)} ►` : `zone ${order.at(-1)} ►`));
  if (p.roomy) list.push(text(p.left - 8, at.top + 10, "end", "tail"), text(p.left - 8, y + p.form - 2, "end", "lead"));
  return list;
}
