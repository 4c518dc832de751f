// Brings separations: files dropped on the page or chosen, one request a file.

import * as api from "./api.js";
import * as store from "./state.js";
import { $, el, write } from "./dom.js";

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
  page.addEventListener("drop", (e) => {
    page.classList.remove("dropping");
    if (!carries(e)) return;
    e.preventDefault();
    bring([...e.dataTransfer.files]);
  });
  $("files-clear").addEventListener("click", () => {
    $("brought").replaceChildren();
    $("brought-part").hidden = true;
  });
}

// bring reads the files one after another, so that they keep their order.
async function bring(files) {
  $("brought-part").hidden = false;
  const lines = files.map(line);
  for (let i = 0; i < files.length; i++) await bringOne(files[i], lines[i], files.length === 1);
}

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

/** @param {Separation[]} left */
const leftOut = (left) => left.length ? `; no ink of ${left.map((s) => s.ink).join(", ")}, so no unit for it: bring it alone to have one` : "";

function line(file) {
  const bar = el("progress", { max: 1, value: 0, "aria-label": `Sending ${file.name}` });
  const text = el("span", {}, "waiting");
  $("brought").append(el("li", {}, el("span", { role: "status" }, el("strong", {}, `${file.name}:`), " ", text), " ", bar));
  return { bar, says: text };
}

async function bringOne(file, { bar, says }, alone) {
  const limit = store.offer.limits?.upload_bytes;
  if (limit && file.size > limit) return fail(bar, says, `It is larger than the ${Math.floor(limit / 2 ** 30)} GB the page takes; start bladeline serve with it on the command line.`);
  write(says, "being sent");
  try {
    const { separations = [], errors = [] } = await api.upload(file, (done) => {
      bar.value = done;
      if (done === 1) write(says, "being read");
    });
    const list = printing(separations, alone);
    const names = addToJob(list);
    if (errors.length) fail(bar, says, errors.map((e) => e.error).join(" "));
    else {
      bar.remove();
      write(says, `read: ${names.join(", ") || "nothing that prints"}${warned(list)}${leftOut(separations.filter((s) => !list.includes(s)))}`);
    }
  } catch (e) {
    fail(bar, says, e.message);
  }
}

/** @param {Separation[]} list */
const warned = (list) => {
  const all = list.flatMap((s) => s.warnings || []);
  return all.length ? `; warning: ${all.join("; ")}` : "";
};

function fail(bar, says, text) {
  bar.remove();
  says.classList.add("error");
  write(says, `not read. ${text}`);
}

// addToJob puts what was read on the job. A file that is brought again takes
// its own place, and its curve and sweep stay. It answers the inks' names.
/** @type {(separations: Separation[]) => string[]} */
function addToJob(separations) {
  const names = [];
  if (separations.length) store.change((state) => {
    const job = state.views.job;
    state.view = "job";
    store.leaveTrial(null);
    for (const s of separations) {
      state.unit = job.units.findIndex((u) => origin(state.separations[u.separation]) === origin(s));
      state.separations[s.id] = s;
      if (state.unit >= 0) job.units[state.unit].separation = s.id;
      else state.unit = job.units.push({ ...store.newUnit(s), ink: store.freeName(s.ink) }) - 1;
      names.push(job.units[state.unit].ink);
    }
  });
  return names;
}

/** @param {Separation | undefined} s */
const origin = (s) => s && JSON.stringify([s.file, s.page, s.channel]);
