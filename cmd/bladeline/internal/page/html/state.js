// What a tab remembers: the press, the forms on its two desks (the job, and the
// plate that is drawn by hand), and what is looked at. It lives in this tab's
// sessionStorage, so that a reload loses nothing and two tabs stay apart.

import { copy, same, inStroke } from "./dom.js";

const KEY = "bladeline";
const STEPS = 60; // edits that can be taken back

export let book = null;
export let begin = null; // what the server offers: presses, curves, prepared forms
const listeners = [];
let merging = null;

export const listen = (fn) => listeners.push(fn);

function tell(kind) {
  clearTimeout(keeping);
  keeping = setTimeout(keep, 200); // not at every move of a drag
  for (const fn of listeners) fn(kind);
}

let keeping = 0;

export function keep() {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(book));
  } catch {
    book.undo = book.undo.slice(-5); // the browser's store is full
  }
}

addEventListener("pagehide", () => book && keep());

// open takes up what the tab remembers, or else what the server begins with.
export function open(start) {
  begin = start;
  let kept = null;
  try {
    kept = JSON.parse(sessionStorage.getItem(KEY));
  } catch { /* not ours: begin anew */ }
  const begun = fresh(start);
  book = whole(kept, begun) ? kept : begun;
  if (book.given !== begun.given) another(begun);
  for (const s of start.separations) book.separations[s.id] = s;
  rejoin(start);
  tell("open");
}

// whole tells whether what was kept is a book of this version, undamaged.
const whole = (kept, begun) => kept && kept.version === begun.version && kept.desks?.job?.units && kept.desks.drawn?.units
  && Object.keys(begun).every((name) => kept[name] !== undefined) && kept.shapes.every(Boolean);

// another takes up a job that the server was started anew with; the plate that
// was drawn stays.
function another({ given, press, desks }) {
  Object.assign(book, { given, press, desk: "job", unit: 0, all: false, quiz: null, trials: {}, undo: [], redo: [] });
  book.desks.job = desks.job;
  for (const unit of book.desks.drawn.units) Object.assign(unit, { curve: copy(curveFor(base(), unit.ink)), sweep: null });
}

// given is what the command line says, whichever run of the server it is.
const givenBy = ({ state, separations }) => JSON.stringify([state.job, state.press, state.placement, separations.map((s) => [s.file, s.ink, s.page, s.channel])]);

const middle = { lead_edge: "bottom", mirrored: false, shift_mm: 0, dpi_x: null, dpi_y: null };

// firstPlacement is how a desk's form lies to begin with.
export const firstPlacement = () => copy(book.desk === "job" ? begin.state.placement : middle);

function fresh(start) {
  const { job, press, placement, units } = copy(start.state);
  return {
    version: 3, given: givenBy(start), desk: "job", all: false, unit: 0, lit: null, quiz: null, trials: {}, learner: "", separations: {},
    press,
    desks: { job: { job, placement, units }, drawn: { job: "drawn", placement: copy(middle), units: [] } },
    shapes: [], undo: [], redo: [],
  };
}

// rejoin finds the remembered separations again after the server was started
// anew with the same files: their identities are new.
function rejoin(start) {
  const held = new Set(start.separations.map((s) => s.id));
  for (const unit of book.desks.job.units) {
    const was = book.separations[unit.separation];
    if (held.has(unit.separation) || !was) continue;
    const now = start.separations.find((s) =>
      s.file === was.file && s.ink === was.ink && s.page === was.page && s.channel === was.channel);
    if (now) unit.separation = now.id;
  }
}

export const desk = () => book.desks[book.desk];
export const unit = () => desk().units[book.unit];
export const separation = (u = unit()) => u && book.separations[u.separation];

// state is what the server computes from.
export const state = () => ({ job: desk().job, press: book.press, placement: desk().placement, units: desk().units });

// weighed is the answer to the learner's trial, null where the form, the press
// or the curve are not those any more that it was weighed against.
export const weighed = () => (book.quiz && book.quiz.weighed === JSON.stringify(state()) ? book.quiz.answer : null);

export const base = () => begin.presses.find((p) => p.base === book.press.base) || begin.presses[0];

// press is the base with this tab's changes.
export function press() {
  const changed = Object.entries(book.press).filter(([, value]) => value != null);
  return { ...base(), ...Object.fromEntries(changed) };
}

// edited is what an edit may change: the form and the press, and the learner's
// trial while one is under way.
const edited = () => ({
  form: { press: book.press, desks: book.desks, shapes: book.shapes, desk: book.desk, unit: book.unit },
  trial: book.quiz,
});

// change makes an edit that can be taken back. Edits with the same merge word,
// as while dragging, are taken back together.
export function change(mutate, merge = null) {
  const before = copy(edited());
  mutate(book);
  if (same(before, edited())) return;
  if (merge === null || merge !== merging) {
    book.undo = [...book.undo, before].slice(-STEPS);
    book.redo = [];
  }
  merging = merge;
  tell("edit");
}

// settle ends a dragging: the next edit is one of its own.
export const settle = () => { merging = null; };

function step(from, to) {
  const last = inStroke() ? null : book[from].pop(); // what is being pulled has no edit yet
  if (!last) return false;
  const here = last.form.desk === book.desk && last.form.unit === book.unit;
  book[to].push(copy(edited()));
  Object.assign(book, last.form);
  if (last.trial && book.quiz && here) book.quiz = last.trial;
  else if (!last.trial) putAside(); // an edit from before the exercise ends it
  merging = null;
  tell("edit");
  return true;
}

export const undo = () => step("undo", "redo");
export const redo = () => step("redo", "undo");

// leaveTrial makes another trial, or none, the one under way. Edits of the one
// before cannot be taken back from here.
export function leaveTrial(trial) {
  putAside();
  for (const list of ["undo", "redo"]) {
    book[list] = book[list].filter((e, i, all) => !same(made(e), made(all[i + 1] ?? edited())));
  }
  book.quiz = trial;
}

function putAside() {
  if (book.quiz) book.trials[book.quiz.of] = book.quiz;
  book.quiz = null;
}

const made = ({ form: { press, desks, shapes } }) => [press, desks, shapes];

// look changes what is looked at; there is nothing to take back.
export function look(mutate) {
  const place = () => [book.desk, book.unit, book.quiz?.of].join("|"), before = place();
  mutate(book);
  if (place() !== before) settle(); // edits there are none of these
  tell("look");
}

// follow replaces what is derived from an edit, as the drawn plate's identity.
export function follow(mutate) {
  mutate(book);
  tell("follow");
}

// freeName is an ink's name that no other unit of its desk has.
export function freeName(name, mine = null) {
  const taken = new Set(desk().units.filter((u) => u !== mine).map((u) => u.ink.toLowerCase()));
  let free = name;
  for (let n = 2; taken.has(free.toLowerCase()); n++) free = `${name} ${n}`;
  return free;
}

// curveFor is a press's curve for an ink: one of its own, else the common one.
export function curveFor(choice, ink) {
  const own = Object.keys(choice.curve_of_ink).find((name) => name.toLowerCase() === ink.toLowerCase());
  return own ? choice.curve_of_ink[own] : choice.curve;
}

export const newUnit = (s) => ({ separation: s.id, ink: s.ink, curve: copy(curveFor(base(), s.ink)), sweep: null });
