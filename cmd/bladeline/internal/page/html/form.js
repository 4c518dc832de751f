// The form above the fountain: a separation's picture, or all inks over one
// another, or the plate that is being drawn, with the zones as strips over it.

import * as api from "./api.js";
import * as compute from "./compute.js";
import { svg, put, renew } from "./dom.js";
import { writeAt } from "./keys.js";
import { edges, byPlace } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { Computed, Outline, Shape, Unit, Zone } from "./types.js" */

// A plate that is seen: its separation, where there is one yet, and where it lies.
/** @typedef {{ separation: string | undefined, outline: Outline }} Plate */

const pictures = new Map(); // addresses of those of this placement, by separation; "" while one is on its way
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

// fetchPictures brings what is to be seen and calls back when something came.
/** @param {Unit[]} units @param {() => void} then */
export function fetchPictures(units, then) {
  const { placement } = compute;
  const { lead_edge, mirrored, dpi_x, dpi_y } = placement;
  const now = JSON.stringify([lead_edge, mirrored, dpi_x, dpi_y]);
  if (now !== placed) {
    for (const url of pictures.values()) if (url) URL.revokeObjectURL(url);
    pictures.clear();
    placed = now;
  }
  for (const { separation } of units) {
    if (pictures.has(separation)) continue;
    pictures.set(separation, "");
    api.picture(separation, placement)
      .then((url) => { if (placed === now) { pictures.set(separation, url); then(); } })
      .catch(() => {}); // the keys' own answer says what is wrong
  }
}

// frame is an outline in px, standing on its lead edge.
/** @type {(p: Plan, y: number, result: Computed, outline: Outline) => any} */
function frame(p, y, result, { left_mm, width_mm, length_mm }) {
  const height = (p.form * length_mm) / Math.max(result.length_mm, length_mm);
  return { left: p.x(left_mm), top: y + p.form - height, width: width_mm * p.scale, height };
}

// draw draws the plates that are seen, or the shapes of the one that is drawn by
// hand, and answers where the last one lies.
/** @type {(parts: any, p: Plan, y: number, result: Computed, plates: Plate[], shapes: Shape[] | null) => any} */
export function draw(parts, p, y, result, plates, shapes) {
  const at = shapes ? drawn(parts, p, y, result, shapes, plates[0].outline) : separations(parts, p, y, result, plates);
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

/** @type {(parts: any, p: Plan, y: number, result: Computed, shapes: Shape[], outline: Outline) => any} */
function drawn(parts, p, y, result, shapes, outline) {
  const at = frame(p, y, result, outline);
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

/** @type {(parts: any, p: Plan, y: number, result: Computed, plates: Plate[]) => any} */
function separations(parts, p, y, result, plates) {
  let at = { left: p.left, top: y, width: p.right - p.left, height: p.form };
  const images = [];
  for (const { separation, outline } of plates) {
    const url = pictures.get(separation);
    if (!url) continue;
    at = frame(p, y, result, outline);
    images.push({ href: url, x: at.left, y: at.top, width: at.width, height: at.height });
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
  const list = [text((p.left + p.right) / 2, under, "middle", p.roomy ? "gripper edge (lead edge), nearest you" : "lead edge")];
  list.push(text(p.left, under, "start", p.roomy ? `◄ left end, zone ${order[0]}` : `◄ zone ${order[0]}`));
  list.push(text(p.right, under, "end", p.roomy ? `right end, zone ${order.at(-1)} ►` : `zone ${order.at(-1)} ►`));
  if (p.roomy) list.push(text(p.left - 8, at.top + 10, "end", "tail"), text(p.left - 8, y + p.form - 2, "end", "lead"));
  return list;
}
