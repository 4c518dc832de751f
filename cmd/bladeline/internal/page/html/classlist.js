// The class list: who tried which form, how often, with what score and in how much
// time. It is saved as one CSV, and lists of several computers are read and summed up.

import * as store from "./state.js";
import * as compute from "./compute.js";
import { best } from "./tries.js";
import { $, el, renew, round, show, download, say, textOf, write } from "./dom.js";

/** @import { Try } from "./state.js" */

const columns = ["pupil", "form", "try", "score", "seconds"]; // that a list must have
const more = ["profile_pct", "level_off_pct", "sweep", "press"];
const worked = ["score", "profile_pct", "level_off_pct"]; // out: a tenth of them is told

export function make() {
  $("class-part").open = store.state.course !== null; // also behind a reload
  $("class-save").addEventListener("click", () => {
    const { tries } = store.state;
    download(new Blob([csv(tries)], { type: "text/csv" }), listName(tries));
  });
  $("class-files").addEventListener("change", async (event) => {
    const files = [...event.target.files];
    event.target.value = "";
    const said = [];
    for (const file of files) said.push(add(await textOf(file), file.name));
    say($("class-said"), said.join(" "));
  });
  $("class-clear").addEventListener("click", clear);
}

// listName is the name of a list's file: the class's word or the job, and the form and
// the pupil where all tries are of one.
/** @param {Try[]} tries */
function listName(tries) {
  const one = (name) => (new Set(tries.map((t) => t[name])).size === 1 ? tries[0][name] : "");
  const { course } = store.state, form = one("form"), of = course ? course.seed : compute.jobName(); // which a form's name may begin with
  const parts = ["class list", form.startsWith(of) ? "" : of, form, one("pupil")].filter(Boolean);
  return `${parts.join(", ").replace(/[/\\:*?"<>|]/g, "_")}.csv`;
}

// isClassList tells a class list by its header.
/** @param {string} csvText */
export const isClassList = (csvText) => {
  const header = cells(csvText.slice(0, 2000))[0]?.cells.map((c) => c.trim().toLowerCase()) ?? [];
  return columns.every((name) => header.includes(name));
};

// add takes the tries of a list in, but for those that are there, and answers what
// there is to say of that.
/** @type {(csvText: string, name: string) => string} */
export function add(csvText, name) {
  let read;
  try {
    read = parsed(csvText);
  } catch (e) {
    return `${name}: not read: ${e.message}`;
  }
  const key = (t) => JSON.stringify([t.pupil, t.form, t.try, Math.round(t.score * 10), t.seconds]);
  const there = new Set(store.state.tries.map(key)), fresh = read.filter((t) => !there.has(key(t)));
  store.look((state) => { state.tries = [...state.tries, ...fresh]; });
  $("class-part").open = true;
  return `${name}: ${fresh.length} tries read${fresh.length < read.length ? `, ${read.length - fresh.length} were there already` : ""}.`;
}

// parsed are the tries of a list; what is wrong with it is said with its line.
/** @type {(csvText: string) => Try[]} */
function parsed(csvText) {
  const [header, ...rows] = cells(csvText), names = header?.cells.map((c) => c.trim().toLowerCase()) ?? [];
  const missing = columns.filter((name) => !names.includes(name));
  if (missing.length) throw new Error(`line 1 has no column ${missing.join(", ")}; give a class list as the page saves it.`);
  return rows.filter((r) => r.cells.some((c) => c.trim())).map(({ row, cells }) => {
    const at = (name) => (cells[names.indexOf(name)] ?? "").trim();
    const number = (name, most) => {
      const v = Number(at(name).replace(",", "."));
      if (at(name) === "" || !(v >= 0 && v <= most)) throw new Error(`line ${row}: ${name} is “${at(name).slice(0, 40)}”; write a number from 0 to ${most}.`);
      return v;
    };
    return { pupil: unguarded(at("pupil")).slice(0, 200), form: unguarded(at("form")).slice(0, 200), try: number("try", 9999), score: number("score", 100), seconds: number("seconds", 1e6) };
  });
}

// cells are those of a CSV by RFC 4180, whichever of comma, semicolon and tab stands
// between them; each row with the line that it begins in.
/** @type {(csvText: string) => { row: number, cells: string[] }[]} */
function cells(csvText) {
  const source = csvText.replace(/^\ufeff/, ""), first = source.split(/\r?\n/, 1)[0];
  const by = [",", ";", "\t"].reduce((a, b) => (first.split(b).length > first.split(a).length ? b : a));
  const rows = [];
  let row = 1, line = [], cell = "", quoted = false, began = 1;
  const endCell = () => { line.push(cell); cell = ""; };
  const endRow = () => { endCell(); rows.push({ row: began, cells: line }); line = []; began = row; };
  for (let i = 0; i < source.length; i++) {
    const c = source[i];
    if (c === "\n") row++;
    if (quoted && c === '"' && source[i + 1] === '"') cell += source[i++];
    else if (c === '"' && (quoted || cell === "")) quoted = !quoted;
    else if (!quoted && c === by) endCell();
    else if (!quoted && c === "\n") endRow();
    else if (quoted || c !== "\r") cell += c;
  }
  if (cell !== "" || line.length) endRow();
  return rows;
}

// guarded is a name that no spreadsheet takes for a formula, as in a preset's CSV.
const guarded = (name) => (/^[=+\-@']/.test(name) ? `'${name}` : name);
const unguarded = (name) => name.replace(/^'(?=[=+\-@'])/, "");

/** @param {Try[]} tries */
function csv(tries) {
  const cell = (v) => (v == null ? "" : /[",\r\n]/.test(v) ? `"${String(v).replaceAll('"', '""')}"` : String(v));
  const all = [...columns, ...more];
  const value = (name, v) => (typeof v === "string" ? guarded(v) : v != null && worked.includes(name) ? round(v) : v);
  const rows = tries.map((t) => all.map((name) => cell(value(name, t[name]))).join(","));
  return [all.join(","), ...rows, ""].join("\r\n");
}

let aside = null; // a list that was put away

function clear() {
  const { tries } = store.state, back = aside ?? [];
  aside = tries.length ? tries : null;
  store.look((state) => { state.tries = aside ? [] : back; });
  say($("class-said"), aside ? `${aside.length} tries are put away.` : "They are back.");
}

export function draw() {
  const { tries } = store.state;
  $("class-save").disabled = !tries.length;
  $("class-clear").disabled = !tries.length && !aside;
  write($("class-clear"), tries.length || !aside ? "Begin a new list" : `Bring the ${aside.length} tries back`);
  $("class-sums").hidden = !tries.length;
  renew($("class-table"), tries.map((t) => [t.pupil, t.form, t.score, t.seconds]), () => sums(tries));
}

/** @param {Try[]} tries */
function sums(tries) {
  const names = (of) => [...new Set(tries.map(of))], forms = names((t) => t.form), pupils = names((t) => t.pupil);
  const bests = pupils.map((pupil) => forms.map((form) => tries.filter((t) => t.pupil === pupil && t.form === form)).map((list) => (list.length ? { score: best(list).score, n: list.length } : null)));
  const mean = (list) => { const there = list.filter(Boolean); return there.length ? show(there.reduce((sum, b) => sum + b.score, 0) / there.length, 0) : "–"; };
  // ofForms also says of how many forms, where it is not of all: those may be the easier ones.
  const ofForms = (list) => mean(list) + (list.every(Boolean) || !list.some(Boolean) ? "" : ` (${list.filter(Boolean).length} of ${list.length} forms)`);
  const cell = (b) => (b ? `${show(b.score, 0)} (${b.n} ${b.n === 1 ? "try" : "tries"})` : "–");
  const spent = (pupil) => show(tries.filter((t) => t.pupil === pupil).reduce((sum, t) => sum + t.seconds, 0) / 60);
  return [
    el("caption", {}, "The best score of each pupil at each form"),
    el("thead", {}, el("tr", {}, ...["pupil", ...forms, "mean", "minutes"].map((name) => el("th", { scope: "col" }, name)))),
    el("tbody", {}, ...pupils.map((pupil, i) => el("tr", {}, el("th", { scope: "row" }, pupil || "no name"), ...bests[i].map((b) => el("td", {}, cell(b))), el("td", {}, ofForms(bests[i])), el("td", {}, spent(pupil))))),
    el("tfoot", {}, el("tr", {}, el("th", { scope: "row" }, "mean"), ...forms.map((_, f) => el("td", {}, mean(bests.map((b) => b[f])))), el("td", {}, mean(bests.flat())), el("td", {}, ""))),
  ];
}
