// Asks the server for the keys after every edit: one question at a time, and
// always the newest. What was answered last is what is shown.

import * as api from "./api.js";
import * as store from "./state.js";

export let result = null; // the answer to /api/preset
export let error = null; // why the newest state has none
let asked = "";
export let busy = false;
const listeners = [];

export const listen = (fn) => listeners.push(fn);

// keys, curve and supply of one unit, or null before there are any.
export const unit = (i = store.book.unit) =>
  result && result.preset.units[i] ? { ...result.units[i], ...result.preset.units[i] } : null;

export async function ask() {
  if (busy) return;
  const state = store.state();
  const wanted = JSON.stringify(state);
  if (wanted === asked) return;
  asked = wanted;
  if (!state.units.length) return finish(null, null);
  busy = true;
  try {
    finish(await api.preset(state), null);
  } catch (e) {
    finish(result && result.preset.units.length === state.units.length ? result : null, e);
  }
  busy = false;
  ask();
}

// again asks once more, for the server holds something new.
export function again() {
  asked = "";
  ask();
}

function finish(answer, problem) {
  result = answer;
  error = problem;
  for (const fn of listeners) fn();
}
