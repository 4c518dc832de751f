// Why the lit zone's key wants what it wants, as one sentence of arithmetic,
// and what the program warns of.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as quiz from "./quiz.js";
import { $, el, write, show, amount, plural, round } from "./dom.js";

/** @import { Warning } from "./types.js" */

export function draw() {
  write($("why"), sentence());
  $("why").classList.toggle("hint", store.state.lit === null); // which is not printed
  const list = compute.result && !store.state.trial ? compute.result.preset.warnings || [] : [];
  const { all } = store.state;
  const mine = list.filter((w) => all || !w.ink || w.ink === store.unit()?.ink);
  $("warnings-part").hidden = $("warned").hidden = !mine.length;
  write($("warned"), `${mine.length} warning${mine.length === 1 ? "" : "s"}`); // which may lie far below
  $("warnings").replaceChildren(...mine.map((w) => el("li", w.zone ? { "data-zone": w.zone } : {},
    el("strong", {}, about(w, all)), w.text)));
}

// about is what a warning tells of: among those of all inks, of which.
/** @param {Warning} w @param {boolean} all */
function about(w, all) {
  const of = [...(all && w.ink ? [w.ink] : []), ...(w.zone ? [`zone ${w.zone}`] : [])].join(", ");
  return of && `${of[0].toUpperCase()}${of.slice(1)}: `;
}

function sentence() {
  const found = compute.unit(), zone = store.state.lit;
  if (store.state.trial) return quiz.says();
  if (!found) return "";
  const key = zone && found.keys[zone - 1];
  if (!key) return "Point at a zone, or move to it with the arrow keys, to see why its key wants what it wants.";
  const { key_unit: keyUnit, sweep_unit: sweepUnit } = compute.result.preset.press;
  const scale = `${key.key_text} ${plural(keyUnit, key.key)}`;
  if (key.state === "off-sheet") return `Zone ${zone} has no sheet over it: its key stands at ${scale}.`;
  const times = found.reference_sweep / found.sweep;
  const wanted = found.wanted_pct[zone - 1];
  const asked = show(wanted / times, digits(wanted / times, times));
  const start = `Zone ${zone} is covered ${show(key.coverage_pct)} %${store.state.all ? ` in ${found.ink}` : ""}. The curve asks an opening of ${asked} % at sweep ${amount(found.reference_sweep, sweepUnit)}`;
  const turn = Math.abs(times - 1) < 1e-9 ? "" : `; at sweep ${amount(found.sweep, sweepUnit)} that is ${asked} × ${found.reference_sweep} ÷ ${found.sweep} = ${show(wanted)} %`;
  const why = { floor: ", raised to the floor of", ceiling: ", held at the ceiling of", neighbour: ", raised by a neighbour on the same blade to" }[key.state];
  const moved = why && show(key.opening_pct) !== show(wanted); // else it would be held at its own figure
  return `${start}${turn}${moved ? `${why} ${show(key.opening_pct)} %` : ""}. Key: ${scale}.`;
}

// digits are as many as it takes for the sum to come out as it is written.
function digits(value, times) {
  const right = (n) => round(round(value, n) * times) === round(value * times);
  return [1, 2, 3].find(right) ?? 4;
}
