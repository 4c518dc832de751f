// A form that does not lie on the fountain: drawn over it all the same, with what
// stands beyond its ends marked in mm.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, svg, renew, show } from "./dom.js";
import { extent } from "./plan.js";

/** @import { Computed, Misfit } from "./types.js" */

const SIDE = 12, LOW = 300, BAR = 26; // px; a form is higher where the window has room
const FLAG = 18, LINE = 22; // px of what is said of an end, and of its line
const AROUND = 36 + LINE + 10 + BAR + 24 + 8; // px over and under the form, at most

export const make = () => addEventListener("resize", draw);

// lying is the misfit that is seen, with the fountain that it does not fit; null where
// what is seen fits, or nobody knows where it would lie.
/** @type {() => { misfit: Misfit, around: Computed } | null} */
function lying() {
  const none = compute.error?.computed, misfit = compute.misfit() ?? (none && compute.misfits()[0]);
  if (!misfit?.outline || (store.state.all && !none)) return null;
  return { misfit, around: none ?? compute.result };
}

export function draw() {
  const seen = lying();
  $("overhang").hidden = !seen;
  if (!seen) return;
  const { separation } = store.view().units[seen.misfit.unit] ?? {};
  const placement = store.view().placement;
  const width = Math.min(bench.wide || 960, Math.max($("room").clientWidth, 240)); // as the bench had it, so that nothing beside it moves
  const high = Math.max(LOW, innerHeight - $("overhang").getBoundingClientRect().top - scrollY - AROUND);
  renew($("overhang"), [seen, separation, placement, width, high], () => [drawing(seen, picture(separation, placement), width, high)]);
}

let fetched = { of: "", url: Promise.resolve("") }; // the picture that was brought last

// picture is the form's, which comes when it is there.
function picture(separation, placement) {
  const image = svg("image", { preserveAspectRatio: "none" }), of = JSON.stringify([separation, { ...placement, shift_mm: 0 }]);
  if (fetched.of !== of) {
    fetched.url.then(URL.revokeObjectURL);
    fetched = { of, url: api.picture(separation, placement).catch(() => "") }; // its outline is there
  }
  fetched.url.then((url) => url && image.setAttribute("href", url));
  return image;
}

/** @type {(seen: { misfit: Misfit, around: Computed }, image: SVGElement, width: number, high: number) => SVGElement} */
function drawing({ misfit, around }, image, W, high) {
  const { left_mm, width_mm, length_mm } = misfit.outline, end = around.fountain_mm;
  const from = Math.min(0, left_mm), to = Math.max(end, left_mm + width_mm);
  const scale = Math.min((W - 2 * SIDE) / (to - from), high / length_mm);
  const x = (mm) => (W - (to - from) * scale) / 2 + (mm - from) * scale;
  const ends = [says(misfit.left_mm), says(misfit.right_mm)].map((s) => FLAG * extent(s, true).width);
  const two = Math.max(x(left_mm), SIDE) + ends[0] + SIDE > Math.min(x(left_mm + width_mm), W - SIDE) - ends[1]; // they do not stand side by side
  const top = two ? 36 + LINE : 36, lead = top + length_mm * scale, bar = lead + 10;
  const form = { x: x(left_mm), y: top, width: width_mm * scale, height: length_mm * scale };
  for (const [name, value] of Object.entries(form)) image.setAttribute(name, String(value));
  const parts = [svg("rect", { class: "plate", ...form }), svg("g", { class: "plates" }, image), svg("path", { class: "lead", d: `M${form.x} ${lead}h${form.width}` })];
  for (const z of around.zones) {
    parts.push(svg("rect", { class: "overhang-zone", x: x(z.left_mm), y: bar, width: (z.right_mm - z.left_mm) * scale, height: BAR }));
  }
  parts.push(
    text((x(0) + x(end)) / 2, bar + BAR + 16, "middle", `the fountain, ${show(end)} mm; the form is ${show(width_mm)} mm wide`),
    ...beyond(form.x, x(0), misfit.left_mm, "start", { top, says: LINE, lead, bar, W }),
    ...beyond(x(end), form.x + form.width, misfit.right_mm, "end", { top, says: top - 14, lead, bar, W }),
  );
  return svg("svg", { viewBox: `0 0 ${W} ${bar + BAR + 24}`, width: W, role: "img", "aria-label": spoken(misfit, around) }, ...parts);
}

/** @type {(inkMM: number) => string} */
const says = (inkMM) => (inkMM ? `ink ${show(inkMM)} mm beyond this end` : "blank here");

// beyond marks what stands beyond an end, between two places in px; what is said of it
// stays on the drawing.
/** @type {(from: number, to: number, inkMM: number, anchor: string, at: { top: number, says: number, lead: number, bar: number, W: number }) => SVGElement[]} */
function beyond(from, to, inkMM, anchor, { top, says: at, lead, bar, W }) {
  if (to - from < 0.5) return [];
  const wide = FLAG * extent(says(inkMM), true).width;
  const start = Math.max(SIDE, Math.min(from, W - SIDE - wide)), end = Math.min(W - SIDE, Math.max(to, SIDE + wide));
  return [
    svg("rect", { class: "overhang", x: from, y: top, width: to - from, height: lead - top }),
    svg("path", { class: "overhang-end", d: `M${anchor === "start" ? to : from} ${top - 8}V${bar + BAR}` }),
    text(anchor === "start" ? start : end, at, anchor, says(inkMM), "flag"),
  ];
}

function text(x, y, anchor, string, kind = "") {
  const t = svg("text", { x, y, "text-anchor": anchor, class: kind });
  t.textContent = string;
  return t;
}

/** @type {(misfit: Misfit, around: Computed) => string} */
function spoken({ outline, left_mm, right_mm }, { fountain_mm }) {
  const over = [[left_mm, "left"], [right_mm, "right"]].filter(([mm]) => mm).map(([mm, end]) => `ink stands ${show(Number(mm))} mm beyond its ${end} end`);
  return [`The form, ${show(outline.width_mm)} mm wide, over the fountain of ${show(fountain_mm)} mm`, ...over].join("; ");
}
