// The zones as a table: one row a zone, as the operator counts them, which on some presses
// is from the right.

import * as store from "./state.js";
import * as compute from "./compute.js";
import { $, el, put, write, show, plural, amount } from "./dom.js";
import { keyStates } from "./plan.js";
import { mark, rove } from "./link.js";
import * as opened from "./opened.js";

/** @import { Key, PresetUnit, Relation } from "./types.js" */

let kind = "";

export const make = () => rove($("rows"), "ArrowUp", "ArrowDown");

export function draw() {
  const found = compute.unit();
  $("table-part").hidden = !found || store.state.trial !== null;
  if ($("table-part").hidden) return;
  const order = compute.result.zones.map((z) => z.zone);
  if (kind !== order.join()) build(order);
  const { key_unit, sweep_unit } = compute.result.preset.press;
  write($("col-key"), `key, ${plural(key_unit, 2)}`);
  $("col-run").hidden = !opened.stood(found.ink);
  write($("col-run"), opened.is());
  write($("col-asked"), `curve asks, %, at sweep ${amount(found.sweep, sweep_unit)}`);
  write($("table-title"), `${found.ink}, zone by zone`);
  for (const row of $("rows").children) fill(row, found, key_unit);
  mark();
}

function build(order) {
  kind = order.join();
  $("rows").replaceChildren(...order.map((zone, i) => {
    const row = el("tr", { "data-zone": zone, "data-rove": true, tabindex: i ? -1 : 0 });
    row.append(el("th", { scope: "row" }, String(zone)));
      return row;
  }));
}

/** @type {(row: HTMLElement, found: Relation & PresetUnit, keyUnit: string) => void} */
function fill(row, found, keyUnit) {
  const i = Number(row.dataset.zone) - 1, key = found.keys[i];
  const stood = opened.stood(found.ink) !== null;
  const texts = [show(key.coverage_pct), key.state === "off-sheet" ? "–" : show(found.wanted_pct[i]), show(key.opening_pct), key.key_text, holder(key), supply(found, i), ...(stood ? [opened.against(found.ink, i, found)] : [])];
  while (row.children.length <= texts.length) row.append(el("td", {}));
  while (row.children.length > texts.length + 1) row.lastElementChild.remove();
  texts.forEach((text, n) => write(row.children[n + 1], text));
  put(row, { "aria-label": spoken(key, keyUnit) });
}

// holder is what keeps a key from what the curve asks.
/** @param {Key} key */
function holder(key) {
  if (key.state === "set") return "–";
  const by = keyStates[key.state] || { sign: "", word: key.state };
  return key.state === "off-sheet" ? by.says : `${by.sign}\u00a0${by.word}`.trim();
}

// spoken is a row in words, for who comes to it by keyboard.
/** @param {Key} key @param {string} keyUnit */
function spoken(key, keyUnit) {
  const says = key.state === "set" ? "" : `, ${keyStates[key.state]?.says ?? key.state}`;
  return `Zone ${key.zone}, covered ${show(key.coverage_pct)} %, key ${key.key_text} ${plural(keyUnit, key.key)}${says}`;
}

// supply says whether the key as set feeds what the zone wants, if it prints.
/** @param {Relation} found @param {number} i */
function supply(found, i) {
  const want = found.demand[i], has = found.supply[i];
  if (!want || !found.prints[i]) return "–";
  const off = Math.round((has / want - 1) * 100);
  return `${off > 0 ? "+" : off < 0 ? "−" : ""}${Math.abs(off)}`;
}
