// The keys as set on the press's own scale, one under each zone, with what
// holds a key where something does.

import { svg, put, write, show } from "./dom.js";
import { edges, byPlace, held } from "./plan.js";

// heights of the rows under a blade line.
export function height(p, keys) {
  const holds = keys.some((k) => k.state !== "set");
  return (p.all ? 0 : 18 + (p.upright ? 30 : 17)) + p.keyRow + (holds ? (p.all ? 12 : 58) : 4);
}

// make makes the parts of one ink alone, or fewer of all inks.
export function make(zones, all) {
  const g = svg("g", { class: "keys" });
  const texts = all ? ["key", "sign"] : ["number", "covered", "key", "sign", "word"];
  const cells = byPlace(zones).map((zone) => {
    const cell = { zone, g: svg("g", { "data-zone": zone, class: "key" }) };
    cell.box = svg("rect", { class: "key-box" });
    for (const name of texts) cell[name] = svg("text", { class: `key-${name}`, "text-anchor": "middle" });
    cell.g.append(cell.box, ...texts.map((name) => cell[name]));
    return cell;
  });
  const labels = svg("g", { class: "small" });
  g.append(labels, ...cells.map((c) => c.g));
  return { g, cells, labels };
}

export function draw({ cells, labels }, p, y, zones, keys, { unit, hidden }) {
  const top = y + (p.all ? 0 : 18 + (p.upright ? 30 : 17));
  for (const cell of cells) {
    const key = keys[cell.zone - 1];
    const [from, to] = edges(p, zones[cell.zone - 1]);
    const mid = (from + to) / 2;
    put(cell.box, { x: from, y: top, width: to - from, height: p.keyRow });
    words(cell, p, mid, y, top, key, hidden);
  }
  captions(labels, p, y, top, unit, keys, hidden);
}

function words(cell, p, mid, y, top, key, hidden) {
  const text = key.key_text;
  place(cell.key, mid, top + p.keyRow / 2, p.upright, text);
  cell.key.classList.toggle("tight", p.upright ? p.column < 19 : text.length * 11 > p.column - 4);
  const { sign, word } = held[key.state] || { sign: "?", word: key.state };
  place(cell.sign, mid, top + p.keyRow + 11, false, sign);
  if (p.all) return;
  const narrow = p.column < 16 && cell.zone > 9; // where figures would touch the next zone's
  place(cell.number, mid, narrow ? y + 8 : y + 13, narrow, String(cell.zone));
  put(cell.number, { class: p.column < 18 ? "key-number tight" : "key-number" });
  place(cell.covered, mid, p.upright ? y + 31 : y + 29, p.upright, hidden ? "" : show(key.coverage_pct));
  place(cell.word, mid, top + p.keyRow + 36, true, word);
}

// place writes a text, upright where the column is narrow.
function place(node, x, y, upright, text) {
  write(node, text);
  put(node, { x, y, transform: upright ? `rotate(-90 ${x.toFixed(1)} ${y.toFixed(1)})` : "", "dominant-baseline": upright || node.classList.contains("key-key") ? "central" : "auto" });
}

function captions(labels, p, y, top, unit, keys, hidden) {
  if (!p.roomy) return labels.replaceChildren();
  const caption = (at, text) => {
    const t = svg("text", { x: p.left - 8, y: at, "text-anchor": "end" });
    t.textContent = text;
    return t;
  };
  const list = [caption(top + p.keyRow / 2 + 4, `key, ${unit}`)];
  if (!p.all) {
    list.push(caption(y + 13, "zone"));
    if (!hidden) list.push(caption(y + 29, "covered %"));
    if (keys.some((k) => k.state !== "set")) list.push(caption(top + p.keyRow + 14, hidden ? "gets" : "held by"));
  }
  labels.replaceChildren(...list);
}
