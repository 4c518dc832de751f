// What a tab remembers: the press, the forms on its two views (the job, and the
// plate that is drawn by hand), and what is looked at. It lives in this tab's
// sessionStorage, so that a reload loses nothing and two tabs stay apart.

import { copy, same, inStroke } from "./dom.js";

/** @import { Curve, Placement, PreparedForm, Press, PressEdit, Separation, Shape, Start, State, Stood, Unit, Weighed, WeighedZone } from "./types.js" */

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
 * @property {boolean} [rehearsing] whether the run is seen, and not the bench
 * @property {boolean} chosen whether somebody chose the press, and not the form
 * @property {string} first the press that the job began with
 * @property {Record<string, PressEdit>} edits of presses that are not on the page now
 * @property {Press[]} presses that were brought
 * @property {Curve[]} curves that were brought
 * @property {Try[]} tries that were weighed, or read from class lists
 * @property {Course | null} course the class whose forms are gone through
 * @property {Record<string, Separation>} separations by id
 * @property {PressEdit} press
 * @property {{ job: Form, drawn: Form }} views
 * @property {DrawnShape[]} shapes of the plates that are drawn
 * @property {string[]} inks of the plates that are drawn
 * @property {Edit[]} undo
 * @property {Edit[]} redo
 */

/**
 * A shape, and the ink that it is drawn in.
 * @typedef {Shape & { ink?: string }} DrawnShape
 */

/**
 * A form on the press: that of a view.
 * @typedef {Pick<State, "job" | "paper" | "placement" | "units"> & { run: Run | null }} Form
 */

/**
 * How the keys of a job stood, by a file.
 * @typedef {object} Run
 * @property {string} file
 * @property {boolean} ran whether they were run, and not just preset
 * @property {Record<string, Stood>} of by ink, in small letters
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
 * @property {boolean} [left] without a name, by a pupil who has gone
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
 * @property {Pick<Tab, "press" | "edits" | "chosen" | "first" | "views" | "shapes" | "inks" | "view" | "unit">} form
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
function takeUpJob({ given, press, chosen, first, views }) {
  Object.assign(state, { given, press, chosen, first, edits: {}, view: "job", unit: 0, all: false, trial: null, trials: {}, undo: [], redo: [] });
  state.views.job = views.job;
  for (const unit of state.views.drawn.units) Object.assign(unit, { curve: copy(curveFor(base(), unit.ink, state.views.drawn.paper)), sweep: null });
}

// given is what the command line says, whichever run of the server it is.
/** @type {(start: Start) => string} */
const givenBy = ({ state, separations }) => JSON.stringify([state.job, state.paper, state.press, state.placement, separations.map((s) => [s.file, s.ink, s.page, s.channel])]);

/** @type {Placement} */
const centred = { lead_edge: "bottom", mirrored: false, shift_mm: 0, dpi_x: null, dpi_y: null };

// firstPlacement is how a view's form lies to begin with.
/** @type {() => Placement} */
export const firstPlacement = () => copy(state.view === "job" ? offer.state.placement : centred);

// firstName is what the job was called to begin with: as the command line says, where
// it is the command line's.
export const firstName = () => (state.views.job.units.some((u) => offer.separations.some((s) => s.id === u.separation)) ? offer.state.job : "");

/** @type {(start: Start) => Tab} */
function fresh(start) {
  const { job, paper, press, placement, units } = copy(start.state);
  return {
    version: 6, given: givenBy(start), view: "job", all: false, unit: 0, lit: null, trial: null, trials: {}, learner: "", tries: [], course: null, separations: {},
    chosen: start.press_named, first: press.base, edits: {}, presses: [], curves: [], press,
    views: { job: { job, paper, placement, units, run: null }, drawn: { job: "drawn", paper, placement: copy(centred), units: [], run: null } },
    shapes: [], inks: ["Black"], undo: [], redo: [],
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
export const sent = () => ({ job: view().job, paper: view().paper, press: state.press, placement: view().placement, units: view().units.map(withHeld) });

// held is the sweep at which auto holds still while its ink's curve is pulled.
/** @type {{ of: Unit, sweep: number } | null} */
let held = null;

/** @type {(u: Unit) => Unit} */
const withHeld = (u) => (held?.of === u && u.sweep === null ? { ...u, sweep: held.sweep } : u);

export const isHeld = () => held !== null;

// holdSweep keeps auto where it is until it is let go.
/** @param {number} sweep */
export const holdSweep = (sweep) => { held = { of: unit(), sweep }; };

export function letSweepGo() {
  if (!held) return;
  held = null;
  tell("derive");
}

// inkOf is the ink that a shape is drawn in.
/** @type {(shape: DrawnShape) => string} */
export const inkOf = (shape) => (state.inks.includes(shape.ink) ? shape.ink : state.inks[0]);

// weighed is the answer to the learner's trial, null where the form, the press
// or the curve are not those any more that it was weighed against.
export const weighed = () => (state.trial && state.trial.against === JSON.stringify(sent()) ? state.trial.answer : null);

// presses are those to choose from.
export const presses = () => [...offer.presses, ...state.presses];

// called is what a press is called where others may be called alike: one that was
// brought by its file, too.
/** @type {(press: Press) => string} */
export const called = ({ base, name }) => (base.startsWith(BROUGHT) && presses().some((p) => p.base !== base && p.name === name) ? `${name}, from ${base.slice(BROUGHT.length)}` : name);
const BROUGHT = "brought: "; // as the server calls them

export const base = () => presses().find((p) => p.base === state.press.base) || offer.presses[0];

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
  form: { press: state.press, edits: state.edits, chosen: state.chosen, first: state.first, views: state.views, shapes: state.shapes, inks: state.inks, view: state.view, unit: state.unit },
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
const formOf = ({ form: { press, views, shapes, inks } }) => [press, views, shapes, inks];

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

// curveFor is a press's curve for an ink on a paper: the paper's for the ink, else
// the paper's for all, else the ink's own on any paper, else the common one.
/** @type {(choice: Press, ink: string, paper?: string) => Curve} */
export function curveFor(choice, ink, paper = view().paper) {
  const called = (name, other) => name.toLowerCase() === other.toLowerCase();
  const own = (curves) => curves[Object.keys(curves).find((name) => called(name, ink))];
  const on = choice.papers.find(({ name }) => called(name, paper));
  return (on && (own(on.curve_of_ink) || on.curve)) || own(choice.curve_of_ink) || choice.curve;
}

/** @type {PressEdit} */
export const untouched = { base: "", file: "", zones: null, zone_width_mm: null, first_zone: null, blade: null, neighbour_limit_pct: null };

// takePress takes a press as it was left. Curves that are the old press's own become
// the new one's, curves edited by hand stay, as do sweeps that it has.
/** @param {string} name */
export function takePress(name) {
  const { press, edits } = state;
  edits[press.base] = press;
  const file = presses().find((p) => p.base === name)?.file ?? "";
  withCurves(() => { state.press = edits[name] ?? { ...untouched, base: name, file }; });
  const { sweep, units } = base(), scales = [sweep, ...units.map((u) => u.sweep)];
  for (const unit of Object.values(state.views).flatMap((v) => v.units)) {
    if (!scales.every(({ settings }) => settings.includes(unit.sweep))) unit.sweep = null;
  }
}

// withCurves makes an edit of the press or of papers, and gives inks that have the
// curve that is usual there the one that is then.
/** @param {(state: Tab) => void} mutate */
export function withCurves(mutate) {
  const usual = ({ units, paper }) => units.map((u) => curveFor(base(), u.ink, paper));
  const views = () => Object.values(state.views), before = views().map(usual);
  mutate(state);
  const now = views().map(usual);
  views().forEach(({ units }, v) => units.forEach((unit, i) => {
    if (same(unit.curve, before[v][i])) unit.curve = copy(now[v][i]);
  }));
}

/** @type {(s: Separation) => Unit} */
export const newUnit = (s) => ({ separation: s.id, ink: s.ink, curve: copy(curveFor(base(), s.ink)), sweep: null });
