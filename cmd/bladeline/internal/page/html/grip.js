// The grip under the form's lead edge: the form is moved along the fountain by it,
// with the pointer, a finger or the arrow keys.

import * as store from "./state.js";
import * as bench from "./bench.js";
import { svg, put, write, round, eachFrame, stroke, inStroke } from "./dom.js";

const WIDE = 46, HIGH = 15;

export function make() {
  const g = svg("g", { class: "grip", role: "slider", tabindex: 0, "aria-label": "The form along the fountain, mm to the right of its middle", "aria-orientation": "horizontal" });
  const box = svg("rect", { class: "grip-box", width: WIDE, height: HIGH }), sign = svg("text", { "text-anchor": "middle" });
  write(sign, "◄ form ►");
  g.append(box, sign);
  g.addEventListener("pointerdown", pull);
  g.addEventListener("keydown", keyed);
  g.addEventListener("click", (e) => e.stopPropagation());
  return { g, box, sign };
}

const shift = () => store.view().placement.shift_mm;

/** @type {(mm: number, merge: string) => void} */
function move(mm, merge) {
  store.change((state) => { state.views[state.view].placement.shift_mm = round(mm); }, merge);
}

function pull(event) {
  if (event.button || !bench.layout || store.state.trial) return;
  event.stopPropagation();
  const from = bench.spot(event).x, mm = shift(), { scale } = bench.layout.plan, word = `grip ${performance.now()}`;
  const follow = eachFrame((e) => move(Math.round(mm + (bench.spot(e).x - from) / scale), word));
  const begun = stroke(event.currentTarget, event, follow.call, () => {
    follow.end();
    store.closeEdit();
  });
  if (begun) event.currentTarget.focus({ preventScroll: true });
}

function keyed(event) {
  const step = event.shiftKey ? 0.1 : 1;
  const by = { ArrowLeft: -step, ArrowDown: -step, ArrowRight: step, ArrowUp: step, PageDown: -10, PageUp: 10 }[event.key];
  const to = event.key === "Home" ? 0 : by ? shift() + by : null;
  if (to === null || inStroke()) return;
  event.preventDefault();
  event.stopPropagation();
  bench.remember("grip");
  move(to, "grip");
}

// draw puts the grip where the middle of the form is.
export function draw({ g, box, sign }, { plan: p, form, top }) {
  g.classList.toggle("none", store.state.trial !== null);
  put(g, { tabindex: store.state.trial ? -1 : 0 });
  const x = Math.min(Math.max(form.left + form.width / 2, p.left + WIDE), p.right - WIDE), y = top + p.form + 3;
  put(box, { x: x - WIDE / 2, y });
  put(sign, { x, y: y + 11 });
  const mm = shift();
  put(g, { "aria-valuenow": mm, "aria-valuemin": -1000, "aria-valuemax": 1000, "aria-valuetext": mm ? `${Math.abs(mm)} mm to the ${mm > 0 ? "right" : "left"}` : "in the middle" });
}
