// What a prepared form teaches, and how its keys stand at the sweep that is set.

import * as store from "./state.js";
import * as compute from "./compute.js";
import { $, write, same, amount, plural } from "./dom.js";
import { spans } from "./weigh.js";

/** @import { PresetUnit, Relation } from "./types.js" */

export function draw() {
  const { view, trial, shapes } = store.state, form = view === "drawn" && !trial && store.offer.forms.find((f) => same(f.shapes, shapes));
  const found = form && compute.isCurrent() && compute.unit();
  if (form && !found && $("form-says").textContent.startsWith(form.says)) return; // until it is worked out anew
  write($("form-says"), form ? [form.says, found && stands(found), found && form.id === "bar" && barred()].filter(Boolean).join(" ") : "");
}

/** @param {Relation & PresetUnit} found */
function stands(found) {
  const { key_unit: unit, sweep_unit: sweepUnit } = compute.result.preset.press, keys = found.keys.filter((_, i) => found.prints[i]);
  if (!keys.length) return "";
  const [least] = [...keys].sort((a, b) => a.key - b.key), [most] = [...keys].sort((a, b) => b.key - a.key);
  const at = (k) => `${k.key_text} ${plural(unit, k.key)}`, held = ["ceiling", "floor", "neighbour"].flatMap((state) => of(keys, state));
  const says = least.key_text === most.key_text ? `every key that prints stands at ${at(most)}` : `the keys that print stand from ${at(least)} in zone ${least.zone} to ${at(most)} in zone ${most.zone}`;
  return `At sweep ${amount(found.sweep, sweepUnit)} ${[says, ...held].join("; ")}.`;
}

const of = (keys, state) => {
  const zones = keys.filter((k) => k.state === state).map((k) => k.zone);
  return zones.length ? [`${{ ceiling: "the ceiling", floor: "the floor", neighbour: "the blade" }[state]} holds ${spans(zones)}`] : [];
};

// barred says where a bar is too short for the keys of this press.
const barred = () => (compute.result.preset.warnings.some((w) => w.code === "low") ? "Here the bar is too short for some keys: the warning says which." : "");
