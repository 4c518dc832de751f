// Film against sheets: from washed rollers, and after the lit zone's key is moved. Of
// the zones that print the lit one stands out.

import { $, put, renew, svg, write } from "./dom.js";

/** @import { Found } from "./rehearse.js" */
/** @import { FilmRun } from "./types.js" */

const W = 460, H = 200, L = 44, R = 12, T = 10, B = 34;
const SHEETS = [1, 10, 50, 100, 200, 400, 700, 1000];

/** @type {(found: Found, lit: number | null) => void} */
export function draw({ clean, pull }, lit) {
  const of = pull && pull.zone === lit ? pull : null;
  write($("run-clean-of"), `A start from washed rollers${lit ? `, zone ${lit} in bold` : ""}`);
  plot($("run-clean"), clean, lit, [0, 130], clean?.stands || 0);
  write($("run-pulled-of"), of ? `Key ${of.zone} moved from ${of.from_pct.toFixed(1)} to ${of.to_pct.toFixed(1)} % open` : "After a key is moved");
  plot($("run-pulled"), of?.run ?? null, lit, of ? around(of.run) : [80, 120], 0);
  write($("run-pulled-none"), of ? "" : "Point at a zone that prints.");
}

// around is the range of films that shows a move, and the band at least.
/** @type {(run: FilmRun) => number[]} */
function around({ films_pct }) {
  const all = films_pct.flat().filter(Boolean);
  return [Math.min(85, Math.floor(Math.min(...all) / 5) * 5), Math.max(115, Math.ceil(Math.max(...all) / 5) * 5)];
}

/** @type {(node: any, run: FilmRun | null, lit: number | null, range: number[], stands: number) => void} */
function plot(node, run, lit, range, stands) {
  renew(node, [run, lit, range, stands], () => (run ? [drawing(run, lit, range, stands)] : []));
}

/** @type {(run: FilmRun, lit: number | null, range: number[], stands: number) => any} */
function drawing({ sheets, films_pct }, lit, [low, high], stands) {
  const most = sheets.at(-1), x = (sheet) => L + Math.sqrt((sheet - 1) / Math.max(most - 1, 1)) * (W - L - R); // the beginning lies wide
  const y = (pct) => H - B - ((Math.min(Math.max(pct, low), high) - low) / (high - low)) * (H - T - B);
  const path = (zone) => sheets.map((sheet, i) => `${i ? "L" : "M"}${x(sheet).toFixed(1)} ${y(films_pct[i][zone]).toFixed(1)}`).join("");
  const printing = films_pct[0].flatMap((_, zone) => (films_pct.at(-1)[zone] ? [zone] : []));
  const g = svg("svg", { viewBox: `0 0 ${W} ${H}`, "aria-hidden": "true" }, svg("rect", { class: "films-band", x: L, y: y(110), width: W - L - R, height: y(90) - y(110) }));
  for (const v of [low, 90, 100, 110, high]) g.append(text(L - 5, y(v) + 4, "end", `${v}${v === 100 ? " %" : ""}`));
  for (const v of SHEETS.filter((s) => s <= most)) if (v === 1 || x(v) > L + 24) g.append(text(x(v), H - B + 15, "middle", String(v)), svg("path", { class: "films-axis", d: `M${x(v).toFixed(1)} ${H - B}v4` }));
  g.append(text((L + W - R) / 2, H - 4, "middle", "sheets"), svg("path", { class: "films-axis", d: `M${L} ${y(100)}H${W - R}M${L} ${T}V${H - B}H${W - R}` }));
  for (const zone of printing) if (zone !== lit - 1) g.append(svg("path", { class: "run-zone", d: path(zone) }));
  if (printing.includes(lit - 1)) g.append(svg("path", { class: "run-lit", d: path(lit - 1) }));
  if (stands) g.append(svg("path", { class: "run-stands", d: `M${x(stands).toFixed(1)} ${T}V${H - B}` }), text(x(stands) - 5, H - B - 8, "end", `each within 10 % of where it settles after ${stands}`));
  return g;
}

/** @type {(x: number, y: number, anchor: string, string: string) => any} */
function text(x, y, anchor, string) {
  const t = put(svg("text", {}), { x, y, "text-anchor": anchor });
  write(t, string);
  return t;
}
