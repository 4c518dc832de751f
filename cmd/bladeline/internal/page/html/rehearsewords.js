// What a rehearsal says in words: those of the server, and what is told of one key.

import { show } from "./dom.js";

/** @import { Found } from "./rehearse.js" */
/** @import { FilmRun } from "./types.js" */

/** @type {(found: Found) => string} */
export const trend = ({ line, settled, said }) => [
  line.measured ? "" : said ? "Trend, not measured on this press." : "Trend, not measured on this press: films are held against what the curve asks for on the whole, at its own sweep, which is taken to be right.",
  settled ? "" : "This is by the train's line, which knows nothing of neighbours; the whole train follows.",
].filter(Boolean).join(" ");

// says is what the server says so far, and what the lit zone's key does.
/** @type {(found: Found, lit: number | null) => string[]} */
export function says({ settled, clean, said, pull }, lit) {
  if (!settled) return []; // the trend says what is to come
  const list = said?.sentences ?? [...settled.sentences, ...(clean?.sentences ?? [])];
  return pull && pull.zone === lit ? [...list, key(pull)] : list;
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
