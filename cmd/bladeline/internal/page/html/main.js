// Puts the page together: what is edited goes to the server, what comes back is
// drawn, and the light is put on it.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as link from "./link.js";
import * as bench from "./bench.js";
import * as along from "./along.js";
import * as lesson from "./lesson.js";
import * as curve from "./curve.js";
import * as points from "./points.js";
import * as sweep from "./sweep.js";
import * as press from "./press.js";
import * as table from "./table.js";
import * as why from "./why.js";
import * as head from "./head.js";
import * as files from "./files.js";
import * as job from "./job.js";
import * as overhang from "./overhang.js";
import * as fitting from "./fitting.js";
import * as questions from "./questions.js";
import * as opened from "./opened.js";
import * as settings from "./settings.js";
import * as save from "./save.js";
import * as paint from "./paint.js";
import * as shapetable from "./shapetable.js";
import * as projector from "./projector.js";
import * as quiz from "./quiz.js";
import * as rehearse from "./rehearse.js";
import * as fields from "./fields.js";
import * as weigh from "./weigh.js";
import * as course from "./course.js";
import * as classlist from "./classlist.js";
import * as prepared from "./prepared.js";
import * as locked from "./locked.js";
import { $, numbersAlone, write } from "./dom.js";

const parts = [head, job, questions, bench, overhang, fitting, opened, curve, lesson, points, sweep, press, table, why, save, paint, shapetable, projector, prepared, locked, fields, weigh, course, classlist, rehearse];
const ofZone = [bench, curve, lesson, why, rehearse]; // those that tell of one zone

// tellBusy says to a screen reader, and to a test, that more is to come.
const tellBusy = () => $("work").setAttribute("aria-busy", String(compute.busy || paint.busy || along.busy || rehearse.isBusy()));

// askAlong asks about the lit zone, behind all else.
const askAlong = () => along.ask(() => {
  for (const part of ofZone) part.draw();
  tellBusy();
});

async function ask() {
  bench.fetchPictures();
  const painted = paint.measure();
  if (paint.fits()) compute.ask(); // else when the plate is one for this press
  askAlong();
  rehearse.ask();
  tellBusy();
  await painted;
  head.draw(); // which says what kept the plate from being measured
  tellBusy();
}

function draw() {
  for (const part of parts) part.draw();
  document.body.dataset.drawn = String(Number(document.body.dataset.drawn || 0) + 1);
}

// lit redraws only what tells of one zone.
let litBefore = null;
function looked() {
  const only = store.state.lit !== litBefore;
  litBefore = store.state.lit;
  lesson.follow();
  if (only) {
    askAlong();
    rehearse.ask();
    for (const part of ofZone) part.draw();
    tellBusy();
  } else {
    hush();
    ask();
    draw();
  }
}

// what was said of an earlier edit is true no more.
const ofFields = ["press-said", "points-said", "paint-said", "sheet-said"];
const hush = (ids = ["said", ...ofFields]) => ids.forEach((id) => write($(id), ""));

function changed(kind) {
  if (quiz.follow()) return; // of which one is told as of a look
  if (kind === "look") return looked();
  if (kind !== "derive") hush();
  ask();
  if (kind === "derive") return;
  for (const part of store.state.trial ? parts : [head, job, questions, opened, curve, points, sweep, press, paint, shapetable]) part.draw();
}

function answered() {
  if (compute.error?.status === 410 && store.state.view === "drawn") paint.again();
  bench.fetchPictures();
  askAlong();
  rehearse.ask();
  if (!quiz.follow()) draw();
  queueMicrotask(tellBusy); // when it is known whether more was asked
}

async function begin() {
  try {
    const start = await api.start();
    store.open(start);
    write($("cautions"), start.cautions.replace(/^Cautions:\s*/, "").replace(/\s+/g, " "));
    for (const part of [head, job, questions, overhang, fitting, opened, curve, points, sweep, press, table, files, save, paint, shapetable, quiz, fields, weigh, course, classlist]) part.make?.();
    lesson.make(() => { for (const part of ofZone) part.draw(); });
    projector.make(draw);
    rehearse.make(() => {
      rehearse.draw();
      tellBusy();
    });
    settings.register({ isMine: classlist.isClassList, add: classlist.add });
    document.addEventListener("beforeinput", numbersAlone);
    document.addEventListener("input", () => hush(ofFields));
    link.watch();
    bench.watch();
    store.listen(changed);
    compute.listen(answered);
    litBefore = store.state.lit;
    draw();
    ask();
  } catch (e) {
    write($("said"), e.message);
    throw e;
  }
}

// The token in the address has done its work, and need not be seen or kept.
if (new URLSearchParams(location.search).has("token")) history.replaceState(null, "", location.pathname);
begin();
