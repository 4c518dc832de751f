// The bench: form, ink, blade line and keys in one drawing with one scale across.
// A transparent column over each zone takes the pointer and the focus.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as film from "./film.js";
import { hangs, trialHangs } from "./supply.js";
import * as blade from "./blade.js";
import * as keys from "./keys.js";
import * as form from "./form.js";
import * as grip from "./grip.js";
import * as along from "./along.js";
import { inkColour } from "./inks.js";
import * as opened from "./opened.js";
import { plan, edges, byPlace, extent, keyStates, UNDER_FORM } from "./plan.js";
import { $, $$, svg, put, write, same, show, amount, plural } from "./dom.js";
import { rove, mark } from "./link.js";
import * as quiz from "./quiz.js";
import * as tries from "./tries.js";
import { keyText } from "./scale.js";

/** @import { Plan } from "./plan.js" */
/** @import { LearnersTrial } from "./state.js" */
/** @import { Computed, PresetPress, PresetUnit, Relation } from "./types.js" */

const AROUND = 12; // px above and below the drawing
const PROJECTED = 900; // px that a projected drawing is planned in, and then blown up

export let layout = null; // of what is drawn now: plan, and where form and gaps stand
export let wide = 0; // px across of what was drawn last
let built = null;
let width = 0;
let high = 0; // px of the window that the drawing may take
const stacked = matchMedia("(max-width: 56rem)"); // as in style.css: all stands in one column
let before = null; // one ink's openings from before an edit, drawn as a dashed line

// remember keeps the blade line of now, to be seen beside what becomes of it:
// through edits of the same word, as steps of one arrow key, the first.
let since = null;
export function remember(word = null) {
  if (word !== null && word === since) return;
  since = word;
  const unit = compute.unit();
  const { view, all } = store.state;
  before = unit && !all ? { view, ink: unit.ink, openings: unit.keys.map((k) => k.opening_pct) } : null;
}
export const forget = () => { before = since = null; };

export function watch() {
  const heads = $$(".top, .head"), [told] = $$(".tell");
  const fit = () => {
    const beside = stacked.matches ? [told] : heads; // which scroll away, then
    const now = [$("room").clientWidth, innerHeight - AROUND - beside.reduce((sum, part) => sum + part.offsetHeight, 0)];
    if (same(now, [width, high])) return;
    [width, high] = now;
    draw();
  };
  const seen = new ResizeObserver(fit);
  for (const part of [$("room"), ...heads, told]) seen.observe(part);
  addEventListener("resize", fit);
  rove($("bench"), "ArrowLeft", "ArrowRight");
  $("bench").addEventListener("click", (event) => choose(unitAt(spot(event))));
  $("bench").addEventListener("keydown", walkInks);
}

// unitAt is the ink, by number, whose blade line or keys stand at a place; -1
// where there are none, or one ink is seen alone.
function unitAt({ y }) {
  if (!layout || !allSeen()) return -1;
  return seen(layout.result)[built.units.findIndex((u) => y >= u.from && y < u.end)] ?? -1;
}

function choose(i) {
  if (i >= 0 && i !== store.state.unit) store.look((state) => { state.unit = i; });
}

// walkInks goes from ink to ink where all are seen.
function walkInks(event) {
  const by = { ArrowUp: -1, ArrowDown: 1 }[event.key];
  if (!by || !layout || !allSeen() || !event.target.closest("[data-rove]")) return;
  event.preventDefault();
  const list = seen(layout.result), at = list.indexOf(store.state.unit) + by;
  choose(list[Math.min(Math.max(at, 0), list.length - 1)]);
}

const projected = () => document.documentElement.classList.contains("projected");

// planned is the plan of what is to be drawn, and how many times it is blown up.
/** @type {(result: Computed, all: boolean) => { p: Plan, scale: number }} */
function planned(result, all) {
  const how = { all, hidden: !!store.state.trial };
  const under = (/** @type {any} */ p) => along.height(p) + film.height(p) + blade.height(p) + keys.height(p);
  if (!projected()) return { p: plan(width, result, how, high, under), scale: 1 };
  const tall = innerHeight - $("bench").getBoundingClientRect().top - 12, scale = Math.max(1, width / PROJECTED);
  return { p: plan(width / scale, result, how, tall / scale, under), scale };
}

const allSeen = () => store.state.all && !store.state.trial;

// seen is which of the answer's inks are on the bench, by number.
/** @type {(result: Computed) => number[]} */
const seen = ({ preset }) => (allSeen() ? preset.units.flatMap((u, i) => (u ? [i] : [])) : [Math.min(store.state.unit, preset.units.length - 1)]);

// fetchPictures brings the pictures of what is seen and draws it again with them.
export function fetchPictures() {
  const { result } = compute;
  if (result && store.state.view !== "drawn") form.fetchPictures(seen(result).map((i) => store.view().units[i]).filter(Boolean), draw);
}

// draw shows the newest answer; where nothing changed in kind the parts stay
// and only move, so that focus and drags live on.
export function draw() {
  const result = compute.result;
  const bench = $("bench");
  bench.hidden = !result || !width || seen(result).some((i) => !result.preset.units[i]);
  if (bench.hidden) return void (layout = null);
  const list = seen(result), all = allSeen();
  const { p, scale } = planned(result, all);
  $("bench-wide").hidden = p.width * scale <= width + 1;
  const kind = [result.zones.map((z) => z.left_mm).join(), all, list.length].join("|");
  if (!built || built.kind !== kind) build(kind, result, list, all);
  lay(p, scale, result, list);
  bench.dispatchEvent(new Event("laid"));
  mark();
}

/** @type {(kind: string, result: Computed, list: number[], all: boolean) => void} */
function build(kind, result, list, all) {
  const formParts = form.make(result.zones);
  const flag = svg("text", { class: "flag", "text-anchor": "middle" });
  const units = list.map(() => ({
    swatch: svg("rect", { class: "swatch" }), title: svg("text", { class: "unit-title" }), film: film.make(), blade: blade.make(), keys: keys.make(result.zones, all),
    gaps: svg("g", {}, ...byPlace(result.zones).map((zone) => svg("rect", { class: "gap", "data-zone": zone }))),
  }));
  const columns = svg("g", { role: "listbox", "aria-label": "Zones, from left to right", "aria-orientation": "horizontal" },
    ...byPlace(result.zones).map((zone, i) => svg("rect", {
      class: "column", "data-zone": zone, "data-rove": true, role: "option", "aria-selected": "false", "aria-describedby": "why", tabindex: i ? -1 : 0,
    })));
  const shown = svg("g", { "aria-hidden": "true" }, formParts.g); // the columns say it all
  for (const u of units) shown.append(u.swatch, u.title, u.film.g, u.blade.g, u.gaps, u.keys.g);
  const beside = along.make(), handle = grip.make();
  shown.append(beside.g);
  const drawing = svg("svg", { id: "drawing", role: "group", "aria-label": "The form, the ink and the blade line under it, and the keys" }, shown, columns, handle.g, flag);
  const focused = $("bench").contains(document.activeElement) && /** @type {HTMLElement} */ (document.activeElement).dataset.zone;
  $("bench").replaceChildren(drawing);
  if (focused) (columns.querySelector(`[data-zone="${focused}"]`) || columns.firstChild).focus();
  built = { kind, drawing, form: formParts, flag, units, columns, along: beside, grip: handle };
}

/** @type {(p: Plan, scale: number, result: Computed, list: number[]) => void} */
function lay(p, scale, result, list) {
  const { trial } = store.state;
  let y = p.flag;
  const plates = list.map((i) => ({ separation: store.view().units[i]?.separation, ink: result.preset.units[i].ink, outline: result.units[i].outline }));
  const at = form.draw(built.form, p, y, result, plates, store.state.view === "drawn" ? store.state.shapes : null);
  wide = p.width * scale;
  layout = { plan: p, scale, result, form: at, top: y, gaps: [] };
  along.draw(built.along, layout);
  grip.draw(built.grip, layout);
  y += p.form + UNDER_FORM + along.height(p);
  list.forEach((i, n) => { y = drawInk(built.units[n], p, y, result, i, trial); });
  put(built.drawing, { viewBox: `0 0 ${p.width} ${y}`, width: p.width * scale, height: y * scale });
  columns(p, y, result, list, trial);
  flag(p, result);
}

// drawInk draws the blade line and keys of one ink and answers where they end.
/** @type {(parts: any, p: Plan, y: number, result: Computed, i: number, trial: LearnersTrial | null) => number} */
function drawInk(parts, p, y, result, i, trial) {
  const unit = compute.unit(i);
  const set = trial ? trialKeys(trial, unit) : unit.keys, hung = trial ? trialHangs(trial, unit) : hangs(unit);
  parts.from = y;
  y = title(parts, p, y, unit, i, result.preset.press);
  const onePiece = result.preset.press.blade === "one-piece";
  const { ghost, ghostIs } = trial ? beside(trial) : besideKeys(i, unit);
  const now = JSON.stringify([p, y, set, hung, onePiece, ghost, result.preset.press.key_unit, trial !== null, unit.reference_sweep]);
  if (parts.drawn === now) { // seven of eight inks, while one ink's curve is dragged
    layout.gaps.push(parts.gap);
    return parts.end;
  }
  parts.drawn = now;
  const colour = p.all ? inkColour(unit.ink) : null;
  const outline = !trial ? "its image takes" : store.weighed() ? "the best keys feed, at your level" : "";
  film.draw(parts.film, p, y, result.zones, hung, film.unitOf(unit.reference_sweep, result.preset.press.sweep_unit), outline, colour);
  y += film.height(p);
  const edge = blade.draw(parts.blade, p, y, result.zones, set.map((k) => k.opening_pct), { onePiece, ghost, ghostIs, colour });
  parts.gap = { edge, height: p.gap };
  layout.gaps.push(parts.gap);
  for (const gap of parts.gaps.children) {
    const [from, to] = edges(p, result.zones[gap.dataset.zone - 1]);
    const open = set[gap.dataset.zone - 1].opening_pct;
    put(gap, { x: from, y: edge, width: to - from, height: Math.max(2, (p.gap * Math.min(open, 100)) / 100) });
  }
  y += blade.height(p);
  keys.draw(parts.keys, p, y, result.zones, set, { keyUnit: result.preset.press.key_unit, hidden: !!trial });
  parts.end = y + keys.height(p) + (p.all ? 8 : 2);
  return parts.end;
}

// title names an ink where all are seen, with its colour beside the name and, where there
// is no room beside them, what its keys are in; it answers where what is its own begins.
/** @type {(parts: any, p: Plan, y: number, unit: PresetUnit, i: number, press: PresetPress) => number} */
function title(parts, p, y, unit, i, { sweep_unit: sweepUnit, key_unit: keyUnit }) {
  const chosen = p.all && i === store.state.unit;
  write(parts.title, p.all ? `${chosen ? "▸ " : ""}${unit.ink}   sweep ${amount(unit.sweep, sweepUnit)}${p.roomy ? "" : `   keys in ${plural(keyUnit, 2)}`}` : "");
  put(parts.title, { x: p.left + 18, y: y + 14, class: chosen ? "unit-title chosen" : "unit-title" });
  put(parts.swatch, { x: p.left, y: y + 4, width: p.all ? 12 : 0, height: p.all ? 12 : 0, fill: inkColour(unit.ink) });
  return p.all ? y + 20 : y;
}

// besideKeys is the line that is dashed over the keys: as a file says that they stood,
// else where they stood before an edit.
/** @type {(i: number, unit: PresetUnit) => { ghost: number[] | null, ghostIs: string }} */
function besideKeys(i, unit) {
  const stood = opened.dashed(unit.ink, unit.keys.map((k) => k.opening_pct));
  return stood ? { ghost: stood, ghostIs: opened.is() } : { ghost: beforeOf(i), ghostIs: "before" };
}

// beforeOf is what is remembered of an ink, where it differs from what is now.
function beforeOf(i) {
  if (!before || before.view !== store.state.view || before.ink !== compute.unit(i).ink) return null;
  const now = compute.unit(i).keys.map((k) => k.opening_pct);
  return before.openings.length === now.length && now.some((o, k) => Math.abs(o - before.openings[k]) > 0.05) ? before.openings : null;
}

/** @type {(trial: LearnersTrial, unit: PresetUnit) => import("./keys.js").ShownKey[]} */
function trialKeys(trial, unit) {
  const stands = quiz.stands();
  return unit.keys.map((k, i) => ({
    zone: k.zone, opening_pct: stands[i]?.opening ?? 0, key_text: keyText(trial.keys[i] ?? 0), coverage_pct: null,
    state: store.weighed() ? trial.answer.zones[i]?.says || "no print" : stands[i]?.state ?? "set",
  }));
}

// beside is what a trial is held against: once it is weighed the best keys, at the
// trial's own level, and until then the try before.
/** @type {(trial: LearnersTrial) => { ghost: number[] | null, ghostIs: string }} */
function beside(trial) {
  const answer = store.weighed();
  if (answer) {
    const level = 1 + answer.level_off_pct / 100 || 1;
    return { ghost: answer.zones.map((z) => (level * z.best) / trial.sweep), ghostIs: "the best keys, at your level" };
  }
  const last = tries.ofThis().at(-1);
  return { ghost: last?.openings ?? null, ghostIs: last ? `try ${last.try}` : "" };
}

/** @type {(p: Plan, height: number, result: Computed, list: number[], trial: LearnersTrial | null) => void} */
function columns(p, height, result, list, trial) {
  for (const column of built.columns.children) {
    const zone = Number(column.dataset.zone);
    const [from, to] = edges(p, result.zones[zone - 1]);
    put(column, { x: from, y: p.flag, width: to - from, height: height - p.flag - keys.foot(p) - 1, "aria-label": spoken(zone, list, trial) });
  }
}

/** @type {(zone: number, list: number[], trial: LearnersTrial | null) => string} */
function spoken(zone, list, trial) {
  if (trial) {
    const answer = store.weighed(), says = answer?.zones[zone - 1]?.says; // fewer, before keys are drawn anew
    return `Zone ${zone}, your key ${keyText(trial.keys[zone - 1] ?? 0)} ${plural(compute.result.preset.press.key_unit, trial.keys[zone - 1])}${answer ? `: ${keyStates[says]?.word ?? "prints nothing"}` : ""}. Arrow up and down set it.`;
  }
  return `Zone ${zone}: ${list.map((i) => spokenKey(compute.unit(i), zone)).join("; ")}`;
}

/** @type {(unit: Relation & PresetUnit, zone: number) => string} */
function spokenKey(unit, zone) {
  const k = unit.keys[zone - 1], says = keyStates[k.state]?.says, stray = film.said(hangs(unit)[zone - 1]);
  return `${unit.ink} covered ${show(k.coverage_pct)} %, key ${k.key_text}${says ? `, ${says}` : ""}${stray ? `, ${stray.by} ${stray.word}` : ""}`;
}

/** @type {(p: Plan, result: Computed) => void} */
function flag(p, result) {
  const zone = store.state.lit;
  const known = zone !== null && result.zones[zone - 1];
  write(built.flag, known ? `zone ${zone}` : "");
  if (!known) return;
  const [from, to] = edges(p, known);
  const half = (13 * extent(`zone ${zone}`, true).width) / 2 + 3;
  put(built.flag, { x: Math.min(Math.max((from + to) / 2, half), p.width - half), y: 13 });
}

// spot answers where on the drawing a pointer is.
export function spot(event) {
  const box = built.drawing.getBoundingClientRect();
  const scale = layout?.scale ?? 1;
  return { x: (event.clientX - box.left) / scale, y: (event.clientY - box.top) / scale };
}

// zoneAt is the zone under a place across, null beside the fountain.
export function zoneAt(x) {
  const { plan: p, result } = layout;
  const zone = result.zones.find((z) => x >= p.x(z.left_mm) && x < p.x(z.right_mm));
  return zone ? zone.zone : null;
}
