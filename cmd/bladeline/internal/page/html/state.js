// What a tab remembers: the press, the forms on its two views (the job, and the
// plate that is drawn by hand), and what is looked at. It lives in this tab's
// sessionStorage, so that a reload loses nothing and two tabs stay apart.

import { copy, same, inStroke } from "./dom.js";

/** @import { Curve, Placement, PreparedForm, Press, PressEdit, Separation, Shape, Start, State, Unit, Weighed, WeighedZone } from "./types.js" */

/**
 * What a tab remembers.
 * @typedef {object} Tab
 * @property {number} version of what is remembered, not of the program
 * @property {string} given the job that the server was started with
 * @property {"job" | "drawn"} view
 * @property {boolean} all whether all inks are seen, and not one
 * @property {number} unit the ink that is seen, or was last
 * @property {number | null} lit the zone that is pointed at
 * @property {LearnersTrial | null} trial the one under way
 * @property {Record<string, LearnersTrial>} trials those put aside, by id
 * @property {string} learner
 * @property {Try[]} tries that were weighed, or read from class lists
 * @property {Course | null} course the class whose forms are gone through
 * @property {Record<string, Separation>} separations by id
 * @property {PressEdit} press
 * @property {{ job: Form, drawn: Form }} views
 * @property {Shape[]} shapes of the plate that is drawn
 * @property {Edit[]} undo
 * @property {Edit[]} redo
 */

/**
 * A form on the press: that of a view.
 * @typedef {Pick<State, "job" | "placement" | "units">} Form
 */

/**
 * The forms of a class.
 * @typedef {object} Course
 * @property {string} seed
 * @property {PreparedForm[]} forms
 * @property {string | null} waiting the plate that is on the press until the next form is; null where none is waited for
 */

/**
 * A try that was weighed; of one that was read from a list, what lists say.
 * @typedef {object} Try
 * @property {string} pupil
 * @property {string} form
 * @property {number} try
 * @property {number} score
 * @property {number} seconds
 * @property {number} [profile_pct]
 * @property {number} [level_off_pct]
 * @property {number} [sweep]
 * @property {string} [press]
 * @property {string} [id] of its trial
 * @property {string[]} [keys] as they are read
 * @property {number[]} [openings] where the blade stood, in %
 * @property {WeighedZone[]} [zones]
 */

/**
 * What a learner sets, and what was said of it.
 * @typedef {object} LearnersTrial
 * @property {string} id
 * @property {number[]} keys on the press's scale, by zone
 * @property {number} sweep
 * @property {number} since when its time last began to run, in ms
 * @property {number} spent in ms, before that
 * @property {Weighed | null} answer
 * @property {string | null} against the state that the answer is to, as text
 * @property {string} problem
 */

/**
 * What stood before an edit.
 * @typedef {object} Edit
 * @property {Pick<Tab, "press" | "views" | "shapes" | "view" | "unit">} form
 * @property {LearnersTrial | null} trial
 */

const KEY = "bladeline";
const STEPS = 60; // edits that can be taken back

/** @type {Tab} */
export let state = null;
/** @type {Start} */
export let offer = null; // what the server begins with: presses, curves, prepared forms
export let revision = 0; // of the state: it grows with whatever changes
const listeners = [];
let merging = null;

export const listen = (fn) => listeners.push(fn);

function tell(kind) {
  revision++;
  clearTimeout(keeping);
  keeping = setTimeout(keep, 200); // not at every move of a drag
  for (const fn of listeners) fn(kind);
}

let keeping = 0;

export function keep() {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(state));
  } catch {
    state.undo = state.undo.slice(-5); // the browser's store is full
  }
}

addEventListener("pagehide", () => state && keep());

// open takes up what the tab remembers, or else what the server begins with.
/** @param {Start} start */
export function open(start) {
  offer = start;
  let kept = null;
  try {
    kept = JSON.parse(sessionStorage.getItem(KEY));
  } catch { /* not ours: begin anew */ }
  const begun = fresh(start);
  state = whole(kept, begun) ? kept : begun;
  if (state.given !== begun.given) takeUpJob(begun);
  for (const s of start.separations) state.separations[s.id] = s;
  rejoin(start);
  tell("open");
}

// whole tells whether what was kept is a state of this version, undamaged.
const whole = (kept, begun) => kept && kept.version === begun.version && kept.views?.job?.units && kept.views.drawn?.units
  && Object.keys(begun).every((name) => kept[name] !== undefined) && kept.shapes.every(Boolean);

// takeUpJob takes up a job that the server was started anew with; the plate that
// was drawn stays.
/** @param {Tab} begun */
function takeUpJob({ given, press, views }) {
  Object.assign(state, { given, press, view: "job", unit: 0, all: false, trial: null, trials: {}, undo: [], redo: [] });
  state.views.job = views.job;
  for (const unit of state.views.drawn.units) Object.assign(unit, { curve: copy(curveFor(base(), unit.ink)), sweep: null });
}

// given is what the command line says, whichever run of the server it is.
/** @type {(start: Start) => string} */
const givenBy = ({ state, separations }) => JSON.stringify([state.job, state.press, state.placement, separations.map((s) => [s.file, s.ink, s.page, s.channel])]);

/** @type {Placement} */
const centred = { lead_edge: "bottom", mirrored: false, shift_mm: 0, dpi_x: null, dpi_y: null };

// firstPlacement is how a view's form lies to begin with.
/** @type {() => Placement} */
export const firstPlacement = () => copy(state.view === "job" ? offer.state.placement : centred);

/** @type {(start: Start) => Tab} */
function fresh(start) {
  const { job, press, placement, units } = copy(start.state);
  return {
    version: 5, given: givenBy(start), view: "job", all: false, unit: 0, lit: null, trial: null, trials: {}, learner: "", tries: [], course: null, separations: {},
    press,
    views: { job: { job, placement, units }, drawn: { job: "drawn", placement: copy(centred), units: [] } },
    shapes: [], undo: [], redo: [],
  };
}

// rejoin finds the remembered separations again after the server was started
// anew with the same files: their identities are new.
/** @param {Start} start */
function rejoin(start) {
  const there = new Set(start.separations.map((s) => s.id));
  for (const unit of state.views.job.units) {
    const was = state.separations[unit.separation];
    if (there.has(unit.separation) || !was) continue;
    const now = start.separations.find((s) =>
      s.file === was.file && s.ink === was.ink && s.page === was.page && s.channel === was.channel);
    if (now) unit.separation = now.id;
  }
}

export const view = () => state.views[state.view];
export const unit = () => view().units[state.unit];
export const separation = (u = unit()) => u && state.separations[u.separation];

// sent is what the server computes from.
/** @type {() => State} */
export const sent = () => ({ job: view().job, press: state.press, placement: view().placement, units: view().units });

// weighed is the answer to the learner's trial, null where the form, the press
// or the curve are not those any more that it was weighed against.
export const weighed = () => (state.trial && state.trial.against === JSON.stringify(sent()) ? state.trial.answer : null);

export const base = () => offer.presses.find((p) => p.base === state.press.base) || offer.presses[0];

// press is the base with this tab's changes.
/** @type {() => Press} */
export function press() {
  const changed = Object.entries(state.press).filter(([, value]) => value != null);
  return { ...base(), ...Object.fromEntries(changed) };
}

// edited is what an edit may change: the form and the press, and the learner's
// trial while one is under way.
/** @type {() => Edit} */
const edited = () => ({
  form: { press: state.press, views: state.views, shapes: state.shapes, view: state.view, unit: state.unit },
  trial: state.trial,
});

// change makes an edit that can be taken back. Edits with the same merge word,
// as while dragging, are taken back together.
/** @param {(state: Tab) => void} mutate */
export function change(mutate, merge = null) {
  const before = copy(edited());
  mutate(state);
  if (same(before, edited())) return;
  if (merge === null || merge !== merging) {
    state.undo = [...state.undo, before].slice(-STEPS);
    state.redo = [];
  }
  merging = merge;
  tell("edit");
}

// closeEdit ends a dragging: the next edit is one of its own.
export const closeEdit = () => { merging = null; };

/** @type {(from: "undo" | "redo", to: "undo" | "redo") => boolean} */
function step(from, to) {
  const last = inStroke() ? null : state[from].pop(); // what is being pulled has no edit yet
  if (!last) return false;
  const here = last.form.view === state.view && last.form.unit === state.unit;
  state[to].push(copy(edited()));
  Object.assign(state, last.form);
  if (last.trial && state.trial && here) state.trial = last.trial;
  else if (!last.trial) putAside(); // an edit from before the exercise ends it
  merging = null;
  tell("edit");
  return true;
}

export const undo = () => step("undo", "redo");
export const redo = () => step("redo", "undo");

// leaveTrial makes another trial, or none, the one under way. Edits of the one
// before cannot be taken back from here.
/** @param {LearnersTrial | null} trial */
export function leaveTrial(trial) {
  putAside();
  for (const list of ["undo", "redo"]) {
    state[list] = state[list].filter((e, i, all) => !same(formOf(e), formOf(all[i + 1] ?? edited())));
  }
  state.trial = trial;
}

function putAside() {
  const { trial } = state, now = Date.now();
  if (trial) state.trials[trial.id] = Object.assign(trial, { spent: trial.spent + now - trial.since, since: now });
  state.trial = null;
}

/** @param {Edit} edit */
const formOf = ({ form: { press, views, shapes } }) => [press, views, shapes];

// look changes what is looked at; there is nothing to take back.
/** @param {(state: Tab) => void} mutate */
export function look(mutate) {
  const place = () => [state.view, state.unit, state.trial?.id].join("|"), before = place();
  mutate(state);
  if (place() !== before) closeEdit(); // edits there are none of these
  tell("look");
}

// derive replaces what is derived from an edit, as the drawn plate's identity.
/** @param {(state: Tab) => void} mutate */
export function derive(mutate) {
  mutate(state);
  tell("derive");
}

// freeName is an ink's name that no other unit of its view has.
/** @type {(name: string, mine?: Unit | null) => string} */
export function freeName(name, mine = null) {
  const taken = new Set(view().units.filter((u) => u !== mine).map((u) => u.ink.toLowerCase()));
  let free = name;
  for (let n = 2; taken.has(free.toLowerCase()); n++) free = `${name} ${n}`;
  return free;
}

// curveFor is a press's curve for an ink: one of its own, else the common one.
/** @type {(choice: Press, ink: string) => Curve} */
export function curveFor(choice, ink) {
  const own = Object.keys(choice.curve_of_ink).find((name) => name.toLowerCase() === ink.toLowerCase());
  return own ? choice.curve_of_ink[own] : choice.curve;
}

/** @type {(s: Separation) => Unit} */
export const newUnit = (s) => ({ separation: s.id, ink: s.ink, curve: copy(curveFor(base(), s.ink)), sweep: null });
