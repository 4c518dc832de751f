// The page's head: which view and which ink, and what the form is.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as paint from "./paint.js";
import * as quiz from "./quiz.js";
import * as rehearse from "./rehearse.js";
import { $, $$, el, write, say, show, inStroke } from "./dom.js";

/** @import { Unit } from "./types.js" */

export function make() {
  for (const button of $$("[data-view]")) {
    button.addEventListener("click", () => {
      if (store.state.trial) quiz.end();
      rehearse.leave();
      store.look((state) => Object.assign(state, { view: button.dataset.view, unit: 0, all: false }));
    });
  }
  $("to-draw").addEventListener("click", () => {
    const [to] = $$("[data-view=drawn]");
    to.click();
    to.focus();
  });
  $("quiz").addEventListener("click", () => {
    if (store.state.trial) quiz.end();
    else if (!quiz.begin()) say($("said"), compute.misfits().length ? "There are no keys to set: the form does not lie on this fountain. Choose another press, or an ink that fits." : "There are no keys to set yet: the form is still being worked out, or the line above says what it lacks.");
  });
  $("undo").addEventListener("click", undo);
  $("redo").addEventListener("click", redo);
  $("take-out").addEventListener("click", takeOut);
  $("ink-name").addEventListener("change", (e) => rename(e.target.value.trim()));
  document.addEventListener("keydown", shortcuts);
}

const step = (act, done, none) => say($("said"), compute.isLost() ? "The server does not answer: this waits until it does." : act() ? done : inStroke() ? "Let go first." : none);
const undo = () => step(store.undo, "Taken back.", "There is nothing to take back.");
const redo = () => step(store.redo, "Done again.", "There is nothing to do again.");

function takeOut() {
  const { ink } = store.unit();
  store.change((state) => {
    state.views[state.view].units.splice(state.unit, 1);
    state.unit = Math.max(0, state.unit - 1);
    state.all &&= store.view().units.length > 1;
  });
  say($("said"), `${ink} is taken out; Undo brings it back.`);
  (document.querySelector("#inks [aria-pressed=true]") || $("files")).focus();
}

function rename(name) {
  write($("said"), "");
  const free = name && store.freeName(name, store.unit());
  if (name) store.change(() => {
    quiz.rename(store.unit().ink, free);
    store.unit().ink = free;
  });
  $("ink-name").value = store.unit().ink;
  if (free !== name) say($("said"), `There is an ink ${name} already: this one is named ${free}.`);
}

// shortcuts are left to a field that is being typed in.
function shortcuts(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.matches("input[type=number], input[type=text]")) return;
  const key = event.key.toLowerCase();
  const act = key === "z" ? (event.shiftKey ? redo : undo) : key === "y" ? redo : null;
  if (!act) return;
  event.preventDefault();
  act();
}

export function draw() {
  const { state } = store, units = store.view().units, unit = store.unit();
  for (const button of $$("[data-view]")) button.setAttribute("aria-pressed", String(!state.trial && !rehearse.isOn() && button.dataset.view === state.view));
  $("quiz").setAttribute("aria-pressed", String(!!state.trial));
  $("quiz").disabled = !unit;
  for (const name of ["undo", "redo"]) $(name).setAttribute("aria-disabled", String(!state[name].length || compute.isLost())); // which keeps the focus
  $("files").disabled = compute.isLost();
  $("welcome").hidden = units.length > 0 || state.view === "drawn";
  $("work").hidden = !units.length && state.view !== "drawn";
  tabs(units);
  title(unit);
  const problem = (state.view === "drawn" && paint.error) || compute.wrong(), stale = compute.error && compute.result;
  write($("problem"), problem ? `${whose(problem, units)}${problem.message.replace(/[.;]?$/, ".")}${stale ? " What is drawn is from before that." : ""}` : "");
  $("work").classList.toggle("lost", compute.isLost());
  $("work").classList.toggle("stale", !!((state.view === "drawn" && paint.error) || compute.error));
}

// whose separation is missing.
/** @type {(refused: { place: string }, units: Unit[]) => string} */
const whose = ({ place }, units) => {
  const of = units[/^units\[(\d+)\]\.separation$/.exec(place)?.[1]];
  return of ? `${of.ink}: ` : "";
};

/** @param {Unit[]} units */
function tabs(units) {
  const names = [...(units.length > 1 ? ["All inks"] : []), ...units.map((u) => u.ink)];
  const list = $("inks");
  if ([...list.children].map((b) => b.textContent).join("|") !== names.join("|")) {
    list.replaceChildren(...names.map((name, n) => {
      const i = n - (names.length - units.length);
      return el("button", { type: "button", "data-unit": i, onclick: () => store.look((state) => {
        state.all = i < 0;
        if (i >= 0) state.unit = i;
      }) }, name);
    }));
  }
  for (const button of list.children) {
    const i = Number(button.dataset.unit);
    button.setAttribute("aria-pressed", String(store.state.all ? i < 0 : i === store.state.unit));
    button.disabled = i < 0 && !!store.state.trial;
  }
  $("inks-part").hidden = !units.length;
  $("ink-edit").hidden = store.state.view === "drawn";
  if (document.activeElement !== $("ink-name")) $("ink-name").value = store.unit()?.ink ?? "";
}

/** @param {Unit | undefined} unit */
function title(unit) {
  const found = compute.unit(), s = store.separation();
  const of = unit && (store.state.all ? "All inks" : unit.ink);
  write($("ink"), of || "bladeline");
  document.title = unit ? `${store.state.trial ? "Set the keys: " : ""}${of}, ${compute.jobName() || "job"} – bladeline` : "bladeline";
  const covered = found && !store.state.trial && !store.state.all ? `covered ${show(found.coverage_pct)} % on average` : null;
  const size = s && s.width_mm ? `${show(s.width_mm, 0)} × ${show(s.height_mm, 0)} mm` : null;
  write($("about"), [unit || store.state.chosen ? store.press().name : "", size, covered].filter(Boolean).join(" | "));
  write($("curve-of"), unit ? `The curve of ${unit.ink}` : "The curve");
}
