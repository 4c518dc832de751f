// Teaching: set the keys yourself. The computed keys are hidden; the learner
// sets every key and the sweep by eye, and then sees supply beside demand.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, el, write, show, clamp, download } from "./dom.js";
import { byPlace } from "./plan.js";

export function make() {
  $("quiz-weigh").addEventListener("click", weigh);
  $("quiz-again").addEventListener("click", begin);
  $("quiz-end").addEventListener("click", end);
  $("quiz-save").addEventListener("click", save);
  $("bench").addEventListener("pointerdown", pull);
  $("bench").addEventListener("keydown", keyed);
}

export function begin() {
  if (!compute.result || !store.unit()) return;
  const keys = compute.result.zones.map(() => 25);
  store.look((book) => { book.quiz = { keys, sweep: compute.unit().reference_sweep, answer: null, problem: "" }; book.all = false; });
}

export const end = () => store.look((book) => { book.quiz = null; });

function set(zone, opening) {
  store.look((book) => {
    book.quiz.keys[zone - 1] = clamp(Math.round(opening), 0, 100);
    book.quiz.answer = null;
  });
}

// pull opens keys by the pointer in the gap; across many zones in one stroke.
function pull(event) {
  if (!store.book.quiz || event.button || !bench.view) return;
  const { edge, height } = bench.view.gaps[0];
  const first = bench.spot(event);
  if (first.y < edge - 6 || first.y > edge + height + 40) return;
  event.preventDefault();
  let last = first;
  const move = (e) => {
    const now = bench.spot(e);
    const steps = Math.ceil(Math.abs(now.x - last.x) / 5) || 1; // so that a quick stroke leaves no zone out
    for (let i = 1; i <= steps; i++) {
      const part = i / steps, zone = bench.zoneAt(last.x + (now.x - last.x) * part);
      if (zone) set(zone, ((last.y + (now.y - last.y) * part - edge) / height) * 100);
    }
    last = now;
  };
  $("bench").setPointerCapture(event.pointerId);
  $("bench").addEventListener("pointermove", move);
  $("bench").addEventListener("lostpointercapture", () => $("bench").removeEventListener("pointermove", move), { once: true });
  move(event);
}

function keyed(event) {
  const { quiz } = store.book, zone = Number(event.target.dataset?.zone);
  if (!quiz || !zone) return;
  const by = { ArrowUp: -1, ArrowDown: 1, PageUp: -10, PageDown: 10 }[event.key];
  if (!by) return;
  event.preventDefault();
  set(zone, quiz.keys[zone - 1] + by); // down is away from the roller: open
}

async function weigh() {
  const { keys, sweep } = store.book.quiz;
  try {
    const answer = await api.score({ state: store.state(), unit: store.book.unit, keys_pct: keys, sweep });
    store.look((book) => { book.quiz.answer = answer; book.quiz.problem = ""; });
    $("quiz-score").focus();
  } catch (e) {
    store.look((book) => { book.quiz.problem = e.message; });
  }
}

export function draw() {
  const { quiz } = store.book;
  $("quiz-part").hidden = !quiz;
  $("bench").classList.toggle("pulling", !!quiz);
  if (!quiz) return;
  if (compute.result && quiz.keys.length !== compute.result.zones.length) return void queueMicrotask(begin);
  inputs(quiz);
  write($("quiz-said"), quiz.problem);
  $("quiz-answer").hidden = !quiz.answer;
  $("quiz-save").disabled = !quiz.answer;
  if (quiz.answer) answered(quiz.answer);
}

function inputs(quiz) {
  const list = $("quiz-keys");
  if (list.children.length !== quiz.keys.length) {
    list.replaceChildren(...byPlace(compute.result.zones).map((zone) => {
      const input = el("input", { type: "number", min: 0, max: 100, step: 1, "data-key": zone, "data-zone": zone });
      input.addEventListener("input", () => input.value !== "" && input.checkValidity() && set(zone, Number(input.value)));
      return el("label", {}, String(zone), input);
    }));
  }
  for (const input of list.querySelectorAll("input")) {
    if (document.activeElement !== input) input.value = quiz.keys[input.dataset.key - 1];
  }
}

function answered(answer) {
  write($("quiz-score"), `Score ${show(answer.score, 0)} of 100`);
  write($("quiz-definition"), `${answer.definition} On average the printing zones are ${show(answer.mean_off_pct)} % off.`);
  const signs = { "too much": "▲ too much ink", "too little": "▼ too little ink", right: "= right" };
  $("quiz-rows").replaceChildren(...answer.zones.map((z) => el("tr", { "data-zone": z.zone },
    el("th", { scope: "row" }, String(z.zone)), el("td", {}, show(z.demand, 0)), el("td", {}, show(z.supply, 0)),
    el("td", {}, z.off_pct == null ? "–" : `${z.off_pct >= 0 ? "+" : "−"}${show(Math.abs(z.off_pct))}`), el("td", {}, signs[z.says] || "prints nothing"))));
}

// save writes the trial as CSV, with full precision.
function save() {
  const { quiz } = store.book, { answer } = quiz;
  const head = "learner,job,press,ink,zone,key_pct,sweep,demand,supply,off_pct,says,score";
  const cell = (v) => (v == null ? "" : /[",\r\n]/.test(v) ? `"${String(v).replaceAll('"', '""')}"` : String(v));
  const rows = answer.zones.map((z) => [$("learner").value, store.state().job, store.press().name, store.unit().ink, z.zone,
    quiz.keys[z.zone - 1], quiz.sweep, z.demand, z.supply, z.off_pct, z.says, answer.score].map(cell).join(","));
  download(new Blob([[head, ...rows, ""].join("\r\n")], { type: "text/csv" }), "keys-set-by-hand.csv");
}
