// The keys as set on the press's own scale, one under each zone, with what
// holds a key where something does.

import { svg, put, write, show, plural } from "./dom.js";
import { edges, byPlace, keyStates, extent } from "./plan.js";

/** @import { Plan } from "./plan.js" */
/** @import { Key, Zone } from "./types.js" */

// A ShownKey is what is drawn of a key, the server's or a learner's.
/** @typedef {Pick<Key, "zone" | "coverage_pct" | "opening_pct" | "key_text" | "state">} ShownKey */

// written is how what holds a key stands: as small as the zone's number where
// that had to be.
const written = (p) => ({ size: p.number.upright ? Math.min(11, p.number.size) : 11, upright: true });

// height of the rows under a blade line.
/** @type {(p: Plan, keys: ShownKey[]) => number} */
export const height = (p, keys) => figures(p) + p.keyRow + holds(p, keys);

// figures is the height of the zones' numbers and coverages.
const figures = (p) => (p.all ? 0 : p.number.high + p.covered.high + 8);

/** @param {ShownKey} key */
const stateOf = (key) => keyStates[key.state] || { sign: "?", word: key.state };

// holds is the height of the signs and words under the keys.
/** @type {(p: Plan, keys: ShownKey[]) => number} */
function holds(p, keys) {
  if (keys.every((k) => k.state === "set")) return 4;
  if (p.all) return 14;
  return 24 + written(p).size * Math.max(...keys.map((k) => extent(stateOf(k).word).width));
}

// make makes the parts of one ink alone, or fewer of all inks.
/** @param {Zone[]} zones @param {boolean} all */
export function make(zones, all) {
  const g = svg("g", { class: "keys" });
  const texts = all ? ["key", "sign"] : ["number", "covered", "key", "sign", "word"];
  const cells = byPlace(zones).map((zone) => {
    const cell = { zone, g: svg("g", { "data-zone": zone, class: "key" }) };
    cell.box = svg("rect", { class: "key-box" });
    for (const name of texts) cell[name] = svg("text", { class: `key-${name}`, "text-anchor": name === "word" ? "end" : "middle" });
    cell.g.append(cell.box, ...texts.map((name) => cell[name]));
    return cell;
  });
  const labels = svg("g", { class: "small" });
  g.append(labels, ...cells.map((c) => c.g));
  return { g, cells, labels };
}

/** @type {(parts: any, p: Plan, y: number, zones: Zone[], keys: ShownKey[], how: { keyUnit: string, hidden: boolean }) => void} */
export function draw({ cells, labels }, p, y, zones, keys, { keyUnit, hidden }) {
  const at = rows(p, y);
  for (const cell of cells) {
    const key = keys[cell.zone - 1];
    const [from, to] = edges(p, zones[cell.zone - 1]);
    put(cell.box, { x: from, y: at.top, width: to - from, height: p.keyRow });
    words(cell, p, at, (from + to) / 2, key, hidden);
  }
  captions(labels, p, at, keyUnit, keys, hidden);
}

// rows is the middle of each row, and where the boxes of the keys begin.
function rows(p, y) {
  const top = y + figures(p);
  return { number: y + 2 + p.number.high / 2, covered: top - 3 - p.covered.high / 2, top, key: top + p.keyRow / 2, sign: top + p.keyRow + 8, word: top + p.keyRow + 20 };
}

/** @type {(cell: any, p: Plan, at: any, x: number, key: ShownKey, hidden: boolean) => void} */
function words(cell, p, at, x, key, hidden) {
  const { sign, word } = stateOf(key);
  writeAt(cell.key, x, at.key, p.key, key.key_text);
  writeAt(cell.sign, x, at.sign, { size: 12, upright: false }, sign);
  if (p.all) return;
  writeAt(cell.number, x, at.number, p.number, String(cell.zone));
  writeAt(cell.covered, x, at.covered, p.covered, hidden ? "" : show(key.coverage_pct));
  writeAt(cell.word, x, at.word, written(p), word);
}

// writeAt writes a text around a point, or upright along it.
export function writeAt(node, x, y, { size, upright }, text) {
  write(node, text);
  return put(node, { x, y, "font-size": size, transform: upright ? `rotate(-90 ${x.toFixed(1)} ${y.toFixed(1)})` : "" });
}

/** @type {(labels: any, p: Plan, at: any, keyUnit: string, keys: ShownKey[], hidden: boolean) => void} */
function captions(labels, p, at, keyUnit, keys, hidden) {
  if (!p.roomy) return labels.replaceChildren();
  const caption = (y, text) => {
    const t = svg("text", { x: p.left - 8, y: y + 4, "text-anchor": "end" });
    t.textContent = text;
    return t;
  };
  const list = [caption(at.key, `key, ${plural(keyUnit, 2)}`)];
  if (!p.all) {
    list.push(caption(at.number, "zone"));
    if (!hidden) list.push(caption(at.covered, "covered %"));
    const limited = keys.some((k) => !["set", "off-sheet"].includes(k.state));
    const judged = keys.some((k) => !["set", "off-sheet", "floor", "ceiling", "neighbour"].includes(k.state));
    if (limited) list.push(caption(at.sign, judged ? "profile" : "held by"));
  }
  labels.replaceChildren(...list);
}
