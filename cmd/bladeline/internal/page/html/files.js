// Brings files: dropped on the page, with what is in dropped folders, or chosen. What
// holds separations goes up a file a request, a form's file with those that it names.
// When all are read they become the job, or a part of it.

import * as api from "./api.js";
import * as store from "./state.js";
import * as job from "./job.js";
import * as settings from "./settings.js";
import { $, $$, el, write } from "./dom.js";

/** @import { Separation } from "./types.js" */

export function make() {
  $("files").addEventListener("change", (e) => {
    bring([...e.target.files]);
    e.target.value = "";
  });
  const page = document.documentElement;
  const carries = (e) => [...(e.dataTransfer?.types || [])].includes("Files");
  page.addEventListener("dragover", (e) => {
    if (!carries(e)) return;
    e.preventDefault();
    page.classList.add("dropping");
  });
  page.addEventListener("dragleave", (e) => e.relatedTarget || page.classList.remove("dropping"));
  page.addEventListener("drop", async (e) => {
    page.classList.remove("dropping");
    if (!carries(e)) return;
    e.preventDefault();
    bring(await dropped(e.dataTransfer));
  });
  $("files-clear").addEventListener("click", () => {
    $("brought").replaceChildren();
    fold();
  });
  $("files-each").addEventListener("click", () => {
    unfolded = !unfolded;
    fold();
  });
  $("job-new").addEventListener("click", forget);
}

let unfolded = false; // whether several files are told of one by one

// fold counts the files where there are several. Of a folded list is seen what is coming,
// what failed, and what asks.
function fold() {
  const lines = $$("#brought > li"), several = lines.length > 1;
  const are = (...states) => lines.filter((li) => states.includes(li.dataset.is)).length;
  const read = are("read", "warned"), warned = are("warned"), of = read < lines.length ? ` of ${lines.length}` : "";
  write($("brought-says"), several ? `${read}${of} files read${warned ? `, ${warned} with a warning` : ""}.` : "");
  $("files-each").hidden = !several;
  $("files-each").setAttribute("aria-expanded", String(unfolded));
  $("brought").className = several ? unfolded ? "several" : "several folded" : "";
}

/** @typedef {{ of: HTMLElement, bar: HTMLProgressElement, says: HTMLElement }} Line of the list */

// stands says how far a file is: waiting, coming, read, warned or failed.
/** @type {(line: Line, is: string, text: string) => void} */
function stands({ of, bar, says }, is, text) {
  if (is !== "coming") bar.remove();
  of.dataset.is = is;
  says.classList.toggle("error", is === "failed");
  write(says, text);
  fold();
}

// forget takes the files off the list that nothing more comes of.
function forget() {
  for (const done of $$("#brought li:not(:has(progress, button))")) done.remove();
  fold();
}

// dropped are the files of a drop, those of folders in the order of their names.
/** @type {(data: DataTransfer) => Promise<File[]>} */
async function dropped(data) {
  const files = [...data.files], entries = [...data.items].map((item) => item.webkitGetAsEntry?.()); // both before the drop is over
  if (!entries.some((entry) => entry?.isDirectory)) return files;
  return (await Promise.all(entries.map((entry) => within(entry)))).flat();
}

const MOST = 500; // files of a folder: more is no job's

/** @type {(entry: any) => Promise<File[]>} */
async function within(entry) {
  if (!entry || entry.name.startsWith(".")) return [];
  if (entry.isFile) return [await new Promise((resolve, reject) => entry.file(resolve, reject))];
  const reader = entry.createReader(), list = [];
  for (;;) {
    const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
    if (!some.length || list.length > MOST) break;
    list.push(...some);
  }
  list.sort((a, b) => a.name.localeCompare(b.name));
  return (await Promise.all(list.map(within))).flat().slice(0, MOST);
}

const ends = (file, ...endings) => endings.some((ending) => file.name.toLowerCase().endsWith(ending));
const isForm = (file) => ends(file, ".form.toml");
const isPress = (file) => ends(file, ".press.toml");
const isSetting = (file) => !isForm(file) && ends(file, ".toml", ".csv", ".json");

// bring reads the files one after another, so that they keep their order; presses before
// curves, which these may name.
/** @param {File[]} files */
async function bring(files) {
  if (!files.length) return;
  forget();
  unfolded = false;
  const first = !Object.values(store.state.views).some((v) => v.units.length);
  const all = files.filter(isSetting).sort((a, b) => Number(isPress(b)) - Number(isPress(a))), rasters = files.filter((f) => !isSetting(f) && !isForm(f)), forms = files.filter(isForm);
  const groups = forms.length ? forms.map((form) => [form, ...rasters]) : rasters.map((file) => [file]);
  const lines = groups.map(([file, ...pieces]) => line(pieces.length ? `${file.name}, with ${pieces.length} file${pieces.length > 1 ? "s" : ""}` : file.name));
  const opening = all.map((file) => ({ file, at: line(file.name) })), read = [];
  for (let i = 0; i < groups.length; i++) read.push(...await bringOne(groups[i], lines[i], groups.length === 1));
  await job.settle(read);
  const drop = { all, first, presses: [] };
  for (const { file, at } of opening) await open(file, at, drop);
}

/** @type {(file: File, at: Line, drop: import("./settings.js").Drop) => Promise<void>} */
async function open(file, at, drop) {
  try {
    stands(at, "read", await settings.open(file, drop));
  } catch (e) {
    stands(at, "failed", notRead(e.message));
  }
}

/** @param {string} why */
const notRead = (why) => `not read. ${why}`;

// Of the process inks programs that separate write a file each, whether they print or
// not. One that holds no ink gets no unit, unless it is brought alone.
const processInks = ["cyan", "magenta", "yellow", "black"];

/** @type {(s: Separation) => boolean} */
const blank = (s) => s.coverage_pct === 0 && processInks.includes(s.ink.toLowerCase());

/** @type {(list: Separation[], alone: boolean) => Separation[]} */
function printing(list, alone) {
  const some = list.filter((s) => !blank(s));
  return list.length === 1 && alone || list.length > 1 && !some.length ? list : some;
}

// leftOut says which inks of a file get no unit, and the way round where it holds no other.
/** @type {(list: Separation[], printing: Separation[]) => string[]} */
function leftOut(list, printing) {
  const left = list.filter((s) => !printing.includes(s)), one = left.length === 1;
  return left.length ? [`no ink of ${left.map((s) => s.ink).join(", ")}, so no unit for ${one ? "it" : "them"}${list.length === 1 ? ": bring it alone to have one" : ""}`] : [];
}

/** @type {(name: string) => Line} */
function line(name) {
  const bar = el("progress", { max: 1, value: 0, "aria-label": `Sending ${name}` }), says = el("span", {}, "waiting");
  const of = el("li", { "data-is": "waiting" }, el("span", { role: "status" }, el("strong", {}, `${name}:`), " ", says), " ", bar);
  $("brought").append(of);
  fold();
  return { of, bar, says };
}

const isPage = (file) => ends(file, ".pdf", ".ps", ".eps", ".ai");

/** @type {(files: File[], at: Line, alone: boolean, page?: number | null) => Promise<Separation[]>} */
async function bringOne(files, at, alone, page = null) {
  const limit = store.offer.limits?.upload_bytes, size = files.reduce((sum, f) => sum + f.size, 0);
  if (limit && size > limit) {
    stands(at, "failed", notRead(`It is larger than the ${Math.floor(limit / 2 ** 30)} GB the page takes; start bladeline serve with it on the command line.`));
    return [];
  }
  stands(at, "coming", "being sent");
  try {
    const { separations = [], errors = [], notes = [] } = await api.upload(files, (done) => {
      at.bar.value = done;
      if (done < 1) return;
      at.bar.removeAttribute("value"); // how far the server is nobody tells
      stands(at, "coming", files.some(isPage) ? "being separated, which may take minutes" : "being read");
    }, page);
    const list = printing(separations, alone), inks = list.map((s) => s.ink).join(", ") || "nothing that prints";
    const told = [...notes, ...warnings(list), ...leftOut(separations, list)];
    if (errors.some((e) => e.pages)) choosePage(files, at, errors[0].pages);
    if (errors.length) stands(at, "failed", notRead(errors.map((e) => (files.length > 1 && e.file ? `${e.file}: ${e.error}` : e.error)).join(" ")));
    else stands(at, told.some((n) => n.startsWith(WARNING)) ? "warned" : "read", `read: ${[inks, ...told].join("; ")}`);
    return list;
  } catch (e) {
    stands(at, "failed", notRead(e.message));
    return [];
  }
}

// choosePage asks which page of a file is the form, and reads it.
/** @type {(files: File[], at: Line, pages: number) => void} */
function choosePage(files, at, pages) {
  const field = el("input", { type: "number", min: 1, max: pages, step: 1, value: 1 });
  at.of.append(el("span", { class: "row" }, el("label", {}, `Page of ${pages} `, field), el("button", { type: "button", onclick: async () => {
    if (field.value === "" || !field.checkValidity()) return void (field.value = 1);
    at.of.remove();
    await job.settle(await bringOne(files, line(`${files[0].name}, page ${field.value}`), true, Number(field.value)));
  } }, "Read this page")));
}

const WARNING = "warning: "; // as notes of the server begin that are one

/** @type {(list: Separation[]) => string[]} */
const warnings = (list) => {
  const all = list.flatMap((s) => s.warnings || []);
  return all.length ? [WARNING + all.join("; ")] : [];
};
