// The keys as set on the press's own scale, one under each zone, with a sign where
// something holds a key, and what the signs mean.

import { svg, put, write, renew, show, plural } from "./dom.js";
import { edges, byPlace, keyStates, keyFit, extent } from "./plan.js";

/** @import { Columns, Plan } from "./plan.js" */
/** @import { Key, Zone } from "./types.js" */

// A ShownKey is what is drawn of a key, the server's or a learner's.
/** @typedef {Pick<Key, "zone" | "coverage_pct" | "opening_pct" | "key_text" | "state">} ShownKey */

const SIGNS = 16; // px of the row of signs,
const LINE = 15; // and of a line that says what they mean

// height of the rows under a blade line: the same whatever holds keys, so that nothing
// below moves while they are pulled.
/** @type {(p: Columns) => number} */
export const height = (p) => figures(p) + p.keyRow + SIGNS + foot(p);

// foot is the height of the lines under the zones' columns.
/** @type {(p: Columns) => number} */
export const foot = (p) => (p.all ? 0 : legends(p) * LINE);

// figures is the height of the zones' numbers and coverages.
const figures = (p) => (p.all ? 0 : p.number.high + p.covered.high + 8);

/** @param {ShownKey} key */
const stateOf = (key) => keyStates[key.state] ?? { sign: "?", word: key.state };

// make makes the parts of one ink alone, or fewer of all inks.
/** @param {Zone[]} zones @param {boolean} all */
export function make(zones, all) {
  const g = svg("g", { class: "keys" });
  const texts = all ? ["key", "sign"] : ["number", "covered", "key", "sign"];
  const cells = byPlace(zones).map((zone) => {
    const cell = { zone, g: svg("g", { "data-zone": zone, class: "key" }) };
    cell.box = svg("rect", { class: "key-box" });
    for (const name of texts) cell[name] = svg("text", { class: `key-${name}`, "text-anchor": "middle" });
    cell.g.append(cell.box, ...texts.map((name) => cell[name]));
    return cell;
  });
  const labels = svg("g", { class: "small" }), legend = svg("g", { class: "small" });
  g.append(labels, legend, ...cells.map((c) => c.g));
  return { g, cells, labels, legend };
}

/** @type {(parts: any, p: Plan, y: number, zones: Zone[], keys: ShownKey[], how: { keyUnit: string, hidden: boolean }) => void} */
export function draw({ cells, labels, legend }, p, y, zones, keys, { keyUnit, hidden }) {
  const at = rows(p, y);
  for (const cell of cells) {
    const key = keys[cell.zone - 1];
    const [from, to] = edges(p, zones[cell.zone - 1]);
    put(cell.box, { x: from, y: at.top, width: to - from, height: p.keyRow });
    words(cell, p, at, (from + to) / 2, key, hidden);
  }
  captions(labels, p, at, keyUnit, keys, hidden);
  const says = p.all ? [] : [...rowNames(p, keyUnit), ...meanings(keys)];
  renew(legend, [p.width, at.legend, says], () => lines(says, p.width - 8).map((line, i) => {
    const indent = 11.5 * extent(line).width < p.width - p.left ? p.left : 4;
    const text = svg("text", { x: indent, y: at.legend + i * LINE, class: "key-legend" });
    write(text, line);
    return text;
  }));
}

const APART = "\u2003"; // between two signs and what they mean

// meanings are those of the signs that are seen.
/** @type {(keys: ShownKey[]) => string[]} */
const meanings = (keys) => [...new Set(keys.filter((k) => k.state !== "set").map((k) => `${stateOf(k).sign} ${stateOf(k).word}`))];

// lines puts texts into as many lines as there is room for beside one another.
/** @type {(texts: string[], room: number) => string[]} */
function lines(texts, room) {
  const list = [];
  for (const text of texts) {
    const longer = list.length ? `${list.at(-1)}${APART}${text}` : "";
    if (longer && 11.5 * extent(longer).width <= room) list[list.length - 1] = longer;
    else list.push(text);
  }
  return list;
}

// rowNames names the rows in a line under them, where there is no room beside them.
/** @type {(p: Columns, keyUnit: string) => string[]} */
const rowNames = (p, keyUnit) => (p.roomy ? [] : [`From above: zone${p.hidden ? "" : "; covered, %"}; key, ${plural(keyUnit, 2)}`]);

// legends is how many lines the rows' names and the meanings of all signs take.
/** @param {Columns} p */
function legends(p) {
  const of = (judged) => lines([...rowNames(p, "turn"), ...Object.values(keyStates).filter((s) => s.sign && s.judged === judged).map((s) => `${s.sign} ${s.word}`)], p.width - 8).length;
  return Math.max(of(undefined), of(true));
}

// rows is the middle of each row, and where the boxes of the keys begin.
function rows(p, y) {
  const top = y + figures(p);
  return { number: y + 2 + p.number.high / 2, covered: top - 3 - p.covered.high / 2, top, key: top + p.keyRow / 2, sign: top + p.keyRow + 9, legend: top + p.keyRow + SIGNS + 11 };
}

/** @type {(cell: any, p: Plan, at: any, x: number, key: ShownKey, hidden: boolean) => void} */
function words(cell, p, at, x, key, hidden) {
  const { sign } = stateOf(key);
  writeAt(cell.key, x, at.key, keyFit(key.key_text, p), key.key_text);
  writeAt(cell.sign, x, at.sign, { size: 12, upright: false }, sign);
  if (p.all) return;
  writeAt(cell.number, x, at.number, p.number, String(cell.zone));
  writeAt(cell.covered, x, at.covered, p.covered, hidden ? "" : show(key.coverage_pct, p.covered.digits));
}

// writeAt writes a text around a point, or upright along it.
export function writeAt(node, x, y, { size, upright }, text) {
  write(node, text);
  return put(node, { x, y, "font-size": size, transform: upright ? `rotate(-90 ${x.toFixed(1)} ${y.toFixed(1)})` : "" });
}

/** @type {(labels: any, p: Plan, at: any, keyUnit: string, keys: ShownKey[], hidden: boolean) => void} */
function captions(labels, p, at, keyUnit, keys, hidden) {
  if (!p.roomy) return labels.replaceChildren();
  const caption = (y, text, is = "") => {
    const t = svg("text", { x: p.left - 8, y: y + 4, "text-anchor": "end", class: is });
    t.textContent = text;
    return t;
  };
  const list = [caption(at.key, `key, ${plural(keyUnit, 2)}`)];
  if (!p.all) {
    list.push(caption(at.number, "zone"));
    if (!hidden) list.push(caption(at.covered, "covered %"));
    const limited = keys.some((k) => !["set", "off-sheet"].includes(k.state));
    const judged = keys.some((k) => stateOf(k).judged);
    if (limited) list.push(caption(at.sign, judged ? "profile" : "held by", "key-held"));
  }
  labels.replaceChildren(...list);
}
