// The blade line, as on the key sheet: the fountain roller a straight edge, the
// blade bent by each key's opening, and ink filling the gap, to scale.

import { svg, put } from "./dom.js";
import { edges, byPlace, extent } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { Zone } from "./types.js" */

const THICK = 5; // px of blade
const ROLLER = 22;

// height of a blade line with or without its screws.
/** @type {(p: Plan) => number} */
export const height = (p) => (p.all ? 8 + p.gap + THICK + 4 : ROLLER + p.gap + THICK + 28);

export function make() {
  const g = svg("g");
  const parts = {};
  for (const name of ["roller", "shine", "edge", "scale", "ink", "screws", "frame", "blade", "halo", "ghost"]) {
    parts[name] = svg("path", { class: `blade-${name}` });
    g.append(parts[name]);
  }
  parts.labels = svg("g", { class: "small" });
  g.append(parts.labels);
  return { g, parts };
}

// draw puts the blade line at y and answers where its roller's edge is.
/** @type {(blade: any, p: Plan, y: number, zones: Zone[], openings: number[], how: { onePiece: boolean, ghost: number[] | null, ghostIs: string, colour: string | null }) => number} */
export function draw({ parts }, p, y, zones, openings, { onePiece, ghost, ghostIs, colour }) {
  const edge = y + (p.all ? 8 : ROLLER);
  const order = byPlace(zones);
  const at = order.map((zone) => {
    const [from, to] = edges(p, zones[zone - 1]);
    return { from, to, down: edge + depth(p, openings[zone - 1]) };
  });
  roller(parts, p, y, edge, ghost && ghostIs);
  const upper = onePiece ? bent(at) : stepped(at);
  const closed = `L${px(p.right)} ${edge}L${px(p.left)} ${edge}Z`;
  put(parts.ink, { class: colour ? "blade-ink tinted" : "blade-ink", fill: colour ?? "", d: onePiece ? upper + closed : at.map((a) => box(a.from, edge, a.to, a.down)).join("") });
  put(parts.blade, { d: onePiece ? upper + reverse(at, THICK) : at.map((a) => box(a.from, a.down, a.to, a.down + THICK)).join("") });
  for (const name of ["halo", "ghost"]) put(parts[name], { d: ghost ? before(p, zones, order, edge, ghost, onePiece) : "" });
  screws(parts, p, edge, at);
  return edge;
}

const px = (v) => v.toFixed(1);
/** @type {(p: Plan, opening: number | null) => number} */
const depth = (p, opening) => (Math.min(Math.max(opening ?? 0, 0), 100) / 100) * p.gap;
const box = (l, t, r, b) => `M${px(l)} ${px(t)}H${px(r)}V${px(b)}H${px(l)}Z`;
const stepped = (at) => at.map((a, i) => `${i ? "L" : "M"}${px(a.from)} ${px(a.down)}H${px(a.to)}`).join("");

/** @type {(p: Plan, zones: Zone[], order: number[], edge: number, ghost: number[], onePiece: boolean) => string} */
function before(p, zones, order, edge, ghost, onePiece) {
  const at = order.map((zone) => {
    const [from, to] = edges(p, zones[zone - 1]);
    return { from, to, down: edge + depth(p, ghost[zone - 1]) };
  });
  return onePiece ? bent(at) : stepped(at);
}

/** @type {(parts: any, p: Plan, y: number, edge: number, ghostIs: string | null) => void} */
function roller(parts, p, y, edge, ghostIs) {
  const l = p.left - 4, r = p.right + 4, h = edge - y;
  put(parts.roller, { d: box(l, y, r, edge) });
  put(parts.shine, { d: [0.08, 0.18, 0.86, 0.94].map((at) => `M${l} ${px(y + at * h)}H${px(r)}`).join("") });
  put(parts.edge, { d: `M${l} ${edge}H${px(r)}` });
  put(parts.scale, { d: `M${p.left} ${edge + p.gap}H${px(p.right)}M${p.left} ${edge + p.gap / 2}H${px(p.right)}` });
  const label = (x, at, text, anchor) => {
    const t = svg("text", { x, y: at, "text-anchor": anchor });
    t.textContent = text;
    return t;
  };
  const labels = p.roomy && !p.all
    ? [label(p.left - 8, edge + 4, "shut", "end"), label(p.left - 8, edge + p.gap / 2 + 4, "half", "end"), label(p.left - 8, edge + p.gap + 4, "fully open", "end")]
    : [];
  const dashed = ghostIs && p.roomy && !p.all ? `dashed: ${ghostIs}` : "", middle = (p.left + p.right) / 2, wide = (s) => 11.5 * extent(s).width;
  const apart = middle + wide("fountain roller") / 2 + 8 < p.right - 4 - wide(dashed);
  if (!p.all) labels.push(label(apart ? middle : p.left + 4, y + 16, "fountain roller", apart ? "middle" : "start"));
  if (dashed) labels.push(label(p.right - 4, y + 16, dashed, "end"));
  parts.labels.replaceChildren(...labels);
}

/** @type {(parts: any, p: Plan, edge: number, at: { from: number, to: number, down: number }[]) => void} */
function screws(parts, p, edge, at) {
  if (p.all) return void put(parts.screws, { d: "" });
  const screwHead = edge + p.gap + THICK + 16;
  const half = Math.min(3, p.column * 0.15);
  put(parts.screws, { d: at.map((a) => {
    const x = (a.from + a.to) / 2;
    return box(x - half, a.down + THICK, x + half, screwHead) + box(x - 2 * half, screwHead, x + 2 * half, screwHead + 8) + `M${px(x)} ${screwHead + 2}V${screwHead + 8}`;
  }).join("") });
  put(parts.frame, { d: box(p.left, screwHead - 9, p.right, screwHead - 4) });
}

// slopes of a monotone cubic through evenly spaced heights (Fritsch and
// Butland 1984, whose weights are one half each when the steps are equal).
function slopes(ys) {
  const d = ys.slice(1).map((y, i) => y - ys[i]);
  return ys.map((_, i) => {
    const a = d[i - 1], b = d[i];
    if (a === undefined || b === undefined || a * b <= 0) return 0;
    return (2 * a * b) / (a + b);
  });
}

// bent is the upper side of a blade of one piece: it touches every key's
// opening over its screw and never bends beyond the keys beside it.
function bent(at) {
  const m = slopes(at.map((a) => a.down));
  const mid = (a) => (a.from + a.to) / 2;
  let d = `M${px(at[0].from)} ${px(at[0].down)}L${px(mid(at[0]))} ${px(at[0].down)}`;
  for (let i = 1; i < at.length; i++) {
    const third = (mid(at[i]) - mid(at[i - 1])) / 3;
    d += `C${px(mid(at[i - 1]) + third)} ${px(at[i - 1].down + m[i - 1] / 3)} ${px(mid(at[i]) - third)} ${px(at[i].down - m[i] / 3)} ${px(mid(at[i]))} ${px(at[i].down)}`;
  }
  return `${d}L${px(at.at(-1).to)} ${px(at.at(-1).down)}`;
}

// reverse is the lower side, right to left, that closes the blade's section.
function reverse(at, thick) {
  const turned = [...at].reverse().map((a) => ({ from: a.to, to: a.from, down: a.down + thick }));
  return `L${bent(turned).slice(1)}Z`;
}
