// The sweep: a slider over the press's own settings, and auto with its reason.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import * as quiz from "./quiz.js";
import { $, put, write, show, amount } from "./dom.js";

/** @import { LearnersTrial } from "./state.js" */
/** @import { PresetUnit, Relation, Unit } from "./types.js" */

// scale is the sweep of the unit of the press that the ink is printed in.
function scale() {
  const { units, sweep } = store.base(), unit = compute.unit()?.unit;
  return units.find(({ name }) => name === unit)?.sweep ?? sweep;
}
const settings = () => scale().settings;

export function make() {
  const slider = $("sweep");
  slider.addEventListener("input", () => set(settings()[Number(slider.value)]));
  slider.addEventListener("pointerdown", () => bench.remember());
  slider.addEventListener("change", store.closeEdit);
  $("auto").addEventListener("change", (e) => {
    if (store.state.trial) return;
    bench.remember();
    store.change(() => { store.unit().sweep = e.target.checked ? null : compute.unit()?.sweep ?? settings()[0]; });
  });
}

function set(value) {
  if (store.state.trial) return quiz.setSweep(value);
  bench.remember("sweep");
  store.change(() => { store.unit().sweep = value; }, "sweep");
}

export function draw() {
  const trial = store.state.trial, unit = store.unit(), found = compute.error ? null : compute.unit();
  $("sweep-part").hidden = !unit;
  if (!unit) return;
  write($("sweep-of"), `Sweep of ${unit.ink}`);
  const list = settings(), now = trial ? trial.sweep : unit.sweep ?? compute.unit()?.sweep ?? compute.misfit()?.reference_sweep ?? null;
  const nearest = list.reduce((best, s, i) => (Math.abs(s - now) < Math.abs(list[best] - now) ? i : best), 0);
  const says = now === null ? "–" : amount(now, scale().unit);
  put($("sweep"), { min: 0, max: list.length - 1, step: 1, "aria-valuetext": says });
  $("sweep").value = nearest;
  write($("sweep-value"), says);
  $("auto").checked = !trial && unit.sweep === null;
  $("auto").disabled = !!trial;
  write($("sweep-reason"), reason(trial, unit, found));
}

/** @type {(trial: LearnersTrial | null, unit: Unit, found: (Relation & PresetUnit) | null) => string} */
function reason(trial, unit, found) {
  if (trial) return "The sweep is yours to set: it feeds more or less to every zone at once.";
  if (!found) return "";
  if (unit.sweep === null && store.isHeld()) return holding(found);
  if (unit.sweep === null) return `Auto: ${found.sweep_reason || "the press's reference setting"}.`;
  const limited = found.keys.filter((k) => !["set", "off-sheet"].includes(k.state)).length;
  const most = Math.max(...found.keys.map((k) => k.opening_pct));
  const times = found.reference_sweep / found.sweep, as = Math.abs(times - 1) < 1e-9 ? "as the curve has them" : `${show(times, 2)} times the curve's`;
  return `Set by hand: the same ink wants openings ${as}. The widest key stands ${show(most, 0)} % open; ${limited || "no"} key${limited === 1 ? " is" : "s are"} held by a limit.${frees(found)}`;
}

// frees says which way the sweep is to go for keys that a limit holds.
/** @param {PresetUnit} found */
function frees({ keys, sweep }) {
  const held = (by) => keys.some((k) => k.state === by), list = settings();
  if (held("ceiling") && sweep < Math.max(...list)) return " A longer sweep frees those at the ceiling.";
  return held("floor") && sweep > Math.min(...list) ? " A shorter sweep frees those at the floor." : "";
}

// holding says what auto will do when the curve is let go.
/** @param {Relation & PresetUnit} found */
function holding(found) {
  const at = (sweep) => amount(sweep, store.base().sweep.unit);
  const then = found.auto_sweep === found.sweep ? "let go, and it stays there" : `let go, and it moves to ${at(found.auto_sweep)}`;
  return `Auto holds ${at(found.sweep)} while the curve is pulled; ${then}.`;
}
