// While keys are set by eye all else that keys follow from stays as it is: the curve,
// the press and how the form lies on it, the ink's name.

import * as store from "./state.js";
import { $, $$, write } from "./dom.js";

export function draw() {
  const locked = store.state.trial !== null;
  for (const fields of $$("fieldset.lockable")) fields.disabled = locked;
  $("curve-part").classList.toggle("locked", locked);
  document.documentElement.classList.toggle("unweighed", locked && !store.weighed()); // which prints with empty boxes
  write($("locked-said"), locked ? "The curve, the press and the ink stay as they are until you end the exercise." : "");
}
