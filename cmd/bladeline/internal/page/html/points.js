// The curve's points as numbers to be typed, and what the curve starts from.

import * as store from "./state.js";
import * as compute from "./compute.js";
import * as curve from "./curve.js";
import * as bench from "./bench.js";
import { $, el, write, say, same, copy, round, unchanged } from "./dom.js";

/** @import { Curve } from "./types.js" */

export function make() {
  const select = $("curve-from");
  select.addEventListener("change", () => {
    const found = offers().find((o) => o.label === select.value);
    if (!found) return;
    take(found.curve);
  });
  $("curve-shape").addEventListener("change", (e) => {
    bench.remember();
    store.change(() => { store.unit().curve.shape = e.target.value; });
  });
  for (const event of ["change", "blur"]) $("curve-reference").addEventListener(event, (e) => setReference(e.target));
}

// take gives the ink that is seen a curve.
/** @param {Curve} of */
export function take(of) {
  bench.remember();
  store.change(() => { store.unit().curve = copy(of); });
}

// setReference takes the sweep that a curve holds at, or leaves it and says why.
function setReference(field) {
  const { curve: of } = store.unit();
  if (!field.checkValidity()) {
    field.value = of.reference_sweep ?? "";
    return say($("points-said"), unchanged(field, "Holds at sweep", field.value));
  }
  store.change(() => { store.unit().curve.reference_sweep = field.value === "" ? null : Number(field.value); });
}

function offers() {
  const own = { label: "the press's own", curve: store.curveFor(store.base(), store.unit().ink) };
  return [own, ...[...store.offer.curves, ...store.state.curves].map((c) => ({ label: c.name, curve: c }))];
}

export function draw() {
  const unit = store.unit();
  if (!unit) return;
  const list = offers();
  const now = list.find((o) => same(o.curve, unit.curve));
  const options = list.map((o) => el("option", { value: o.label }, o.label));
  if (!now) options.unshift(el("option", { value: "" }, "edited by hand"));
  if (!same(options.map((o) => o.value), [...$("curve-from").options].map((o) => o.value))) $("curve-from").replaceChildren(...options);
  $("curve-from").value = now ? now.label : "";
  $("curve-shape").value = unit.curve.shape;
  if (document.activeElement !== $("curve-reference")) $("curve-reference").value = unit.curve.reference_sweep ?? "";
  for (const [id, name] of [["curve-reference", "reference_sweep"], ["curve-shape", "shape"]]) {
    $(id).setAttribute("aria-invalid", String(compute.error?.place === `units[${store.state.unit}].curve.${name}`));
  }
  rows(unit.curve.points);
}

/** @param {number[][]} points */
function rows(points) {
  const body = $("points");
  while (body.children.length > points.length) body.lastChild.remove();
  while (body.children.length < points.length) body.append(row(body.children.length));
  points.forEach((point, i) => {
    const [c, o] = body.children[i].querySelectorAll("input");
    if (document.activeElement !== c) c.value = point[0];
    if (document.activeElement !== o) o.value = point[1];
    body.children[i].querySelector("button").disabled = points.length <= 2;
  });
}

// remove leaves the focus with the point that takes the place.
function remove(i) {
  curve.remove(i);
  const rows = $("points").children;
  rows[Math.min(i, rows.length - 1)].querySelector("input").focus();
}

function row(i) {
  const field = (what) => el("input", { type: "number", min: 0, max: 100, step: "any", "aria-label": `Point ${i + 1}, ${what} in %` });
  const c = field("covered"), o = field("opening");
  const typed = () => {
    const wrong = [c, o].find((field) => field.value === "" || !field.checkValidity());
    if (wrong) {
      [c.value, o.value] = store.unit().curve.points[i];
      return say($("points-said"), unchanged(wrong, wrong.getAttribute("aria-label").replace(" in %", ""), wrong.value));
    }
    bench.remember();
    const wanted = [Number(c.value), Number(o.value)];
    const at = curve.move(i, ...wanted, null, 2);
    const limited = at.some((v, n) => v !== wanted[n] && v !== round(wanted[n], 2));
    write($("points-said"), limited ? `Held at ${at[0]} and ${at[1]}: points keep their order, and a curve cannot fall.` : "");
    [c.value, o.value] = at;
  };
  c.addEventListener("change", typed);
  o.addEventListener("change", typed);
  return el("tr", {}, el("th", { scope: "row" }, String(i + 1)), el("td", {}, c), el("td", {}, o),
    el("td", {}, el("button", { type: "button", "aria-label": `Remove point ${i + 1}`, onclick: () => remove(i) }, "remove")));
}
