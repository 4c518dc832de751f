// What is written and led on the plot of the curve: the lines' names, and the way of
// the lit zone from its coverage to its opening.

import * as store from "./state.js";
import * as lesson from "./lesson.js";
import { svg, put, write, show, amount, clamp, round } from "./dom.js";
import { extent } from "./plan.js";
import { W, T, X, Y, label, on, valuesAt } from "./plot.js";

/** @import { PresetUnit, Relation } from "./types.js" */

export function make() {
  return {
    path: svg("path", { class: "curve-guide" }), names: svg("g", { class: "curve-names", "aria-hidden": "true" }),
    tag: svg("text", { class: "flag", "aria-hidden": "true" }), times: svg("text", { class: "flag", "aria-hidden": "true" }),
  };
}

// names writes each line's name on it: of two, the upper's above and the lower's below.
/** @type {(parts: any, found: { curve_pct: number[], reference_sweep: number, sweep?: number }, times: number, one: boolean) => void} */
export function names(parts, found, times, one) {
  const { unit } = store.base().sweep, at = (v) => Y(Math.min(found.curve_pct[100] * v, 100));
  const line = (v, name, above) => {
    const from = clamp(valuesAt([X(100) - 2 - 12 * extent(name).width, 0])[0], 0, 100); // the line is lowest where the name begins
    const over = at(v) - 8 < T + 12 ? T - 6 : at(v) - 8; // not across the topmost line of the grid
    return label(X(100) - 2, above ? over : Y(Math.min(on(found.curve_pct, from) * v, 100)) + 18, "end", name);
  };
  const list = [line(1, `the curve, at sweep ${amount(found.reference_sweep, unit)}`, one || times < 1)];
  if (!one) list.push(line(times, `at sweep ${amount(found.sweep, unit)}`, times > 1));
  parts.names.replaceChildren(...list);
}

// draw leads the lit zone up to the curve at the curve's own sweep, from there by
// the sweeps' ratio, and on to where a limit holds the key; then across to its scale.
/** @type {(parts: any, found: (Relation & PresetUnit) | null, times: number) => void} */
export function draw(parts, found, times) {
  put(parts.path, { d: "" });
  for (const name of ["tag", "times"]) write(parts[name], "");
  const key = found?.keys[store.state.lit - 1];
  if (!key) return;
  const up = lesson.phase(0.5, 0.75), turned = lesson.phase(0.75, 0.95), across = lesson.phase(0.9, 1);
  const x = X(clamp(key.coverage_pct ?? 0, 0, 100)), off = key.state === "off-sheet", wanted = found.wanted_pct[key.zone - 1];
  const curve = off ? 0 : Y(clamp(wanted / times, 0, 100)), y = Y(clamp(key.opening_pct, 0, 100));
  const from = off ? Y(0) : Y(0) + (curve - Y(0)) * up, to = off ? y : from + (y - curve) * turned;
  const tick = off ? "" : `M${x - 5} ${from}h10`;
  put(parts.path, { d: `M${x} ${Y(0)}V${from}V${to}H${x + (X(0) - x) * across}${tick}` });
  const right = x > W - 190;
  const beside = (node, ny, text) => {
    put(node, { x: right ? x - 10 : x + 10, y: ny, "text-anchor": right ? "end" : "start" });
    write(node, text);
  };
  const stepped = !off && Math.abs(times - 1) >= 1e-9 && turned > 0;
  if (stepped) beside(parts.times, clamp((from + to) / 2 + 5, T + 12, Y(0) - 4), `× ${round(found.reference_sweep, 2)} ÷ ${round(found.sweep, 2)}`);
  const above = to > T + 26 && (!stepped || to <= from);
  beside(parts.tag, clamp(above ? to - 10 : to + 20, T - 6, Y(0) - 4), `zone ${key.zone}${across === 1 ? `: ${show(key.coverage_pct)} → ${show(key.opening_pct)} %` : ""}`);
}
