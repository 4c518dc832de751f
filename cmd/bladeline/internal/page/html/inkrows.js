// All inks in small, a row each: what their zones print against the band of 10 %. A row
// that is pressed is the ink that is rehearsed.

import * as store from "./state.js";
import { $, clamp, el, renew, show, svg, write } from "./dom.js";
import { steps } from "./filmchart.js";
import { inkColour } from "./inks.js";

/** @import { Found } from "./rehearse.js" */
/** @import { Computed, Films, InkLine } from "./types.js" */

const WIDE = 420, HIGH = 30; // px of a row's drawing
const BAND = 10, SEEN = 25; // % of film: the band, and what is drawn to either side

// filmsOf are an ink's films, and whether they are by the line alone.
/** @type {(found: Found, ink: InkLine) => { films: Films, quick: boolean }} */
function filmsOf(found, ink) {
  const films = ink.unit === store.state.unit ? found.settled?.preset : found.others[ink.unit];
  return { films: films ?? ink.preset, quick: !films };
}

/** @type {(found: Found, result: Computed, failed: boolean) => void} */
export function draw(found, result, failed) {
  const { inks } = found.line;
  $("rehearse-inks").hidden = inks.length < 2;
  renew($("rehearse-inks-rows"), [inks.map((ink) => filmsOf(found, ink)), store.state.unit, result.fountain_mm, failed], () => inks.map((ink) => row(found, result, ink, failed)));
}

/** @type {(found: Found, result: Computed, ink: InkLine, failed: boolean) => any} */
function row(found, result, ink, failed) {
  const { films, quick } = filmsOf(found, ink), y = (pct) => HIGH / 2 - (clamp(pct - 100, -SEEN, SEEN) * HIGH) / 2 / SEEN;
  const p = { x: (mm) => (mm / result.fountain_mm) * WIDE };
  const swatch = el("span", { class: "ink-swatch", "aria-hidden": "true" });
  swatch.style.background = inkColour(ink.ink);
  const drawing = svg("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, preserveAspectRatio: "none", "aria-hidden": "true" },
    svg("rect", { class: "films-band", x: 0, y: y(100 + BAND), width: WIDE, height: y(100 - BAND) - y(100 + BAND) }),
    svg("path", { class: "films-axis", d: `M0 ${y(100)}H${WIDE}` }),
    svg("path", { class: quick ? "films-preset quick" : "films-preset", d: steps(p, y, result.zones, films, "film") }));
  const says = el("span", { class: "ink-says" });
  write(says, !quick ? worst(films) : failed ? "not worked out" : "being worked out"); // neighbours may yet move the line's figures by half
  const name = el("span", { class: "ink-name" }, swatch, ink.ink);
  const button = el("button", { type: "button", "aria-pressed": String(ink.unit === store.state.unit) }, name, drawing, says);
  button.addEventListener("click", () => store.look((state) => { state.unit = ink.unit; }));
  return el("li", {}, button);
}

// worst says which zone lies farthest off.
/** @type {(films: Films) => string} */
function worst({ pct }) {
  const off = pct.map((film) => (film ? film - 100 : 0)), at = off.reduce((best, by, i) => (Math.abs(by) > Math.abs(off[best]) ? i : best), 0);
  if (!pct.some(Boolean)) return "nothing prints";
  return `zone ${at + 1} ${off[at] < 0 ? "−" : "+"}${show(Math.abs(off[at]), 0)} %`;
}
