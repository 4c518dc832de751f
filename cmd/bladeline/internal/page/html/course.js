// A class: a row of forms in rising difficulty, which come from a word that all of
// the class type alike, and where this pupil is in it.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import { $, copy, same, say, write } from "./dom.js";

/** @import { PreparedForm } from "./types.js" */

export function make() {
  $("class-begin").addEventListener("click", begin);
  $("class-seed").addEventListener("keydown", (event) => { if (event.key === "Enter") begin(); });
  $("form-before").addEventListener("click", () => go(-1));
  $("form-next").addEventListener("click", () => go(1));
}

async function begin() {
  try {
    const row = await api.row($("class-seed").value, store.revision);
    store.look((state) => { state.course = { ...row, waiting: null }; });
    take(row.forms[0]);
  } catch (e) {
    say($("class-said"), e.message);
  }
}

// form is the form of the class that is on the press, null where none is.
/** @type {() => PreparedForm | null} */
export function form() {
  const { course, view, shapes } = store.state;
  return (course && view === "drawn" && course.forms.find((f) => same(f.shapes, shapes))) || null;
}

// formName is what a try's form is called.
export const formName = () => form()?.id ?? (store.state.view === "drawn" ? "drawn form" : `${compute.jobName()}, ${store.unit().ink}`);

/** @param {number} by */
function go(by) {
  const { forms } = store.state.course, at = forms.indexOf(form());
  take(forms[Math.min(Math.max(at + by, 0), forms.length - 1)]);
}

export const first = () => take(store.state.course.forms[0]);

// take puts a form of the class on the press. Its trial begins when it is measured.
/** @param {PreparedForm} next */
function take(next) {
  const { state } = store;
  store.leaveTrial(null);
  state.course.waiting = same(next.shapes, state.shapes) ? "" : state.views.drawn.units[0]?.separation ?? "none"; // the plate that it is not yet
  store.change(() => Object.assign(state, { view: "drawn", unit: 0, all: false, shapes: copy(next.shapes) }));
  store.look(() => {}); // where nothing had to be changed
}

export const waits = () => store.state.course != null && store.state.course.waiting !== null;

// isThere tells whether the form that was waited for is measured and its keys are
// worked out.
export const isThere = () => waits() && store.state.view === "drawn" && compute.isCurrent() && store.unit().separation !== store.state.course.waiting;

export function draw() {
  const at = form(), { course } = store.state;
  $("course").hidden = !at;
  if (document.activeElement !== $("class-seed") && course && $("class-seed").value === "") $("class-seed").value = course.seed;
  if (!at) return;
  $("pupil-next").hidden = !store.state.trial;
  $("course-back").hidden = !!store.state.trial;
  $("form-before").disabled = at === course.forms[0];
  $("form-next").disabled = at === course.forms.at(-1);
  write($("course-at"), `${at.title} of ${course.forms.length}`);
}
