// Teaching: set the keys yourself. The computed keys are hidden; the learner
// sets every key and the sweep by eye, and then sees supply beside demand.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, el, write, show, clamp, download, stroke, hold, unchanged } from "./dom.js";
import { byPlace } from "./plan.js";

/** @import { LearnersTrial } from "./state.js" */
/** @import { Weighed } from "./types.js" */

export function make() {
  $("quiz-weigh").addEventListener("click", weigh);
  $("quiz-again").addEventListener("click", again);
  $("quiz-end").addEventListener("click", finish);
  $("quiz-save").addEventListener("click", save);
  $("learner").addEventListener("input", () => store.look((state) => { state.learner = $("learner").value; }));
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

// trialId tells trials apart: by view, ink and how many keys there are.
const trialId = () => [store.state.view, store.unit().ink, compute.result.zones.length].join("|");

const unweighed = { answer: null, against: null, problem: "" };
/** @type {() => Omit<LearnersTrial, "id">} */
const untouched = () => ({ keys: compute.result.zones.map(() => 25), sweep: compute.unit().reference_sweep, ...unweighed });

// workAt makes a trial the one under way; the one before it is kept.
/** @param {LearnersTrial | null} trial */
const workAt = (trial) => store.look((state) => {
  store.leaveTrial(trial);
  state.all = false;
});

const ready = () => compute.result && store.unit() && compute.unit();

export function begin() {
  if (ready()) workAt(store.state.trials[trialId()] || { id: trialId(), ...untouched() });
}

// follow goes over to the trial of another ink, or of another number of keys, when
// these are what is seen. It answers whether it did.
export function follow() {
  const { trial } = store.state, other = trial && ready() && trial.id !== trialId();
  if (other) begin();
  return !!other;
}

function again() {
  if (ready()) change((trial) => Object.assign(trial, untouched()));
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

const set = (zone, opening, merge) => change((trial) => { trial.keys[zone - 1] = clamp(Math.round(opening), 0, 100); }, merge);

export const setSweep = (sweep) => change((trial) => { trial.sweep = sweep; }, "trial's sweep");

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
      if (zone) set(zone, ((last.y + (now.y - last.y) * part - edge) / height) * 100, word);
    }
    last = now;
  };
  if (stroke($("bench"), event, move, store.closeEdit)) move(event);
}

function keyed(event) {
  const { trial } = store.state, zone = Number(event.target.dataset?.zone);
  if (!trial || !zone) return;
  const by = { ArrowUp: -1, ArrowDown: 1, PageUp: -10, PageDown: 10 }[event.key];
  if (!by) return;
  event.preventDefault();
  set(zone, trial.keys[zone - 1] + by, `key ${zone}`); // down is away from the roller: open
}

let newest = 0; // the revision of the state that the answer which came last is to

async function weigh() {
  const { revision } = store;
  const trial = store.state.trial, state = store.sent(), asked = JSON.stringify([trial.keys, trial.sweep]);
  let found = { problem: "" };
  try {
    const answer = await api.score({ state, unit: store.state.unit, keys_pct: trial.keys, sweep: trial.sweep }, revision);
    found = { answer, against: JSON.stringify(state), problem: "" };
  } catch (e) {
    found.problem = e.message;
  }
  if (revision < newest || store.state.trial !== trial || asked !== JSON.stringify([trial.keys, trial.sweep])) return; // overtaken
  newest = revision;
  store.look((state) => Object.assign(state.trial, found));
  if (found.answer) $("quiz-score").focus();
}

export function draw() {
  const { trial } = store.state, here = trial && ready();
  $("quiz-part").hidden = !here;
  $("bench").classList.toggle("pulling", !!here);
  if (!here) return;
  inputs(trial);
  if (document.activeElement !== $("learner")) $("learner").value = store.state.learner;
  write($("quiz-said"), trial.problem);
  const answer = store.weighed();
  $("quiz-answer").hidden = !answer;
  $("quiz-save").disabled = !answer;
  if (answer) answered(answer);
}

/** @param {LearnersTrial} trial */
function inputs(trial) {
  const list = $("quiz-keys"), order = byPlace(compute.result.zones);
  if (list.dataset.of !== order.join()) {
    list.dataset.of = order.join();
    list.replaceChildren(...order.map((zone) => {
      const input = el("input", { type: "number", min: 0, max: 100, step: 1, "data-key": zone, "data-zone": zone, "aria-label": `Zone ${zone}, opening in %` });
      input.addEventListener("change", () => typed(zone, input));
      input.addEventListener("input", forgive);
      return el("label", {}, String(zone), input);
    }));
  }
  for (const input of list.querySelectorAll("input")) {
    if (document.activeElement !== input) input.value = trial.keys[input.dataset.key - 1];
  }
}

// forgive takes back what was said of a key while another is typed.
function forgive() {
  if (store.state.trial.problem) store.look((state) => { state.trial.problem = ""; });
}

// typed takes a key, or leaves it where it was and says why.
function typed(zone, input) {
  if (input.value !== "" && input.checkValidity()) {
    const key = Number(input.value); // before the field is drawn again
    store.look((state) => { state.trial.problem = ""; });
    return set(zone, key);
  }
  input.value = store.state.trial.keys[zone - 1];
  store.look((state) => { state.trial.problem = unchanged(input, `The key of zone ${zone}`, input.value); });
}

/** @param {Weighed} answer */
function answered(answer) {
  write($("quiz-score"), `Score ${show(answer.score, 0)} of 100`);
  write($("quiz-definition"), `${answer.definition} On average the printing zones are ${show(answer.mean_off_pct)} % off.`);
  const beyond = answer.zones.some((z) => z.off_pct != null && z.demand > 100 * store.state.trial.sweep);
  write($("quiz-dashed"), `The dashed line in the blade is where demand would have been met at your sweep.${beyond ? " Where it lies at «open» the form wants more than a key can give: it takes a longer sweep." : ""}`);
  const signs = { "too much": "▲ too much ink", "too little": "▼ too little ink", right: "= right", "too little to count": "too little to count" };
  $("quiz-rows").replaceChildren(...answer.zones.map((z) => el("tr", { "data-zone": z.zone },
    el("th", { scope: "row" }, String(z.zone)), el("td", {}, show(z.demand, 0)), el("td", {}, show(z.supply, 0)),
    el("td", {}, z.off_pct == null ? "–" : `${z.off_pct >= 0 ? "+" : "−"}${show(Math.abs(z.off_pct))}`), el("td", {}, signs[z.says] || "prints nothing"))));
}

// guarded is a name that no spreadsheet takes for a formula, as in a preset's CSV.
const guarded = (name) => (/^[=+\-@']/.test(name) ? `'${name}` : name);

// save writes the trial as CSV, with full precision.
function save() {
  const { trial } = store.state, answer = store.weighed();
  const header = "learner,job,press,ink,zone,key_pct,sweep,demand,supply,off_pct,says,score";
  const cell = (v) => (v == null ? "" : /[",\r\n]/.test(v) ? `"${String(v).replaceAll('"', '""')}"` : String(v));
  const rows = answer.zones.map((z) => [...[store.state.learner, compute.jobName(), store.press().name, store.unit().ink].map(guarded), z.zone,
    trial.keys[z.zone - 1], trial.sweep, z.demand, z.supply, z.off_pct, z.says, answer.score].map(cell).join(","));
  download(new Blob([[header, ...rows, ""].join("\r\n")], { type: "text/csv" }), "keys-set-by-hand.csv");
}
