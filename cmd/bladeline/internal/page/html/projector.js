// The projector's view: bench and curve alone, as large as the window, zone by zone
// with the arrow keys.

import { $, $$ } from "./dom.js";
import { step } from "./link.js";

const page = document.documentElement;
const on = () => page.classList.contains("projected");

/** @param {() => void} redraw */
export function make(redraw) {
  const turn = (to) => {
    page.classList.toggle("projected", to);
    scrollTo(0, 0);
    redraw();
  };
  $("projector").addEventListener("click", () => turn(!on()));
  addEventListener("resize", () => on() && redraw());
  const keyed = (/** @type {any} */ event) => {
    if (!on() || event.defaultPrevented || event.target.matches("input, select")) return;
    const by = { ArrowLeft: -1, PageUp: -1, ArrowRight: 1, PageDown: 1 }[event.key]; // a presenter's remote turns pages
    if (by) step(by);
    else if (event.key === "Escape") turn(false);
    else return;
    event.preventDefault();
  };
  document.addEventListener("keydown", keyed);
}

export function draw() {
  for (const button of $$("#projector")) {
    button.setAttribute("aria-pressed", String(on()));
    button.title = on() ? "Esc" : "";
  }
}
