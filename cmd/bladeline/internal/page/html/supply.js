// What each zone gets and takes, to be hung from the ductor: of a preset, and of a
// learner's keys.

import * as store from "./state.js";
import * as quiz from "./quiz.js";

/** @import { LearnersTrial } from "./state.js" */
/** @import { PresetUnit, Relation } from "./types.js" */

// hangs is what each zone gets and takes.
/** @type {(unit: Relation & PresetUnit) => import("./film.js").Hung[]} */
export const hangs = (unit) => unit.keys.map((k, i) => ({
  gets: unit.supply[i] / unit.reference_sweep, takes: k.state === "off-sheet" ? null : unit.demand[i] / unit.reference_sweep, prints: unit.prints[i],
}));

// trialHangs is what the learner's keys and sweep feed; what the zones take is
// seen when it has been weighed.
/** @type {(trial: LearnersTrial, unit: Relation & PresetUnit) => import("./film.js").Hung[]} */
export function trialHangs(trial, unit) {
  const stands = quiz.stands();
  return hangs(unit).map((h, i) => ({ ...h, gets: ((stands[i]?.opening ?? 0) * trial.sweep) / unit.reference_sweep, takes: store.weighed() ? h.takes : null }));
}
