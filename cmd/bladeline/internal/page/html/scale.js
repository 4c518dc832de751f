// The scale that a press's keys are set on, and how its blade bends to keys that a
// learner sets: as press.Bent has it, which weighs them.

import * as store from "./state.js";
import { clamp, round } from "./dom.js";

/** @import { PresetUnit, Press, Relation } from "./types.js" */

// keyText is a setting as a person reads it: turns as "1 3/8", in lowest terms.
/** @type {(key: number, press?: Press) => string} */
export function keyText(key, { key_unit, key_step } = store.base()) {
  const parts = Math.round(1 / key_step), n = Math.round(key * parts);
  if (key_unit !== "turn" || Math.abs(parts * key_step - 1) > 1e-6) return String(round(key, 4));
  const whole = Math.floor(n / parts), rest = n % parts, by = divisor(rest, parts);
  return [whole || !rest ? whole : "", rest ? `${rest / by}/${parts / by}` : ""].join(" ").trim();
}

// textsAlike are a scale's settings as they are read: of those that differ in their
// figures alone, and so are as long as one another, one.
/** @type {(press?: Press) => string[]} */
export function textsAlike(press = store.base()) {
  const of = [press.key_unit, press.key_step, press.key_travel].join();
  if (scaleTexts.of !== of) {
    const steps = Math.min(Math.round(press.key_travel / press.key_step), MOST);
    const texts = Array.from({ length: steps + 1 }, (_, n) => keyText(n === MOST ? press.key_travel : n * press.key_step, press));
    scaleTexts = { of, texts: [...new Map(texts.map((text) => [text.replace(/\d/g, "0"), text])).values()] };
  }
  return scaleTexts.texts;
}
const MOST = 1000; // settings that are looked at
let scaleTexts = { of: "", texts: [""] };

/** @type {(a: number, b: number) => number} */
const divisor = (a, b) => (b ? divisor(b, a % b) : a);

// readKey reads 37, 1.375, 3/8, 1 3/8 and 1⅜; anything else is no number.
/** @param {string} text */
export function readKey(text) {
  const plain = text.replace(/([¼-¾⅐-⅞])/g, " $1").normalize("NFKC").replace("⁄", "/").replace(",", ".").trim();
  const m = /^(?:(\d+(?:\.\d+)?|\.\d+)|(?:(\d+)(?: +|-))?(\d+)\/([1-9]\d*))$/.exec(plain);
  if (!m) return NaN;
  return m[1] ? Number(m[1]) : Number(m[2] || 0) + Number(m[3]) / Number(m[4]);
}

// isSetting tells whether a key stands on the scale, and on one of its steps.
/** @type {(key: number, press?: Press) => boolean} */
export const isSetting = (key, { key_step, key_travel } = store.base()) =>
  key >= 0 && key <= key_travel && Math.abs(key / key_step - Math.round(key / key_step)) < 1e-6;

// nearest is the setting next to an opening in % of travel, of a key that shows so
// much when it is shut.
/** @type {(openingPct: number, shutAt?: number, press?: Press) => number} */
export const nearest = (openingPct, shutAt = 0, { key_step, key_travel } = store.base()) =>
  clamp(round(Math.round(((openingPct / 100) * key_travel + shutAt) / key_step) * key_step, 9), 0, key_travel);

// bent is where the blade stands at every key, in % of travel, and what holds it.
/** @type {(keys: number[], found: Relation & PresetUnit) => { opening: number, state: string }[]} */
export function bent(keys, found) {
  const stands = keys.map((key, i) => held(key, i, found));
  const lift = (k, from) => {
    const least = stands[from].opening - found.bend_pct;
    if (least > stands[k].opening + 1e-9) stands[k] = { opening: least, state: "neighbour" };
  };
  if (!found.bend_pct) return stands;
  for (let k = 1; k < stands.length; k++) lift(k, k - 1);
  for (let k = stands.length - 2; k >= 0; k--) lift(k, k + 1);
  return stands;
}

/** @type {(key: number, i: number, found: Relation & PresetUnit) => { opening: number, state: string }} */
function held(key, i, found) {
  const { state, shut_at } = found.keys[i] ?? { state: "set" }, least = found.least[i], most = found.most[i];
  const at = (set, by) => ({ opening: Math.max(0, (100 * (set - (shut_at ?? 0))) / store.base().key_travel), state: by });
  if (state === "off-sheet") return at(key, "off-sheet");
  if (least > most) return at(key, "set");
  return key < least ? at(least, "floor") : key > most ? at(most, "ceiling") : at(key, "set");
}
