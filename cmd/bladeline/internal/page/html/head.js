// The page's head: which desk and which ink, and what the form is.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as paint from "./paint.js";
import * as quiz from "./quiz.js";
import { $, el, write, say, show, inStroke } from "./dom.js";

export function make() {
  for (const button of document.querySelectorAll("[data-desk]")) {
    button.addEventListener("click", () => {
      if (store.book.quiz) quiz.end();
      store.look((book) => Object.assign(book, { desk: button.dataset.desk, unit: 0, all: false }));
    });
  }
  $("to-draw").addEventListener("click", () => {
    document.querySelector("[data-desk=drawn]").click();
    document.querySelector("[data-desk=drawn]").focus();
  });
  $("quiz").addEventListener("click", () => (store.book.quiz ? quiz.end() : quiz.begin()));
  $("undo").addEventListener("click", undo);
  $("redo").addEventListener("click", redo);
  $("take-out").addEventListener("click", takeOut);
  $("ink-name").addEventListener("change", (e) => rename(e.target.value.trim()));
  document.addEventListener("keydown", shortcuts);
}

const step = (act, done, none) => say($("said"), act() ? done : inStroke() ? "Let go first." : none);
const undo = () => step(store.undo, "Taken back.", "There is nothing to take back.");
const redo = () => step(store.redo, "Done again.", "There is nothing to do again.");

function takeOut() {
  const { ink } = store.unit();
  store.change((book) => {
    book.desks[book.desk].units.splice(book.unit, 1);
    book.unit = Math.max(0, book.unit - 1);
    book.all &&= store.desk().units.length > 1;
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
  const { book } = store, units = store.desk().units, unit = store.unit();
  for (const button of document.querySelectorAll("[data-desk]")) button.setAttribute("aria-pressed", String(button.dataset.desk === book.desk));
  $("quiz").setAttribute("aria-pressed", String(!!book.quiz));
  $("quiz").disabled = !unit;
  for (const name of ["undo", "redo"]) $(name).setAttribute("aria-disabled", String(!book[name].length)); // which keeps the focus
  $("welcome").hidden = units.length > 0 || book.desk === "drawn";
  $("work").hidden = !units.length;
  tabs(units);
  title(unit);
  const problem = (book.desk === "drawn" && paint.error) || compute.error;
  write($("problem"), problem ? `${whose(problem, units)}${problem.message.replace(/[.;]?$/, ".")}${compute.result ? " What is drawn is from before that." : ""}` : "");
  $("work").classList.toggle("stale", !!problem);
}

// whose separation is missing.
const whose = ({ place }, units) => {
  const of = units[/^units\[(\d+)\]\.separation$/.exec(place)?.[1]];
  return of ? `${of.ink}: ` : "";
};

function tabs(units) {
  const names = [...(units.length > 1 ? ["All inks"] : []), ...units.map((u) => u.ink)];
  const list = $("inks");
  if ([...list.children].map((b) => b.textContent).join("|") !== names.join("|")) {
    list.replaceChildren(...names.map((name, n) => {
      const i = n - (names.length - units.length);
      return el("button", { type: "button", "data-unit": i, onclick: () => store.look((book) => {
        book.all = i < 0;
        if (i >= 0) book.unit = i;
      }) }, name);
    }));
  }
  for (const button of list.children) {
    const i = Number(button.dataset.unit);
    button.setAttribute("aria-pressed", String(store.book.all ? i < 0 : i === store.book.unit));
    button.disabled = i < 0 && !!store.book.quiz;
  }
  $("inks-part").hidden = !units.length;
  $("ink-edit").hidden = store.book.desk === "drawn";
  if (document.activeElement !== $("ink-name")) $("ink-name").value = store.unit()?.ink ?? "";
}

function title(unit) {
  const found = compute.unit(), s = store.separation();
  const of = unit && (store.book.all ? "All inks" : unit.ink);
  write($("ink"), of || "bladeline");
  document.title = unit ? `${store.book.quiz ? "Set the keys: " : ""}${of}, ${store.state().job || "job"} – bladeline` : "bladeline";
  const covered = found && !store.book.quiz && !store.book.all ? `covered ${show(found.coverage_pct)} % on average` : null;
  const size = s && s.width_mm ? `${show(s.width_mm, 0)} × ${show(s.height_mm, 0)} mm` : null;
  write($("about"), [store.state().job, store.press().name, size, covered].filter(Boolean).join(" | "));
  write($("curve-of"), unit ? `The curve of ${unit.ink}` : "The curve");
}
