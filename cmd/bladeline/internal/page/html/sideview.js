// The roller train from the end of its rollers, turning; the film on each as a ring, of
// the lit zone or as the mean of those that print.

import { $, el, put, renew, show, svg, write } from "./dom.js";

/** @import { Found } from "./rehearse.js" */
/** @import { Roller, Train } from "./types.js" */

const WIDE = 460, EDGE = 4; // px of the drawing
const RING = 8; // px of the thickest film
const TURN = 6; // s of a turn of the plate
const HIGH = 520; // px that it is shown in, at most
const LETTERS = 12, ROOM = 19; // px, as shown: of figures, and the radius of a roller that holds two lines of them

// letter names the i-th roller: A to Z, then AA, AB and so on.
/** @type {(i: number) => string} */
export const letter = (i) => (i < 26 ? "" : letter(Math.floor(i / 26) - 1)) + String.fromCharCode(65 + (i % 26));

const still = matchMedia("(prefers-reduced-motion: reduce)");
const forced = matchMedia("(forced-colors: active)");
let paused = false;

export function make() {
  $("train-pause").addEventListener("click", () => {
    paused = !paused;
    turnOrStand();
  });
  still.addEventListener("change", turnOrStand);
}

function turnOrStand() {
  $("train").classList.toggle("paused", paused);
  $("train-pause").hidden = still.matches; // it stands still anyhow
  write($("train-pause"), paused ? "Turn the rollers" : "Stop the rollers");
}

let built = null;

/** @type {(found: Found, lit: number | null) => void} */
export function draw({ line, own, settled }, lit) {
  const now = JSON.stringify(line.train);
  if (built?.of !== now) build(now, line.train);
  turnOrStand();
  const films = settled?.rollers_pct.map((zones) => (lit ? zones[lit - 1] : mean(zones, own.preset.pct)) / 100) ?? [];
  const most = Math.max(1e-9, ...films);
  built.rollers.forEach(({ ring, film, r, words }, i) => {
    const wide = films.length ? Math.max(0.5, (films[i] / most) * Math.min(RING, r * 0.5)) : 0;
    put(ring, { r: Math.max(0, r - wide / 2).toFixed(2), "stroke-width": wide.toFixed(2) });
    write(film, films.length && words ? show(films[i]) : "");
  });
  write($("train-says"), `Rings: film ${lit ? `in zone ${lit}` : "on average"}, figures in times the film that is wanted on the sheet. ${forced.matches ? "Underlined" : "Gray"} is hard.`);
  renew($("train-rows"), [now, films], () => line.train.rollers.map((roller, i) => row(roller, i, films[i])));
}

// mean is that of the zones that print.
const mean = (zones, printed) => {
  const of = zones.filter((_, i) => printed[i]);
  return of.reduce((sum, v) => sum + v, 0) / Math.max(of.length, 1);
};

/** @type {(roller: Roller, i: number, film: number | undefined) => any} */
const row = (roller, i, film) => el("tr", {}, el("th", { scope: "row" }, letter(i)), el("td", {}, roller.name), el("td", {}, show(roller.diameter_mm)), el("td", {}, show(roller.circumference_mm)), el("td", {}, show(film, 2)));

/** @type {(now: string, train: Train) => void} */
function build(now, train) {
  const all = [train.plate, ...train.rollers];
  const left = Math.min(...all.map((c) => c.x_mm - c.diameter_mm / 2)), right = Math.max(...all.map((c) => c.x_mm + c.diameter_mm / 2));
  const top = Math.max(...all.map((c) => c.y_mm + c.diameter_mm / 2)), bottom = train.plate.y_mm; // half of it is enough
  const scale = (WIDE - 2 * EDGE) / (right - left), high = (top - bottom) * scale + EDGE, shown = Math.min(1, HIGH / high);
  const place = (/** @type {Roller} */ c) => [EDGE + (c.x_mm - left) * scale, EDGE + (top - c.y_mm) * scale, (c.diameter_mm / 2) * scale];
  const around = train.plate.diameter_mm * Math.PI;
  const rollers = train.rollers.map((c, i) => roller(c, i, place(c), around, shown));
  const drawing = svg("svg", { viewBox: `0 0 ${WIDE} ${high.toFixed(1)}`, role: "img", "aria-label": `The roller train from its end: ${train.rollers.length - 1} rollers and the ductor over the plate` }, cylinder(train.plate, place(train.plate), around), ...rollers.map(({ g }) => g));
  drawing.style.fontSize = `${(LETTERS / shown).toFixed(1)}px`;
  $("train").replaceChildren(drawing);
  built = { of: now, rollers };
}

// turning is what turns of a roller, as fast along its surface as all others.
/** @type {(c: Roller, r: number, around: number) => any} */
function turning(c, r, around) {
  const g = svg("g", { class: "turning" }, svg("path", { d: [0, 120, 240].map((deg) => `M${spoke(deg, r * 0.66)}L${spoke(deg, r)}`).join("") }));
  g.style.animationDuration = `${((TURN * c.diameter_mm * Math.PI) / around).toFixed(3)}s`;
  g.style.animationDirection = c.clockwise ? "normal" : "reverse";
  return g;
}

const spoke = (deg, r) => `${(r * Math.cos((deg * Math.PI) / 180)).toFixed(1)} ${(r * Math.sin((deg * Math.PI) / 180)).toFixed(1)}`;

/** @type {(c: Roller, at: number[], around: number) => any} */
function cylinder(c, [x, y, r], around) {
  const label = svg("text", { dy: "-.6em", "text-anchor": "middle" });
  write(label, c.name);
  return svg("g", { transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` }, svg("circle", { r: r.toFixed(1), class: "roller" }), turning(c, r, around), label);
}

/** @type {(c: Roller, i: number, at: number[], around: number, shown: number) => any} */
function roller(c, i, [x, y, r], around, shown) {
  const words = r * shown >= ROOM, ring = svg("circle", { class: "ring" }), film = svg("text", { dy: "1.05em", "text-anchor": "middle" });
  const name = svg("text", { dy: words ? ".05em" : ".35em", "text-anchor": "middle", class: c.hard ? "figure hard" : "figure" });
  write(name, letter(i));
  const title = svg("title");
  write(title, c.name);
  const turns = c.kind === "ductor" ? [] : [turning(c, r, around)]; // it stands until its stroke
  const g = svg("g", { transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` }, title, svg("circle", { r: r.toFixed(1), class: c.hard ? "roller hard" : "roller" }), ...turns, ring, name, film);
  return { g, ring, film, r, words };
}
