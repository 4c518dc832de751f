// Saves the preset, the key sheet and the curve, the same bytes as the command
// line writes.

import * as api from "./api.js";
import * as store from "./state.js";
import * as compute from "./compute.js";
import { $, $$, download, say, unchanged, write } from "./dom.js";

export function make() {
  $("copies").addEventListener("change", () => {
    const field = $("copies"), right = field.checkValidity();
    write($("sheet-said"), right ? "" : unchanged(field, "Copies", ""));
    if (!right) field.value = "";
  });
  for (const button of $$("[data-save]")) {
    button.addEventListener("click", () => save(button.dataset.save));
  }
}

export function draw() {
  for (const button of $$("[data-save]")) button.disabled = !store.unit() || store.state.trial !== null || compute.isLost();
}

async function save(as) {
  try {
    const { blob, name } = await api.save(as, store.sent(), store.state.unit, { page_size: $("page-size").value, copies: $("copies").value });
    download(blob, name);
    say($("said"), `${name} is saved where the browser keeps downloads.`);
  } catch (e) {
    say($("said"), e.message === compute.wrong()?.message ? "Not saved: what is wrong stands at the top." : `Not saved. ${e.message}`);
  }
}
