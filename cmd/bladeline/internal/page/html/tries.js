// The tries of a form, one beside another, so that they can be compared; the best one
// is marked. They are kept with the tab, and a class list is made of them.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as course from "./course.js";
import { $, el, renew, show, amount } from "./dom.js";
import { keyStates } from "./plan.js";
import { bent, keyText } from "./scale.js";
import { mark } from "./link.js";

/** @import { Try } from "./state.js" */
/** @import { Weighed, WeighedZone } from "./types.js" */

const MOST = 300; // that are kept in all; the first are dropped
const SHOWN = 5; // side by side

// keep adds the try that was weighed just now, and has the time begin anew. The same
// keys again are no new try of the same pupil.
/** @type {(answer: Weighed, again: boolean) => void} */
export function keep(answer, again) {
  const { trial, learner, tries } = store.state, form = course.formName(), pupil = learner.trim();
  const last = again && tries.findLast((t) => t.id === trial.id), next = 1 + Math.max(0, ...of(pupil, form).map((t) => t.try));
  if (last && last.pupil === pupil) return;
  tries.push({
    pupil, form, try: next, score: answer.score, seconds: Math.round((trial.spent + Date.now() - trial.since) / 1000),
    profile_pct: answer.profile_pct, level_off_pct: answer.level_off_pct, sweep: trial.sweep, press: store.press().name,
    id: trial.id, keys: trial.keys.map((key) => keyText(key)), openings: bent(trial.keys, compute.unit()).map((at) => at.opening), zones: answer.zones,
  });
  store.state.tries = tries.slice(-MOST);
  Object.assign(trial, { since: Date.now(), spent: 0 });
}

// nameless are the tries of who sets the keys now, weighed before a name was typed.
const nameless = () => store.state.tries.filter((t) => !t.pupil && t.zones && !t.left);

export const wantName = () => !store.state.learner.trim() && nameless().some((t) => t.id === store.state.trial?.id);

// name gives the tries that had no name yet the learner's.
export function name() {
  const pupil = store.state.learner.trim();
  if (!pupil || !nameless().length) return;
  store.look(() => {
    for (const t of nameless()) Object.assign(t, { try: 1 + Math.max(0, ...of(pupil, t.form).map((other) => other.try)), pupil });
  });
}

// leave has those stay without one.
export function leave() {
  for (const t of nameless()) t.left = true;
}

/** @type {(pupil: string, form: string) => Try[]} */
const of = (pupil, form) => store.state.tries.filter((t) => t.pupil === pupil && t.form === form);

// ofThis are the tries of the pupil at this form on this press, the last ones.
export const ofThis = () => of(store.state.learner.trim(), course.formName()).filter((t) => t.id === store.state.trial.id && t.zones);

// best is the first of the tries that scored most.
/** @param {Try[]} list */
export const best = (list) => list.reduce((a, b) => (b.score > a.score ? b : a));

// draw puts the tries side by side and answers whether there are any.
export function draw() {
  const all = ofThis();
  if (!all.length) return $("tries").replaceChildren(), ($("tries").madeOf = ""), false;
  const top = best(all), last = all.slice(-SHOWN), list = last.includes(top) ? last : [top, ...last.slice(1)];
  renew($("tries"), list, () => table(list, top));
  mark();
  return true;
}

const signed = (v) => `${Math.round(v) ? (v > 0 ? "+" : "−") : ""}${show(Math.abs(v), 0)}`;

/** @type {(list: Try[], top: Try) => any[]} */
function table(list, top) {
  const row = (name, texts, zone = {}) => el("tr", zone, el("th", { scope: "row" }, name), ...texts.map((t) => el("td", {}, t)));
  const wants = list.at(-1).zones;
  const head = el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "zone"), el("th", { scope: "col" }, "best keys feed, % open × sweep"),
    ...list.map((t) => el("th", { scope: "col" }, `try ${t.try}${t === top && list.length > 1 ? ", the best" : ""}`))));
  const sums = [
    row("score", ["100", ...list.map((t) => show(t.score, 0))]), row("profile", ["100", ...list.map((t) => show(t.profile_pct, 0))]),
    row("level, %", ["0", ...list.map((t) => signed(t.level_off_pct))]), row("sweep", ["–", ...list.map((t) => amount(t.sweep, store.base().sweep.unit))]),
    row("seconds", ["–", ...list.map((t) => String(t.seconds))]),
  ];
  const zones = compute.result.zones.map(({ zone }) => row(String(zone), [show(wants[zone - 1].best, 0), ...list.map((t) => cell(t.keys[zone - 1], t.zones[zone - 1]))], { "data-zone": zone }));
  return [el("caption", {}, "Each try: the key, and how far off its zone is with the level taken out, as in the drawing"), head, el("tbody", { class: "sums" }, ...sums), el("tbody", {}, ...zones)];
}

/** @type {(key: string, zone: WeighedZone) => string} */
function cell(key, { says, off_pct: off }) {
  const sign = keyStates[says]?.sign ?? "";
  return `${key} ${off == null ? `${sign} ${keyStates[says]?.word ?? ""}` : `${sign} ${signed(off)} %`}`.trim();
}
