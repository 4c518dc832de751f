// The press and how the form lies on it.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as bench from "./bench.js";
import { $, el, renew, write, say, unchanged, plural } from "./dom.js";

// Each field: its element, whose it is, its name, and how it is read.
const numberIn = (node) => (node.value === "" ? null : Number(node.value));
/** @type {[string, "press" | "placement", (node: any) => any][]} */
const fields = [
  ["zones", "press", numberIn], ["zone_width_mm", "press", numberIn], ["neighbour_limit_pct", "press", numberIn],
  ["first_zone", "press", (n) => n.value], ["blade", "press", (n) => n.value],
  ["lead_edge", "placement", (n) => n.value], ["mirrored", "placement", (n) => n.checked],
  ["shift_mm", "placement", (n) => numberIn(n) ?? 0], ["dpi_x", "placement", numberIn], ["dpi_y", "placement", numberIn],
];
const shown = [...fields.map(([name]) => name), "paper"];

export function make() {
  $("press").addEventListener("change", () => choose($("press").value));
  $("press-reset").addEventListener("click", reset);
  $("paper").addEventListener("change", () => setPaper($("paper").value.trim()));
  $("paper").addEventListener("input", () => { typing = "paper"; });
  $("paper").addEventListener("blur", () => { typing = ""; });
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

// setPaper takes the paper, and inks that have the press's curve that of this paper.
function setPaper(paper) {
  typing = "";
  bench.forget();
  store.change(() => store.withCurves((state) => { state.views[state.view].paper = paper; }));
}

const current = () => ({ ...store.press(), ...store.view().placement, paper: store.view().paper });

// choose takes a press as it was left. The form lies as it did.
/** @param {string} base */
export function choose(base) {
  bench.forget();
  store.change((state) => {
    state.chosen = true;
    store.takePress(base);
  });
  const { base: _, file: __, ...edit } = store.state.press, edited = Object.values(edit).some((value) => value !== null);
  say($("press-said"), edited ? `${store.base().name}, as you left it: zones or blade are not its own.` : "");
}

// reset takes back all that was changed of the press and of the inks that are seen,
// but for which these are.
function reset() {
  bench.forget();
  store.change((state) => {
    const form = store.view(), { state: begun } = store.offer;
    store.takePress(state.first);
    Object.assign(state, { press: { ...store.untouched, base: state.first, file: store.base().file }, edits: {}, chosen: store.offer.press_named });
    Object.assign(form, { placement: store.firstPlacement(), paper: begun.paper, job: state.view === "drawn" ? "drawn" : store.firstName() });
    const units = form.units.splice(0);
    for (const unit of units) {
      const s = store.separation(unit);
      form.units.push(s ? { ...store.newUnit(s), ink: store.freeName(s.ink) } : unit);
    }
  });
  say($("press-said"), "Press, placement, paper, names, curves and sweeps are as they were at first; Undo brings yours back.");
}

export function draw() {
  const now = current();
  const list = store.presses().map((p) => [p.base, store.called(p)]);
  renew($("press"), list, () => list.map(([base, name]) => el("option", { value: base }, name)));
  $("press").value = store.state.press.base;
  for (const name of shown) {
    const node = $(name);
    node.removeAttribute("aria-invalid");
    if (name === typing) continue;
    if (node.type === "checkbox") node.checked = !!now[name];
    else node.value = now[name] ?? "";
  }
  const place = compute.wrong()?.place.split(".").pop();
  $("press").setAttribute("aria-invalid", String(place === "base"));
  if (shown.includes(place)) $(place).setAttribute("aria-invalid", "true");
  $("papers").replaceChildren(...store.base().papers.map(({ name }) => el("option", { value: name })));
  const drawn = store.state.view === "drawn";
  for (const name of ["lead_edge", "mirrored", "dpi_x", "dpi_y"]) $(name).disabled = drawn;
  $("neighbour_limit_pct").disabled = now.blade !== "one-piece";
  write($("press-scale"), `Keys: ${now.key_step_text || `${now.key_travel} ${plural(now.key_unit, now.key_travel)} of travel, in steps of ${now.key_step}`}; held between ${now.floor_pct} and ${now.ceiling_pct} % open.`);
}
