// What a rehearsal says in words: the worst first, few, and nothing of what is right.

import { show } from "./dom.js";

/** @import { Found } from "./rehearse.js" */
/** @import { FilmRun, Ghost } from "./types.js" */

const OFF = 5; // % of film, about 0.03 of density: less is not seen
const MOST = 3; // spans of zones that are named

/** @type {(found: Found) => string} */
export const trend = ({ line, settled }) => [
  line.measured ? "" : "Trend, not measured on this press: films are held against what the curve asks for on the whole, at its own sweep, which is taken to be right.",
  settled ? "" : "This is by the train's line, which knows nothing of neighbours; the whole train follows.",
].filter(Boolean).join(" ");

/** @type {(found: Found, lit: number | null) => string[]} */
export function says({ settled, clean, solved, said, pull }, lit) {
  if (!settled) return []; // the trend says what is to come
  const list = said ? [...said.sentences] : soFar(settled, clean, solved);
  if (!said?.ghosts) list.push(ghosts(settled.ghosts)); // one too faint for a sentence of theirs is where the rulers point
  if (pull && pull.zone === lit) list.push(key(pull));
  return list.filter(Boolean);
}

// soFar is what figures tell until the sentences of the command are there.
/** @type {(settled: NonNullable<Found["settled"]>, clean: Found["clean"], solved: Found["solved"]) => string[]} */
const soFar = (settled, clean, solved) => [
  zones(settled.preset.pct),
  clean ? start(clean) : "",
  solved ? keys(settled.preset.pct, solved.films.pct) : "",
];

/** @type {(pct: number[]) => string} */
function zones(pct) {
  const spans = off(pct).sort((a, b) => Math.abs(b.by) - Math.abs(a.by));
  if (!spans.length) return pct.some(Boolean) ? `All zones that print stay within ${OFF} % of the film that is wanted.` : "Nothing prints.";
  const named = spans.slice(0, MOST).map(({ from, to, by }) => `${from === to ? `zone ${from} runs` : `zones ${from} to ${to} run up to`} ${show(Math.abs(by), 0)} % ${by < 0 ? "light" : "heavy"}`);
  const rest = spans.slice(MOST).reduce((sum, { from, to }) => sum + to - from + 1, 0);
  const all = `${named.join(", ")}${rest ? `; ${rest === 1 ? "another zone is" : `${rest} others are`} off by more than ${OFF} %` : ""}.`;
  return all[0].toUpperCase() + all.slice(1);
}

// off are spans of zones that lie off to one side, each with the farthest.
/** @type {(pct: number[]) => { from: number, to: number, by: number }[]} */
function off(pct) {
  const spans = [];
  pct.forEach((film, i) => {
    const by = film - 100, last = spans.at(-1);
    if (!film || Math.abs(by) < OFF) return;
    if (last?.to !== i || last.by < 0 !== by < 0) return void spans.push({ from: i + 1, to: i + 1, by });
    last.to = i + 1;
    if (Math.abs(by) > Math.abs(last.by)) last.by = by;
  });
  return spans;
}

/** @type {(clean: NonNullable<Found["clean"]>) => string} */
function start({ stands, last_zones: last, on_target: reached, never_zones: never, unwaited, run: { sheets } }) {
  if (stands == null) return `From washed rollers some zone is more than 10 % off what it settles at after ${sheets.at(-1)} sheets still: charge them before the run.`;
  const slow = last.length && last.length <= MOST ? `, ${zonesOf(last)} last` : "";
  const text = `From washed rollers every zone is within 10 % of what it settles at after ${count(stands)}${slow}${unwaited.length ? `; ${zonesOf(unwaited)}, with less than 2 % of image, not waited for` : ""}.`;
  if (!never.length) return text;
  return `${text} ${zonesOf(never).replace("z", "Z")} never ${never.length === 1 ? "comes" : "come"} within 10 % of what is wanted${reached == null ? "" : `; all others with 2 % of image or more do after ${count(reached)}`}.`;
}

const count = (sheets) => `${sheets} sheet${sheets === 1 ? "" : "s"}`;

// zonesOf names zones: "zone 4", "zones 2 to 5, 7 and 9".
/** @type {(list: number[]) => string} */
function zonesOf(list) {
  const spans = [];
  for (const zone of list) {
    if (spans.at(-1)?.[1] === zone - 1) spans.at(-1)[1] = zone;
    else spans.push([zone, zone]);
  }
  const named = spans.map(([from, to]) => (from === to ? `${from}` : `${from}${to === from + 1 ? " and " : " to "}${to}`));
  return `${list.length === 1 ? "zone" : "zones"} ${named.length < 2 ? named[0] : `${named.slice(0, -1).join(", ")} and ${named.at(-1)}`}`;
}

// keys says what keys solved on the train would make better, where they would.
/** @type {(now: number[], solved: number[]) => string} */
function keys(now, solved) {
  const worst = (/** @type {number[]} */ pct) => Math.max(0, ...pct.filter(Boolean).map((film) => Math.abs(film - 100)));
  if (worst(now) < OFF || worst(solved) > worst(now) / 2) return "";
  return `Keys solved together on the train, as preset --by train writes them, would hold every zone within ${show(Math.max(1, Math.ceil(worst(solved))), 0)} %.`;
}

/** @type {(list: Ghost[]) => string} */
function ghosts([worst]) {
  if (!worst) return "";
  const where = worst.at_mm < worst.cause_mm ? "on the next sheet, " : "";
  return `No key cures this ghost: what ends or begins at ${show(worst.cause_mm, 0)} mm from the lead edge comes back ${where}at ${show(worst.at_mm, 0)} mm by ${worst.roller}, ${show(Math.abs(worst.step_pct), 1)} % ${worst.step_pct < 0 ? "less" : "more"} film${worst.density == null ? "" : ` (${show(Math.abs(worst.density), 2)} of density)`} from there on. Whether turning the form or a take-off bar does, the command rehearse tells by --try turned and --try bar=12.`;
}

/** @type {(pull: NonNullable<Found["pull"]>) => string} */
function key({ zone, from_pct, to_pct, shares_pct, run }) {
  const own = show(shares_pct[zone - 1], 0), beside = [zone - 1, zone + 1].filter((z) => shares_pct[z - 1] !== undefined).map((z) => `${show(shares_pct[z - 1], 0)} % to zone ${z}`);
  const move = `Key ${zone} from ${show(from_pct)} to ${show(to_pct)} % open`;
  const half = halfWay(run, zone);
  return `${move}: ${own} % of what it does goes to its own zone, ${beside.join(", ")}${half ? `; half of it is there after ${half} sheets` : ""}.`;
}

// halfWay is the first of the sheets that were picked on which half of a pull is there.
/** @type {(run: FilmRun, zone: number) => number} */
function halfWay({ sheets, films }, zone) {
  const film = films.map(({ pct }) => pct[zone - 1]), first = film[0], last = film.at(-1);
  return sheets[film.findIndex((f) => Math.abs(f - first) >= Math.abs(last - first) / 2)] ?? 0;
}
