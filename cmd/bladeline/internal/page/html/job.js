// The job: what it is called, and what becomes of it when separations are read. Those
// of another job are not mixed into it unasked.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as questions from "./questions.js";
import { $, $$, el, copy, renew, say, write } from "./dom.js";

/** @import { Run } from "./state.js" */
/** @import { OpenedPreset, Separation } from "./types.js" */

export function make() {
  $("job-new").addEventListener("click", () => {
    begin([]);
    say($("said"), "A new job is begun; Undo brings the one before back.");
  });
  $("job-name").addEventListener("change", () => {
    const name = $("job-name").value.trim();
    store.change(() => { store.view().job = name; });
    $("job-name").value = compute.jobName();
  });
  $("composite-out").addEventListener("click", leaveComposite);
  choices();
}

// choices are what the welcome offers: a press to begin with, and a job to try on each.
function choices() {
  const { presses } = store.offer;
  $("welcome-press").addEventListener("change", () => {
    const base = $("welcome-press").value;
    store.change((state) => {
      state.chosen = base !== "";
      if (base) store.takePress(base);
    });
  });
  $("examples").replaceChildren(...presses.map((p) => el("button", { type: "button", "data-example": p.base, onclick: () => example(p.base) }, p.name)));
}

async function example(base) {
  try {
    const { separations } = await api.example({ ...store.untouched, base });
    take(separations, base);
  } catch (e) {
    say($("said"), e.message);
  }
}

// settle makes separations that were read a part of the job, or asks.
/** @param {Separation[]} list */
export async function settle(list) {
  if (!list.length) return;
  const here = new Set(store.state.views.job.units.map((u) => store.separation(u)?.job));
  if (!here.size) return begin(list);
  const of = questions.of(list);
  if (!of && list.some((s) => here.has(s.job))) return add(list);
  if (of) {
    of.separations.push(...list);
    return questions.draw();
  }
  const name = list[0].job || list[0].file;
  questions.put({
    words: () => ({ ...another(name), take: "Begin a new job with it", add: `Add ${list.map((s) => s.ink).join(", ")} to the job here` }),
    take: () => begin(list), add: () => add(list), separations: list,
  });
}

/** @param {string} name */
const another = (name) => ({ says: `${name} is another job than the one here.`, leave: `Leave ${name} out` });

// begin begins a new job with separations, on a press that takes them where nobody
// chose one.
/** @param {Separation[]} list */
async function begin(list) {
  let base = store.state.press.base;
  try {
    if (list.length && !store.state.chosen) {
      const { presses } = await api.takes({ placement: store.offer.state.placement, separations: list.map((s) => s.id) });
      base = presses[0] ?? base;
    }
  } catch (e) {
    say($("said"), e.message); // the press stays
  }
  take(list, base);
}

// take makes separations the job, on a press.
/** @type {(list: Separation[], base: string) => void} */
const take = (list, base) => store.change(() => renewed(list, base));

/** @type {(list: Separation[], base: string) => void} */
function renewed(list, base) {
  const { state } = store, { placement, paper } = copy(store.offer.state);
  questions.forget();
  store.leaveTrial(null);
  if (base !== state.press.base) store.takePress(base);
  Object.assign(state, { view: "job", all: false, unit: 0, first: base });
  state.views.job = { job: "", paper, placement, units: [], run: null };
  place(list);
  state.unit = 0;
}

// takePreset makes a preset the job, or asks where there is another, and answers whether
// it has.
/** @type {(preset: OpenedPreset, run: Run) => boolean} */
export function takePreset(preset, run) {
  if (!store.state.views.job.units.length) return beginOf(preset, run), true;
  questions.put({ words: () => ({ ...another(preset.job || run.file), take: "Begin a new job of its coverages" }), take: () => beginOf(preset, run) });
  return false;
}

// beginOf makes the coverages of a preset the job, with how its keys stood.
/** @type {(preset: OpenedPreset, run: Run) => void} */
function beginOf(preset, run) {
  store.change((state) => {
    renewed(preset.units.map((u) => u.separation), preset.base);
    state.chosen = true;
    const { job } = state.views;
    Object.assign(job, { job: preset.job, paper: preset.paper, placement: preset.placement, run });
    job.units.forEach((unit, i) => {
      const { curve, sweep } = preset.units[i];
      Object.assign(unit, { curve: copy(curve ?? store.curveFor(store.base(), unit.ink)), sweep });
    });
  });
}

/** @param {Separation[]} list */
function add(list) {
  store.change((state) => {
    state.view = "job";
    store.leaveTrial(null);
    place(list);
  });
}

// place puts separations on the job. One that is brought again takes its own place,
// and its curve and sweep stay.
/** @param {Separation[]} list */
function place(list) {
  const { state } = store, { units } = state.views.job;
  for (const s of list) {
    state.unit = units.findIndex((u) => origin(state.separations[u.separation]) === origin(s));
    state.separations[s.id] = s;
    if (state.unit >= 0) units[state.unit].separation = s.id;
    else state.unit = units.push({ ...store.newUnit(s), ink: store.freeName(s.ink) }) - 1;
  }
}

/** @param {Separation | undefined} s */
const origin = (s) => s && JSON.stringify([s.file, s.page, s.channel]);

// composite are the inks of a file that holds inks of the job together.
const composite = () => compute.misfits().filter((m) => m.code === "composite").map((m) => m.unit);

function leaveComposite() {
  const out = new Set(composite());
  store.change((state) => {
    const of = store.view();
    of.units = of.units.filter((_, i) => !out.has(i));
    state.unit = 0;
    state.all &&= of.units.length > 1;
  });
  say($("said"), "The composite is left out; Undo brings it back.");
  ($$("#inks [aria-pressed=true]")[0] || $("files")).focus();
}

export function draw() {
  if (document.activeElement !== $("job-name")) $("job-name").value = compute.jobName();
  write($("job-printed"), compute.jobName());
  $("job-part").hidden = !store.view().units.length;
  $("job-new").disabled = !store.state.views.job.units.length || store.state.view === "drawn";
  $("composite-out").hidden = !composite().length;
  const list = store.presses().map((p) => [p.base, store.called(p)]);
  renew($("welcome-press"), list, () => [["", "the narrowest that takes the form"], ...list].map(([base, name]) => el("option", { value: base }, name)));
  $("welcome-press").value = store.state.chosen ? store.state.press.base : "";
}
