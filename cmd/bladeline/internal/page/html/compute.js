// Asks the server for the keys after every edit: one question at a time, and
// always the newest. What was answered last is what is shown.
//
// Where one ink alone changed, as while its curve is dragged, it alone is asked
// for; the warnings, which tell of the whole job, follow when the edits pause.

import * as api from "./api.js";
import * as store from "./state.js";
import { copy } from "./dom.js";

/** @import { Computed, Misfit, Placement, PresetUnit, Relation, State } from "./types.js" */

const PAUSE = 150; // ms
const RETRY = 3000; // ms until a server that did not answer is asked again

/** @type {Computed | null} */
export let result = null; // the answer to /api/preset, its units in the places of the state's: null of misfits
/** @type {Placement | null} */
export let placement = null; // how the form lies in the result
/** @type {api.Refused | null} */
export let error = null; // why the newest state has none
export let busy = false; // whether more is to come
let asking = false;
let asked = ""; // the state asked for last
let ofPress = ""; // the press that was answered last, as text
let shown = null; // what the result is of: the job, and each ink, as text
let pause = 0;
const listeners = [];

export const listen = (fn) => listeners.push(fn);

// keys, curve and supply of one unit, or null before there are any.
/** @type {(i?: number) => (Relation & PresetUnit) | null} */
export const unit = (i = store.state.unit) =>
  result && result.preset.units[i] ? { ...result.units[i], ...result.preset.units[i] } : null;

// misfits are the inks that are not in the newest answer.
/** @type {() => Misfit[]} */
export const misfits = () => (error ? error.computed : result)?.misfits ?? [];

// misfit is the ink that is seen, where it is one.
export const misfit = () => misfits().find((m) => m.unit === store.state.unit);

// misfitCurve is the misfit that is seen, where its curve is known, and on the scales of
// the press that is on the page: the newest answer may still be to the press before.
export const misfitCurve = () => (ofPress === JSON.stringify(store.sent().press) && misfit()?.curve_pct.length ? misfit() : null);

// wrong is why the newest state has no answer, or not of every ink: of the ink that is
// seen, where that is known.
/** @type {() => { message: string, place: string } | null} */
export function wrong() {
  const of = misfit() ?? misfits()[0];
  return of ? { message: of.error, place: of.place } : error;
}

// isLost tells whether the server did not answer, or is another than the page is of, so
// that what is shown may be old.
export const isLost = () => error?.status === 0 || error?.status === 403;

// jobName is the job's, which the server names by its files where nobody else does.
export const jobName = () => store.sent().job || (error?.computed ?? result)?.job || "";

export async function ask() {
  if (asking) return;
  const question = store.sent();
  const wanted = JSON.stringify(question);
  if (wanted === asked) return;
  asked = wanted;
  clearTimeout(pause);
  if (!question.units.length) {
    shown = null;
    busy = false;
    return finish(null, null);
  }
  asking = busy = true;
  const parts = split(question), one = alone(parts), press = JSON.stringify(question.press);
  try {
    const answer = await api.preset(one < 0 ? question : { ...question, units: [question.units[one]] }, store.revision);
    shown = parts;
    placement = copy(question.placement);
    ofPress = press;
    busy = one >= 0;
    if (busy) pause = setTimeout(again, PAUSE);
    finish(one < 0 ? spread(answer, question.units.length) : merged(answer, one), null);
  } catch (e) {
    ofPress = press;
    busy = false;
    finish(!e.computed && result && result.preset.units.length === question.units.length ? result : null, e);
    shown = null;
    if (e.status === 0) pause = setTimeout(again, RETRY);
  }
  asking = false;
  ask();
}

// isCurrent tells whether what is shown answers the newest state, all of it.
export const isCurrent = () => result !== null && !busy && !error && asked === JSON.stringify(store.sent());

// again asks for everything once more.
export function again() {
  asked = "";
  shown = null;
  ask();
}

/** @param {State} question */
const split = ({ units, ...job }) => ({ job: JSON.stringify(job), units: units.map((u) => JSON.stringify(u)) });

// alone is the one unit that differs from what is shown, or -1.
function alone({ job, units }) {
  if (!shown || !result || error || result.misfits.length || shown.job !== job || shown.units.length !== units.length) return -1;
  const changed = units.flatMap((u, i) => (u === shown.units[i] ? [] : [i]));
  return changed.length === 1 && units.length > 1 ? changed[0] : -1;
}

// spread puts an answer's units in the places of the state's.
/** @type {(answer: Computed, length: number) => Computed} */
function spread(answer, length) {
  const out = new Set(answer.misfits.map((m) => m.unit));
  const placed = (list) => {
    const rest = list.values();
    return Array.from({ length }, (_, i) => (out.has(i) ? null : rest.next().value));
  };
  return { ...answer, units: placed(answer.units), preset: { ...answer.preset, units: placed(answer.preset.units) } };
}

/** @type {(answer: Computed, i: number) => Computed} */
function merged(answer, i) {
  const preset = { ...result.preset, units: result.preset.units.with(i, answer.preset.units[0]) };
  return { ...result, preset, units: result.units.with(i, answer.units[0]) };
}

/** @type {(answer: Computed | null, problem: api.Refused | null) => void} */
function finish(answer, problem) {
  result = answer;
  error = problem;
  for (const fn of listeners) fn();
}
