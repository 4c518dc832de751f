// Names the press that takes a form which does not lie on this fountain, and chooses it
// at a click.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import * as press from "./press.js";
import { $, write } from "./dom.js";

export function make() {
  $("press-fits").addEventListener("click", () => {
    press.choose($("press-fits").dataset.base);
    $("press").focus();
  });
}

let asked = ""; // the form and the press that were asked about last

export async function draw() {
  const beyond = !store.state.trial && compute.misfits().some((m) => m.left_mm || m.right_mm), { placement, units } = store.view();
  const about = beyond ? JSON.stringify([store.state.press, placement, units.map((u) => u.separation)]) : "";
  if (about === asked) return;
  asked = about;
  $("press-fits").hidden = true;
  if (!about) return;
  try {
    const { presses } = await api.takes({ placement, separations: units.map((u) => u.separation) });
    const found = store.presses().find((p) => p.base === presses.find((base) => base !== store.state.press.base));
    if (asked === about && found) offer(found.base, store.called(found));
  } catch { /* the message stands without it */ }
}

/** @type {(base: string, name: string) => void} */
function offer(base, name) {
  $("press-fits").dataset.base = base;
  write($("press-fits"), `Use ${name}, the narrowest press here that takes the form`);
  $("press-fits").hidden = false;
}
