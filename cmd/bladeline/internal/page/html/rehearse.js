// The run rehearsed on the press's roller train. While things are pulled the train's
// line answers, one question at a time; when they rest, the whole train does: what is
// printed once it has settled, then a start from washed rollers and keys solved on the
// train, and what the key of the lit zone does. What is under way ends with the next change.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as inkrows from "./inkrows.js";
import * as films from "./rollerfilms.js";
import * as sideview from "./sideview.js";
import * as runs from "./runs.js";
import * as words from "./rehearsewords.js";
import { $, el, renew, write } from "./dom.js";
import { mark, rove } from "./link.js";

/** @import { Films, InkLine, Line, Pull, RehearseQuestion, Said, Settled, Solved, StartUp } from "./types.js" */

const PAUSE = 300; // ms that all must stay as it is before the whole train is asked

/**
 * What is known of the newest state that anything is known of.
 * @typedef {object} Found
 * @property {Line | null} line
 * @property {InkLine | null} own the line's answer for the ink that is rehearsed
 * @property {Settled | null} settled null while it is worked out
 * @property {StartUp | null} clean
 * @property {Solved | null} solved
 * @property {Said | null} said in the words of the command
 * @property {Pull | null} pull of the lit zone
 * @property {Record<number, Films>} others by unit, what other inks print by the whole train
 */

const unknown = { settled: null, clean: null, solved: null, said: null, pull: null, others: {} };

let asked = "", asking = false; // of the line
let pulled = ""; // which key was asked for, of which state
let timer = 0, pulling = 0;
let ending = new AbortController(), endingPull = new AbortController();
/** @type {Found} */
let found = { line: null, own: null, ...unknown };
/** @type {string} */
let problem = "";
let redraw = () => {};
let settling = false, moving = false; // whether answers of the whole train, and of a key, are to come
export const isBusy = () => isOn() && (asking || settling || moving);

// isOn tells whether the rehearsal is seen.
export const isOn = () => !!store.state.rehearsing && !store.state.trial && !!store.unit();
// leave goes back to the bench; what is looked at is then told.
export const leave = () => { store.state.rehearsing = false; };

/** @type {() => RehearseQuestion | null} */
function question() {
  return isOn() && compute.result && !compute.error && compute.unit() ? { state: store.sent(), unit: store.state.unit, zone: 0 } : null;
}

/** @param {() => void} then is called when something came */
export function make(then) {
  redraw = then;
  $("rehearse").addEventListener("click", () => {
    store.look((state) => { state.rehearsing = !state.rehearsing; });
    redraw();
    ask();
  });
  films.make(redraw);
  $("rehearse-as").addEventListener("change", () => redraw());
  sideview.make();
  rove($("rehearse-films"), "ArrowLeft", "ArrowRight");
  new ResizeObserver(() => isOn() && redraw()).observe($("rehearse-part"));
}

// ask asks for what is not known of the newest state.
export function ask() {
  const wanted = question(), text = JSON.stringify(wanted);
  if (!wanted) return end("");
  if (text === asked) return askPull(wanted, text);
  if (asking) return;
  end(text);
  asking = true;
  askLine(wanted, text);
}

// end ends what is under way for another state.
/** @param {string} text */
function end(text) {
  asked = text;
  pulled = "";
  settling = moving = false;
  clearTimeout(timer);
  clearTimeout(pulling);
  ending.abort();
  endingPull.abort();
}

/** @type {(wanted: RehearseQuestion, text: string) => Promise<void>} */
async function askLine(wanted, text) {
  try {
    const line = await api.line(wanted, store.revision);
    problem = "";
    found = { line, own: line.inks.find(({ unit }) => unit === wanted.unit) ?? null, ...unknown };
    if (text === asked) later(wanted);
  } catch (e) {
    problem = e.message;
    found = { line: null, own: null, ...unknown };
  }
  asking = false;
  redraw();
  ask();
}

// later asks the whole train when things rest.
/** @param {RehearseQuestion} wanted */
function later(wanted) {
  const signal = (ending = new AbortController()).signal;
  settling = true;
  const others = found.line.inks.map(({ unit }) => unit).filter((unit) => unit !== wanted.unit);
  const shown = [step("settled"), step("clean"), step("solved")];
  const steps = [...shown, step("said"), ...others.map(other)];
  timer = setTimeout(async () => {
    for (const [i, take] of steps.entries()) {
      try {
        const more = await take(wanted, signal);
        if (signal.aborted) return;
        found = { ...found, ...more };
      } catch (e) {
        if (signal.aborted) return;
        problem = e.message;
      }
      settling = i < shown.length - 1; // sentences and other inks follow by the way
      redraw();
      ask(); // of the lit zone's key
    }
  }, PAUSE);
}

// step asks for one part of what is known of the ink, and other for the films of another.
/** @type {(part: "settled" | "clean" | "solved" | "said") => (wanted: RehearseQuestion, signal: AbortSignal) => Promise<Partial<Found>>} */
const step = (part) => async (wanted, signal) => ({ [part]: await api[part](wanted, store.revision, signal) });

/** @type {(unit: number) => (wanted: RehearseQuestion, signal: AbortSignal) => Promise<Partial<Found>>} */
const other = (unit) => async (wanted, signal) => {
  const { preset } = await api.settled({ ...wanted, unit }, store.revision, signal);
  return { others: { ...found.others, [unit]: preset } };
};

// askPull asks for the lit zone's key when it has stayed lit for a while.
/** @type {(wanted: RehearseQuestion, text: string) => void} */
function askPull(wanted, text) {
  const zone = store.state.lit ?? 0, of = `${zone} ${text}`;
  if (!found.settled || of === pulled) return;
  pulled = of;
  clearTimeout(pulling);
  endingPull.abort();
  moving = zone > 0 && (found.own?.preset.pct[zone - 1] ?? 0) > 0;
  if (!moving) return;
  const signal = (endingPull = new AbortController()).signal;
  pulling = setTimeout(async () => {
    try {
      const pull = await api.pulled({ ...wanted, zone }, store.revision, signal);
      if (!signal.aborted) found = { ...found, pull };
    } catch (e) {
      if (!signal.aborted) problem = e.message;
    }
    if (signal.aborted) return;
    moving = false;
    redraw();
  }, PAUSE);
}

export function draw() {
  const seen = isOn(), { result } = compute;
  $("rehearse").setAttribute("aria-pressed", String(seen));
  $("rehearse").disabled = !store.unit() || !!store.state.trial;
  document.documentElement.classList.toggle("rehearsing", seen);
  $("rehearse-part").hidden = !seen;
  if (!seen) return;
  write($("rehearse-title"), `The run of ${store.unit().ink}, rehearsed on the roller train`);
  const unfit = compute.misfit() ?? (compute.error && compute.misfits()[0]);
  write($("rehearse-problem"), unfit ? "There is no run to rehearse: the form does not lie on this fountain. Choose another press, or an ink that fits." : problem);
  const { line } = found, known = !unfit && !!line && !!found.own && !!result && found.own.preset.pct.length === result.zones.length;
  $("rehearse-drawn").hidden = !known;
  renew($("rehearse-says"), [known && found, problem, store.state.lit], () => (known ? words.says(found, store.state.lit) : []).map((s) => el("li", {}, s)));
  write($("rehearse-trend"), known ? words.trend(found) : "");
  if (!known) return;
  const kinds = kindsSeen();
  inkrows.draw(found, result, !!problem);
  films.draw(found, result, kinds);
  sideview.draw(found, store.state.lit);
  runs.draw(found, store.state.lit, kinds.at(-1));
  mark();
}

// kindsSeen are what films are shown as: film, density or both; film alone where the press
// does not know the ink's law.
/** @type {() => import("./filmchart.js").Kind[]} */
function kindsSeen() {
  const known = found.own.band.length > 0, choice = $("rehearse-as");
  choice.disabled = !known;
  write($("rehearse-as-none"), known ? "" : "How dense a film of this ink prints is not known of this press, so only films are shown.");
  if (!known) return ["film"];
  return choice.value === "both" ? ["film", "density"] : [choice.value === "film" ? "film" : "density"];
}
