// From image to key, as a short motion that can be paused: the lit zone's image
// gathers to the block that is its coverage (along.js), the guide climbs the curve
// and steps by the sweep (curve.js). Where motion is not wanted it is there at once.

import * as store from "./state.js";
import * as along from "./along.js";
import { $, write, clamp } from "./dom.js";

const LASTS = 5000; // ms

export let on = false; // whether the image is gathered, or on its way
let at = 1; // how far it is, from 0 to 1
let moving = false;
let of = ""; // the zone that it is about
let redraw = () => {};

const still = matchMedia("(prefers-reduced-motion: reduce)");
const about = () => [store.state.view, store.state.unit, store.state.lit, !!store.state.trial].join();

// phase is how far a part of the way is, from 0 to 1, slow at its ends.
export function phase(from, to) {
  const t = clamp((at - from) / (to - from), 0, 1);
  return t * t * (3 - 2 * t);
}

/** @param {() => void} then draws what moves */
export function make(then) {
  redraw = then;
  $("lesson-play").addEventListener("click", play);
  $("lesson-end").addEventListener("click", () => {
    end();
    redraw();
    $("lesson-play").focus();
  });
}

function end() {
  on = moving = false;
  at = 1;
}

// follow ends what is of another zone than the one that is lit now.
export function follow() {
  if (on && of !== about()) end();
}

function play() {
  if (moving) moving = false;
  else {
    if (!on || at === 1) [on, at, of] = [true, still.matches ? 1 : 0, about()];
    moving = at < 1;
    if (moving) requestAnimationFrame(run);
  }
  redraw();
}

let last = 0;
function run(now) {
  last = now;
  requestAnimationFrame(step);
}

function step(now) {
  if (!moving) return;
  at = Math.min(1, at + (now - last) / LASTS);
  last = now;
  moving = at < 1;
  redraw();
  if (moving) requestAnimationFrame(step);
}

export function draw() {
  const ready = along.known() !== null;
  $("lesson-play").disabled = !ready && !on;
  $("lesson-play").title = ready || on ? "" : "Point at a zone that prints first";
  write($("lesson-play"), moving ? "Pause" : on && at < 1 ? "Go on" : on ? "Once more" : "From image to key");
  $("lesson-end").hidden = !on;
}
