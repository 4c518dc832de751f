// The press and how the form lies on it.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, el, same, copy, write, say, unchanged, plural } from "./dom.js";

// Each field: its element, whose it is, its name, and how it is read.
const numberIn = (node) => (node.value === "" ? null : Number(node.value));
/** @type {[string, "press" | "placement", (node: any) => any][]} */
const fields = [
  ["zones", "press", numberIn], ["zone_width_mm", "press", numberIn], ["neighbour_limit_pct", "press", numberIn],
  ["first_zone", "press", (n) => n.value], ["blade", "press", (n) => n.value],
  ["lead_edge", "placement", (n) => n.value], ["mirrored", "placement", (n) => n.checked],
  ["shift_mm", "placement", (n) => numberIn(n) ?? 0], ["dpi_x", "placement", numberIn], ["dpi_y", "placement", numberIn],
];

export function make() {
  $("press").replaceChildren(...store.offer.presses.map((p) => el("option", { value: p.base }, p.name)));
  $("press").addEventListener("change", () => choose($("press").value));
  $("press-reset").addEventListener("click", () => choose(store.state.press.base, store.firstPlacement()));
  for (const [name, of, read] of fields) {
    $(name).addEventListener("change", (event) => set(event.target, name, of, read));
    $(name).addEventListener("input", () => { typing = name; });
    $(name).addEventListener("blur", (event) => {
      typing = "";
      if (event.target.validity.badInput) set(event.target, name, of, read);
    });
  }
}

let typing = ""; // the field that is being typed in, which no answer overwrites

// set takes what a field holds, or leaves it as it was and says why.
function set(field, name, of, read) {
  if (!field.checkValidity()) {
    field.value = current()[name] ?? "";
    return say($("press-said"), unchanged(field, field.closest("label").firstChild.data.trim(), field.value));
  }
  typing = "";
  write($("press-said"), "");
  bench.forget();
  store.change((state) => {
    const target = of === "press" ? state.press : state.views[state.view].placement;
    target[name] = read(field);
    if (of === "press" && target[name] === store.base()[name]) target[name] = null; // as the press has it
  });
  if (field.type === "number") field.value = current()[name] ?? "";
}

const current = () => ({ ...store.press(), ...store.view().placement });

// choose takes a press as it is described; curves that were the old press's
// own become the new one's, curves edited by hand stay. The form lies as it did,
// or as placement says.
export function choose(base, placement = store.view().placement) {
  const old = store.base();
  bench.forget();
  store.change((state) => {
    state.press = { base, zones: null, zone_width_mm: null, first_zone: null, blade: null, neighbour_limit_pct: null };
    state.views[state.view].placement = placement;
    const now = store.base();
    for (const { units } of Object.values(state.views)) {
      for (const unit of units) {
        if (same(unit.curve, store.curveFor(old, unit.ink))) unit.curve = copy(store.curveFor(now, unit.ink));
        if (unit.sweep !== null && !now.sweep.settings.includes(unit.sweep)) unit.sweep = null;
      }
    }
  });
}

export function draw() {
  const now = current();
  $("press").value = store.state.press.base;
  for (const [name] of fields) {
    const node = $(name);
    node.removeAttribute("aria-invalid");
    if (name === typing) continue;
    if (node.type === "checkbox") node.checked = !!now[name];
    else node.value = now[name] ?? "";
  }
  const place = compute.error?.place?.split(".").pop();
  $("press").setAttribute("aria-invalid", String(place === "base"));
  if (fields.some(([name]) => name === place)) $(place).setAttribute("aria-invalid", "true");
  const drawn = store.state.view === "drawn";
  for (const name of ["lead_edge", "mirrored", "dpi_x", "dpi_y"]) $(name).disabled = drawn;
  $("neighbour_limit_pct").disabled = now.blade !== "one-piece";
  write($("press-scale"), `Keys: ${now.key_step_text || `${now.key_travel} ${plural(now.key_unit, now.key_travel)} of travel, in steps of ${now.key_step}`}; held between ${now.floor_pct} and ${now.ceiling_pct} % open.`);
}
