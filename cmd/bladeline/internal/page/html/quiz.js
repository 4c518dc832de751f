// Teaching: set the keys yourself. The computed keys are hidden; the learner sets
// every key and the sweep by eye, on the press's own scale, and the blade bends to
// them as the press's does. weigh.js says what became of it.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import * as course from "./course.js";
import * as tries from "./tries.js";
import { $, clamp, stroke, hold, plural } from "./dom.js";
import { bent, keyText, nearest } from "./scale.js";

/** @import { LearnersTrial } from "./state.js" */

export function make() {
  $("quiz-again").addEventListener("click", again);
  $("quiz-end").addEventListener("click", finish);
  $("pupil-next").addEventListener("click", nextPupil);
  $("course-back").addEventListener("click", () => begin() && $("quiz-weigh").focus());
  $("bench").addEventListener("pointerdown", pull);
  $("bench").addEventListener("keydown", keyed);
  hold($("bench"), inGap);
}

// rename gives the trials of an ink to its new name.
export function rename(was, now) {
  const { view, trial, trials } = store.state, renamed = (id) => id.replace(`${view}|${was}|`, `${view}|${now}|`);
  if (trial) trial.id = renamed(trial.id);
  store.state.trials = Object.fromEntries(Object.values(trials).map((t) => [renamed(t.id), { ...t, id: renamed(t.id) }]));
}

// trialId tells trials apart: by view, ink, press and how many keys there are, and by
// the form of a class.
const trialId = () => [store.state.view, store.unit().ink, store.state.press.base, compute.result.zones.length, course.form()?.id ?? ""].join("|");

const unweighed = { answer: null, against: null, problem: "" };

// untouched is a trial to begin with.
/** @type {() => Omit<LearnersTrial, "id">} */
const untouched = () => ({ keys: [...compute.unit().untouched], sweep: compute.unit().untouched_sweep, since: Date.now(), spent: 0, ...unweighed });

// workAt makes a trial the one under way; the one before it is kept, and its time
// stands still.
/** @param {LearnersTrial | null} trial */
const workAt = (trial) => store.look((state) => {
  store.leaveTrial(trial);
  if (trial) trial.since = Date.now();
  if (state.course) state.course.waiting = null;
  state.all = false;
});

const ready = () => compute.result && store.unit() && compute.unit();

// begin begins the trial of what is seen, or goes back to it, and answers whether there
// is one.
export function begin() {
  if (!ready()) return false;
  workAt(store.state.trials[trialId()] || { id: trialId(), ...untouched() });
  if (greets) $("learner").focus();
  greets = false;
  return true;
}

// follow goes over to the trial of another ink, or of another number of keys, when
// these are what is seen, and to that of a class's form once it is. It answers
// whether it did.
export function follow() {
  const { trial } = store.state;
  const other = ready() && (course.isThere() || (trial && !course.waits() && trial.id !== trialId()));
  if (other) begin();
  return !!other;
}

function again() {
  if (ready()) change((trial) => Object.assign(trial, untouched()));
}

let greets = false; // whether the next trial begins with the pupil's name

// nextPupil has somebody else begin at the first form of the class, with nothing set at any.
function nextPupil() {
  const { state } = store, left = new Set(state.course.forms.map((f) => f.id));
  tries.leave();
  store.leaveTrial(null);
  state.trials = Object.fromEntries(Object.entries(state.trials).filter(([id]) => !left.has(id.split("|").at(-1))));
  state.learner = "";
  greets = true;
  course.first();
}

export const end = () => workAt(null);

function finish() {
  end();
  $("quiz").focus();
}

// change is an edit of the trial; it is not weighed any more.
/** @type {(mutate: (trial: LearnersTrial) => void, merge?: string | null) => void} */
function change(mutate, merge = null) {
  store.change(({ trial }) => {
    const before = JSON.stringify([trial.keys, trial.sweep]);
    mutate(trial);
    if (before !== JSON.stringify([trial.keys, trial.sweep])) Object.assign(trial, unweighed);
  }, merge);
}

// set sets a key on the press's scale.
/** @type {(zone: number, key: number, merge?: string | null) => void} */
export const set = (zone, key, merge = null) => change((trial) => { trial.keys[zone - 1] = key; }, merge);

// open sets a key next to an opening in % of travel.
const open = (zone, openingPct, merge) => set(zone, nearest(openingPct, compute.unit().keys[zone - 1].shut_at ?? 0), merge);

// step moves a key by so many steps of its scale.
export function step(zone, steps) {
  const { key_step, key_travel } = store.base();
  const n = Math.round(store.state.trial.keys[zone - 1] / key_step) + steps;
  set(zone, clamp(Math.round(n * key_step * 1e9) / 1e9, 0, key_travel), `key ${zone}`);
}

export const setSweep = (sweep) => change((trial) => { trial.sweep = sweep; }, "trial's sweep");

// stands is where the learner's blade stands, key by key.
export const stands = () => bent(store.state.trial.keys, compute.unit());

// says is what is to be said of the lit zone while keys are set.
export function says() {
  const zone = store.state.lit, found = compute.unit(), at = found && store.state.trial && stands()[zone - 1];
  if (!at) return "Set each key as wide as its zone needs, and the sweep; then have it weighed.";
  const unit = store.base().key_unit, key = store.state.trial.keys[zone - 1], set = `${keyText(key)} ${plural(unit, key)}`;
  const why = {
    floor: "the floor holds it", ceiling: "the ceiling holds it",
    neighbour: `a neighbour on the same blade, which bends by at most ${Math.round(found.bend_pct)} % of travel from key to key, holds it`,
  }[at.state];
  const where = `${Math.round(at.opening)} % of travel`;
  return `Zone ${zone} is set to ${set}${why ? `: ${why} at ${where}` : unit === "%" ? "" : `, ${where}`}.`;
}

// inGap tells whether a finger or pointer is where keys are pulled.
function inGap(event) {
  if (!store.state.trial || !bench.layout) return false;
  const { edge, height } = bench.layout.gaps[0], { y } = bench.spot(event);
  return y >= edge - 6 && y <= edge + height + 40;
}

// pull opens keys by the pointer in the gap; across many zones in one stroke.
function pull(event) {
  if (event.button || !inGap(event)) return;
  const { edge, height } = bench.layout.gaps[0], word = `pull ${performance.now()}`;
  let last = bench.spot(event);
  const move = (e) => {
    const now = bench.spot(e);
    const steps = Math.ceil(Math.abs(now.x - last.x) / 5) || 1; // so that a quick stroke leaves no zone out
    for (let i = 1; i <= steps; i++) {
      const part = i / steps, zone = bench.zoneAt(last.x + (now.x - last.x) * part);
      if (zone) open(zone, ((last.y + (now.y - last.y) * part - edge) / height) * 100, word);
    }
    last = now;
  };
  if (stroke($("bench"), event, move, store.closeEdit)) move(event);
}

// keyed moves the key of a zone's column: down is away from the roller, and opens. In
// a field a figure goes up and down instead.
function keyed(event) {
  const zone = Number(event.target.dataset?.zone);
  if (!store.state.trial || !zone) return;
  const { key_step, key_travel } = store.base(), far = Math.max(1, Math.round(key_travel / key_step / 10));
  const steps = { ArrowUp: -1, ArrowDown: 1, PageUp: -far, PageDown: far }[event.key];
  if (!steps) return;
  event.preventDefault();
  step(zone, event.target.matches("input") ? -steps : steps);
}
