// A preset or an OK file that was opened: how its keys stood, dashed over what is computed.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as job from "./job.js";
import { $, amount, write } from "./dom.js";

/** @import { Run } from "./state.js" */
/** @import { OpenedPreset, OpenedUnit, Relation, Stood } from "./types.js" */

// takePreset shows how a preset's keys stood: over the job that is here, where that is
// the same, else over a job that is made of its coverages.
/** @type {(preset: OpenedPreset, name: string) => string} */
export function takePreset(preset, name) {
  const fits = preset.base === store.state.press.base && preset.units.every((u) => isHere(u, preset.job));
  const run = { file: name, ran: preset.run, of: Object.fromEntries(preset.units.map((u) => [u.separation.ink.toLowerCase(), u.stood])) };
  if (fits) show(run);
  else if (!job.takePreset(preset, run)) return "read: it is of another job or press than the one here";
  const what = preset.run ? "what was run" : "what it says";
  return `opened: ${what} is dashed over what is computed${fits ? "" : "; its form is not in it, so each zone is shown as an even tint of its coverage"}`;
}

const ALIKE = 2; // points of coverage by which a zone of one form differs, measured anew

// isHere tells whether an ink of a preset is one of the job here: of the same name, and
// of a job of the same name or covered alike.
/** @type {(unit: OpenedUnit, name: string) => boolean} */
function isHere({ separation, stood }, name) {
  const { units, job: called } = store.state.views.job, same = (a, b) => a.toLowerCase() === b.toLowerCase();
  const at = units.findIndex((u) => same(u.ink, separation.ink)), keys = store.state.view === "job" && compute.unit(at)?.keys;
  if (at < 0 || !keys || keys.length !== stood.coverage_pct.length) return false;
  return same(name, called || compute.jobName()) || keys.every((k, i) => Math.abs(k.coverage_pct - stood.coverage_pct[i]) <= ALIKE);
}

// show dashes how the keys of the job stood, or no more. Nothing is asked anew, so that
// what is drawn is drawn again.
/** @param {Run | null} run */
function show(run) {
  store.change((state) => {
    state.views.job.run = run;
    state.view = "job";
  });
  store.look(() => {});
}

// stood is how an ink stood, null where nothing is known of it.
/** @type {(ink: string | undefined) => Stood | null} */
export const stood = (ink) => (ink && store.view().run?.of[ink.toLowerCase()]) || null;

// dashed are the openings at which an ink stood, as a line over those that are
// computed: of keys that were not read, these.
/** @type {(ink: string, computed: number[]) => number[] | null} */
export function dashed(ink, computed) {
  const found = stood(ink);
  return found?.openings_pct.length === computed.length ? computed.map((o, i) => found.openings_pct[i] ?? o) : null;
}

// against is a key as it stood, and how much more or less ink it fed than the one that
// is computed.
/** @type {(ink: string, i: number, found: Relation) => string} */
export function against(ink, i, found) {
  const of = stood(ink), opening = of?.openings_pct[i];
  if (opening == null) return "–";
  const more = found.prints[i] && found.supply[i] > 0 ? Math.round((opening * of.sweep / found.supply[i] - 1) * 100) : 0;
  return `${of.texts[i]}${more ? ` (ink ${more > 0 ? "+" : "−"}${Math.abs(more)} %)` : ""}`;
}

export function make() {
  $("run-off").addEventListener("click", () => show(null));
}

// is names what is dashed.
export const is = () => (store.view().run?.ran ? "as run" : "as it was preset");

export function draw() {
  const { run } = store.view(), of = stood(store.unit()?.ink), here = !!run && !store.state.trial;
  $("run-part").hidden = !here;
  if (!here) return;
  const sweep = of ? `, at sweep ${amount(of.sweep, store.base().sweep.unit)}` : "; it says nothing of this ink";
  write($("run-says"), `Dashed: ${is()}, by ${run.file}${sweep}.`);
}
