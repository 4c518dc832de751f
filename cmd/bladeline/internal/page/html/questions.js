// Asks what becomes of what was brought, one question after the other: nothing that is
// worked on changes before its question is answered.

import * as store from "./state.js";
import { $, $$, write } from "./dom.js";

/** @import { Separation } from "./types.js" */

/**
 * @typedef {object} Question
 * @property {() => Words | null | false} words nothing where there is nothing to ask any more
 * @property {() => void | Promise<void>} take
 * @property {() => void | Promise<void>} [add]
 * @property {boolean} [locked] while keys are set by eye
 * @property {Separation[]} [separations] of the job that it is about
 */

/**
 * @typedef {object} Words
 * @property {string} says
 * @property {string} take
 * @property {string} [add]
 * @property {string} leave
 */

/** @type {Question[]} */
let waiting = [];

export function make() {
  $("ask-new").addEventListener("click", () => answer((q) => q.take()));
  $("ask-add").addEventListener("click", () => answer((q) => q.add()));
  $("ask-leave").addEventListener("click", () => answer(() => {}));
}

/** @param {Question} question */
export function put(question) {
  waiting.push(question);
  draw();
}

// of is the question about a job that some of these separations are of.
/** @type {(list: Separation[]) => Question | undefined} */
export const of = (list) => waiting.find((q) => q.separations?.some((s) => list.some((t) => t.job === s.job)));

export function forget() {
  waiting = [];
  draw();
}

/** @param {(question: Question) => void | Promise<void>} act */
async function answer(act) {
  const [first, ...rest] = waiting;
  $("ask").hidden = true; // it is answered once
  await act(first);
  waiting = rest;
  draw();
  const next = $("ask").hidden ? $$("#inks [aria-pressed=true]")[0] || $("files") : $("ask-new");
  next.focus();
}

export function draw() {
  while (waiting.length && !waiting[0].words()) waiting.shift();
  const [first] = waiting, words = first?.words();
  $("ask").hidden = !words;
  if (!words) return;
  const locked = !!first.locked && store.state.trial !== null;
  write($("ask-says"), locked ? `${words.says} The exercise keeps its own until it ends.` : words.says);
  write($("ask-new"), words.take);
  $("ask-new").disabled = locked;
  write($("ask-add"), words.add ?? "");
  $("ask-add").hidden = !words.add;
  write($("ask-leave"), words.leave);
}
