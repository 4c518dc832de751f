// Film against sheets: from washed rollers, and after the lit zone's key is moved. Of
// the zones that print the lit one stands out.

import { $, put, renew, svg, write } from "./dom.js";
import { bandOf, of } from "./filmchart.js";

/** @import { Found } from "./rehearse.js" */
/** @import { Kind } from "./filmchart.js" */
/** @import { FilmRun } from "./types.js" */

const W = 460, H = 200, L = 44, R = 12, T = 10, B = 34;
const SHEETS = [1, 10, 50, 100, 200, 400, 700, 1000];

/** @type {(found: Found, lit: number | null, kind: Kind) => void} */
export function draw({ own, clean, pull }, lit, kind) {
  const moved = pull && pull.zone === lit ? pull : null, band = bandOf(kind, own.band), what = kind === "film" ? "Film" : "Density";
  write($("run-clean-of"), `${what} after a start from washed rollers${lit ? `, zone ${lit} in bold` : ""}`);
  plot($("run-clean"), kind, clean?.run ?? null, lit, band, kind === "film" ? [0, 130] : [0, Math.ceil(band[2] * 6) / 5], clean?.stands ?? 0);
  write($("run-pulled-of"), moved ? `${what} after key ${moved.zone} is moved from ${moved.from_pct.toFixed(1)} to ${moved.to_pct.toFixed(1)} % open` : "After a key is moved");
  plot($("run-pulled"), kind, moved?.run ?? null, lit, band, moved ? around(kind, moved.run, band) : [0, 1], 0);
  write($("run-pulled-none"), moved ? "" : "Point at a zone that prints.");
}

// around is the range that shows a move, and the band at least.
/** @type {(kind: Kind, run: FilmRun, band: number[]) => number[]} */
function around(kind, { films }, [lean, , fat]) {
  const step = kind === "film" ? 5 : 0.05, room = kind === "film" ? 5 : 0.02;
  const all = films.flatMap((f) => of(kind, f).filter((_, i) => f.pct[i]));
  return [Math.min(lean - room, Math.floor(Math.min(...all) / step) * step), Math.max(fat + room, Math.ceil(Math.max(...all) / step) * step)];
}

/** @type {(node: any, kind: Kind, run: FilmRun | null, lit: number | null, band: number[], range: number[], stands: number) => void} */
function plot(node, kind, run, lit, band, range, stands) {
  renew(node, [kind, run, lit, band, range, stands], () => (run ? [drawing(kind, run, lit, band, range, stands)] : []));
}

/** @type {(kind: Kind, run: FilmRun, lit: number | null, band: number[], range: number[], stands: number) => any} */
function drawing(kind, { sheets, films }, lit, [lean, wanted, fat], [low, high], stands) {
  const most = sheets.at(-1), x = (sheet) => L + Math.sqrt((sheet - 1) / Math.max(most - 1, 1)) * (W - L - R); // the beginning lies wide
  const y = (v) => H - B - ((Math.min(Math.max(v, low), high) - low) / (high - low)) * (H - T - B);
  const path = (zone) => sheets.map((sheet, i) => `${i ? "L" : "M"}${x(sheet).toFixed(1)} ${y(of(kind, films[i])[zone]).toFixed(1)}`).join("");
  const printing = films[0].pct.flatMap((_, zone) => (films.at(-1).pct[zone] ? [zone] : []));
  const g = svg("svg", { viewBox: `0 0 ${W} ${H}`, "aria-hidden": "true" }, svg("rect", { class: "films-band", x: L, y: y(fat), width: W - L - R, height: y(lean) - y(fat) }));
  for (const v of [low, lean, wanted, fat, high].filter((v, i, all) => i === 2 || Math.abs(y(v) - y(all[2])) > 11)) g.append(text(L - 5, y(v) + 4, "end", kind === "film" ? `${v}${v === 100 ? " %" : ""}` : v.toFixed(2)));
  for (const v of SHEETS.filter((s) => s <= most)) if (v === 1 || x(v) > L + 24) g.append(text(x(v), H - B + 15, "middle", String(v)), svg("path", { class: "films-axis", d: `M${x(v).toFixed(1)} ${H - B}v4` }));
  g.append(text((L + W - R) / 2, H - 4, "middle", "sheets"), svg("path", { class: "films-axis", d: `M${L} ${y(wanted)}H${W - R}M${L} ${T}V${H - B}H${W - R}` }));
  for (const zone of printing) if (zone !== lit - 1) g.append(svg("path", { class: "run-zone", d: path(zone) }));
  if (printing.includes(lit - 1)) g.append(svg("path", { class: "run-lit", d: path(lit - 1) }));
  if (stands) g.append(svg("path", { class: "run-stands", d: `M${x(stands).toFixed(1)} ${T}V${H - B}` }), settles(x(stands), stands));
  return g;
}

// settles says what the sheet is from which every zone has settled, beside its line, where
// the lines of zones have risen above it.
/** @type {(x: number, sheet: number) => any} */
function settles(x, sheet) {
  const says = ["each within 10 % of where", `it settles, after ${sheet} sheets`], right = x + 170 < W - R;
  return svg("g", { class: "films-words" }, ...says.map((s, i) => text(right ? x + 5 : x - 5, H - B - 20 + 13 * i, right ? "start" : "end", s)));
}

/** @type {(x: number, y: number, anchor: string, string: string) => any} */
function text(x, y, anchor, string) {
  const t = put(svg("text", {}), { x, y, "text-anchor": anchor });
  write(t, string);
  return t;
}
