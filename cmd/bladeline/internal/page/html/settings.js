// Opens files that hold no separation: curves, presses, presets and OK files, and
// whatever another part of the page says is its own. A curve or a press goes into its
// list; one that is worked with stays until it is said otherwise.

import * as api from "./api.js";
import * as store from "./state.js";
import * as questions from "./questions.js";
import * as opened from "./opened.js";
import * as points from "./points.js";
import * as press from "./press.js";
import { copy, same, textOf } from "./dom.js";

/** @import { Curve, Press } from "./types.js" */

/**
 * A part of the page that reads tables of its own.
 * @typedef {object} Reader
 * @property {(text: string) => boolean} isMine
 * @property {(text: string, name: string) => string} add answers what became of it
 */

/** @type {Reader[]} */
const readers = [];
/** @param {Reader} reader */
export const register = (reader) => readers.push(reader);

/**
 * What files came with.
 * @typedef {object} Drop
 * @property {File[]} all of them that hold no separation
 * @property {boolean} first whether nothing lay on the press before
 * @property {Press[]} presses among them that were opened
 */

// open opens a file, and answers what became of it.
/** @type {(file: File, drop: Drop) => Promise<string>} */
export async function open(file, drop) {
  if (file.name.toLowerCase().endsWith(".csv")) {
    const text = await textOf(file), reader = readers.find((r) => r.isMine(text));
    if (reader) return reader.add(text, file.name).replace(`${file.name}: `, ""); // which the line begins with
  }
  const beside = await Promise.all(drop.all.filter((f) => f !== file && f.name.toLowerCase().endsWith(".toml")).map(small));
  const presses = store.state.presses.map(({ base, file: text }) => ({ ...store.untouched, base, file: text }));
  const found = await api.open({ file: await small(file), beside, presses });
  if (found.curve) return takeCurve(found.curve, drop);
  return found.press ? takePress(found.press, drop) : opened.takePreset(found.preset, file.name);
}

/** @param {File} file */
async function small(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return { name: file.name, data: btoa(text) };
}

// takeCurve makes a curve one to choose from, and offers it to the ink that is seen,
// unless a press that came with it names it.
/** @type {(curve: Curve, drop: Drop) => string} */
function takeCurve(curve, { first, presses }) {
  store.look((state) => { state.curves = [...state.curves.filter((c) => c.name !== curve.name), copy(curve)]; });
  const listed = `opened: ${curve.name}; inks take it under «From»`;
  if (!store.unit() || presses.some((p) => names(p, curve))) return listed;
  if (first) {
    points.take(curve);
    return `opened: ${curve.name} is the curve of ${store.unit().ink}; other inks take it under «From»`;
  }
  questions.put({
    words: () => store.unit() && !same(store.unit().curve, curve) && {
      says: `${curve.name} is a curve to choose from now.`, take: `Use it for ${store.unit().ink}`, leave: `Keep the curve of ${store.unit().ink}`,
    },
    take: () => points.take(curve), locked: true,
  });
  return listed;
}

/** @type {(press: Press, curve: Curve) => boolean} */
const names = ({ curve, curve_of_ink: own, papers }, of) => [{ curve, curve_of_ink: own }, ...papers]
  .some((p) => [p.curve, ...Object.values(p.curve_of_ink)].some((c) => c && same(c, of)));

// takePress makes a press one to choose from, and offers it. One of the same file that
// was there stays, so that what is worked with, and what Undo brings back, is as it was.
/** @type {(brought: Press, drop: Drop) => string} */
function takePress(brought, { first, presses }) {
  const { base } = brought, versions = store.state.presses.filter((p) => p.base === base || p.base.startsWith(`${base} (`));
  let found = versions.find((p) => same({ ...p, base }, brought));
  if (!found) {
    found = versions.length ? { ...brought, base: `${base} (${versions.length + 1})` } : brought;
    store.look((state) => { state.presses = [...state.presses, found]; });
  }
  presses.push(found);
  const called = store.called(found);
  if (store.state.press.base === found.base) return `opened: ${called} is the press already`;
  if (first) {
    press.choose(found.base);
    return `opened: ${called} is the press`;
  }
  questions.put({
    words: () => store.state.press.base !== found.base && {
      says: `${called} is a press to choose from now.`, take: `Use ${called}`, leave: `Keep ${store.called(store.base())}`,
    },
    take: () => press.choose(found.base), locked: true,
  });
  return `opened: ${called} is in the list of presses`;
}
