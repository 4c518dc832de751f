// Weighs the keys that a learner set: the level and the profile apart, in words, and
// every try beside the ones before it.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as course from "./course.js";
import * as tries from "./tries.js";
import { $, write, show, amount, download, say } from "./dom.js";

/** @import { Weighed } from "./types.js" */

export function make() {
  $("quiz-weigh").addEventListener("click", weigh);
  $("quiz-worksheet").addEventListener("click", worksheet);
  $("learner").addEventListener("input", () => store.look((state) => { state.learner = $("learner").value; }));
  $("learner").addEventListener("change", tries.name);
}

let asking = ""; // what is being weighed: a second click on the same keys is the same try
let newest = 0; // the revision of the state that the answer which came last is to

async function weigh() {
  const { revision } = store;
  const trial = store.state.trial, state = store.sent(), asked = JSON.stringify([trial.keys, trial.sweep]);
  if (asking === asked) return;
  asking = asked;
  let found = { problem: "" };
  try {
    const answer = await api.score({ state, unit: store.state.unit, keys: trial.keys, sweep: trial.sweep }, revision);
    found = { answer, against: JSON.stringify(state), problem: "" };
  } catch (e) {
    found.problem = e.message;
  }
  if (asking === asked) asking = "";
  if (revision < newest || store.state.trial !== trial || asked !== JSON.stringify([trial.keys, trial.sweep])) return; // overtaken
  newest = revision;
  const again = store.weighed() !== null; // the same keys once more
  store.look((state) => {
    Object.assign(state.trial, found);
    if (found.answer) tries.keep(found.answer, again);
  });
}

async function worksheet() {
  try {
    const state = store.sent(), { blob, name } = await api.save("worksheet", { ...state, units: [state.units[store.state.unit]] }, 0, { page_size: $("page-size").value, copies: "" });
    download(blob, name);
    say($("said"), `${name} is saved where the browser keeps downloads; its answers are on a page of their own.`);
  } catch (e) {
    say($("said"), `Not saved. ${e.message}`);
  }
}

export function draw() {
  const { trial } = store.state, here = trial && compute.result && compute.unit();
  $("quiz-part").hidden = !here;
  $("bench").classList.toggle("pulling", !!here);
  if (!here) return;
  if (document.activeElement !== $("learner")) $("learner").value = store.state.learner;
  write($("quiz-form"), course.form() ? course.form().says : "");
  write($("quiz-said"), trial.problem || (course.form() && tries.wantName() ? "Whose try is this? Type the name; until then the list has it as no name’s." : ""));
  const answer = store.weighed(), kept = tries.draw();
  $("quiz-answer").hidden = !answer && !kept;
  for (const id of ["quiz-score", "quiz-verdict", "quiz-definition"]) $(id).hidden = !answer;
  if (answer) answered(answer);
}

/** @param {Weighed} answer */
function answered(answer) {
  write($("quiz-score"), `Score ${show(answer.score, 0)} of 100`);
  write($("quiz-verdict"), [sum(answer), profile(answer), level(answer), ...noted(answer)].join(" "));
  write($("quiz-definition"), answer.definition);
}

// sum says what the score is made of.
/** @param {Weighed} answer */
function sum({ wrong, untouched_wrong: untouched, profile_points: points, level_points: takes }) {
  if (points === undefined) return ""; // weighed before that was told
  const zones = wrong > 1 ? `${wrong} zones are` : `${wrong || "No"} zone is`, so = `${show(points, 0)} point${Math.round(points) === 1 ? "" : "s"}`;
  const level = takes ? `; the level takes ${show(takes, takes < 1 ? 1 : 0)} off` : points ? "; the level takes nothing off" : "";
  return `${zones} wrong, and ${untouched || "none"} with untouched keys: ${untouched ? so : `${so}, the share of those that are right`}${level}.`;
}

/** @param {Weighed} answer */
function profile({ profile_pct, zones }) {
  if (profile_pct === 100) return "Profile 100: beside one another all zones are right.";
  const of = (says, one, many) => {
    const wrong = zones.filter((z) => z.says === says).map((z) => z.zone);
    return wrong.length ? [`${spans(wrong)} ${wrong.length === 1 ? one : many}`] : [];
  };
  const parts = [...of("too much", "gets too much", "get too much"), ...of("too little", "gets too little", "get too little"), ...of("wide open", "is bare and fed all the same", "are bare and fed all the same")];
  return `Profile ${show(profile_pct, 0)}: beside the others ${parts.join("; ")}.`;
}

/** @param {Weighed} answer */
function level({ level_off_pct: off, right_sweep: right }) {
  const { sweep } = store.state.trial, { unit } = store.base().sweep;
  if (Math.abs(off) < 0.5) return "Level right.";
  const says = `Level ${off > 0 ? "+" : "−"}${show(Math.abs(off), 0)} %: all zones together get too ${off > 0 ? "much" : "little"}`;
  if (off <= 10 && off >= -100 / 11) return `${says}, which is near enough.`;
  return right === sweep ? `${says}, and no other sweep makes that better.` : `${says}; with these keys a sweep of ${amount(right, unit)} instead of ${amount(sweep, unit)} would be right.`;
}

// noted is what else is to be seen of the blade.
/** @param {Weighed} answer */
function noted({ zones }) {
  const held = (state) => zones.filter((z) => z.state === state).map((z) => z.zone), list = [];
  if (held("neighbour").length) list.push(`The blade, which bends only so far, holds ${spans(held("neighbour"))} wider open than set.`);
  if (zones.some((z) => z.off_pct != null && z.best > 100 * store.state.trial.sweep)) list.push("Some zones want more than a fully open key gives at this sweep: it takes a longer one.");
  return list;
}

// spans names zones: "zones 2, 5 to 8 and 11".
/** @param {number[]} zones */
export function spans(zones) {
  const parts = [];
  for (let i = 0; i < zones.length;) {
    let to = i;
    while (zones[to + 1] === zones[to] + 1) to++;
    if (to - i < 2) parts.push(...zones.slice(i, to + 1).map(String));
    else parts.push(`${zones[i]} to ${zones[to]}`);
    i = to + 1;
  }
  return zones.length === 1 ? `zone ${parts[0]}` : `zones ${parts.slice(0, -1).join(", ")}${parts.length > 1 ? " and " : ""}${parts.at(-1)}`;
}
