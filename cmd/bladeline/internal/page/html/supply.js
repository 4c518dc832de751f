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

// trialHangs is what the learner's keys and sweep feed; when it has been weighed, also
// what the best keys would at the learner's level, as the table of tries has it.
/** @type {(trial: LearnersTrial, unit: Relation & PresetUnit) => import("./film.js").Hung[]} */
export function trialHangs(trial, unit) {
  const stands = quiz.stands(), answer = store.weighed();
  const level = answer ? 1 + answer.level_off_pct / 100 || 1 : 1;
  return hangs(unit).map((h, i) => {
    const zone = answer?.zones[i]; // fewer, before keys are drawn anew
    const takes = zone && h.takes !== null ? (level * zone.best) / unit.reference_sweep : null;
    return { ...h, gets: ((stands[i]?.opening ?? 0) * trial.sweep) / unit.reference_sweep, takes, right: zone?.says === "right" };
  });
}
