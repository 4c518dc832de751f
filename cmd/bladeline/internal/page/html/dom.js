// Small helpers to make elements: every number and name goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

// $ is the element of an id, of whatever kind it is on the page.
/** @type {(id: string) => any} */
export const $ = (id) => document.getElementById(id);

// $$ are the elements that a selector finds.
/** @type {(selector: string) => any[]} */
export const $$ = (selector) => [...document.querySelectorAll(selector)];

export function el(tag, attributes = {}, ...children) {
  return dress(document.createElement(tag), attributes, children);
}

export function svg(tag, attributes = {}, ...children) {
  return dress(document.createElementNS(SVG, tag), attributes, children);
}

function dress(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
}

// put sets attributes of a drawing's part where they differ: the browser lays
// out anew whatever is set, be it to what it was.
export function put(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
  return node;
}

// renew makes a node's children anew where what they are made of differs.
export function renew(node, of, make) {
  const now = JSON.stringify(of);
  if (node.madeOf === now) return;
  node.madeOf = now;
  node.replaceChildren(...make());
}

// say has a status read out, even where it says what it said before.
export function say(node, text) {
  node.textContent = "";
  requestAnimationFrame(() => { node.textContent = text; });
}

// write sets a node's text where it differs, so that nothing is read out twice.
export function write(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

export const show = (value, digits = 1) => (value == null ? "–" : value.toFixed(digits));
// plural is a unit as it stands behind a number: one turn, and a part of one.
export const plural = (unit, value) => (value === 1 || (unit === "turn" && value > 0 && value < 1) ? unit : { notch: "notches", turn: "turns" }[unit] || unit);

// amount is a number with its unit, as it is read out.
export function amount(value, unit) {
  const digits = Number.isInteger(value) ? String(value) : show(value, 2).replace(/\.?0+$/, "");
  return `${digits} ${plural(unit, value)}`;
}

export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
export const round = (value, digits = 1) => Math.round(value * 10 ** digits) / 10 ** digits;
export const copy = (value) => JSON.parse(JSON.stringify(value));
export const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

// eachFrame makes of a function one that acts at once, and then at most once a
// frame, on what it was last called with. Its end acts on what is still waiting.
export function eachFrame(act) {
  let last = null, resting = false;
  const run = () => {
    const now = last;
    last = null;
    if (now !== null) act(now);
  };
  const call = (value) => {
    last = value;
    if (resting) return;
    resting = true;
    run();
    requestAnimationFrame(() => {
      resting = false;
      if (last !== null) call(last);
    });
  };
  return { call, end: run };
}

// stroke follows the pointer that went down on a part until it is let go. While
// it does, other fingers and a resting palm count for nothing. It answers
// whether it began.
const ends = ["pointerup", "pointercancel", "lostpointercapture"]; // a part that is taken away loses its capture unsaid
let pulling = false;
export const inStroke = () => pulling;
export function stroke(node, event, moved, ended) {
  if (pulling) return false;
  pulling = true;
  event.preventDefault();
  node.setPointerCapture(event.pointerId);
  const own = (act) => (e) => { if (e.pointerId === event.pointerId) act(e); };
  const move = own(moved), end = own((e) => {
    pulling = false;
    node.removeEventListener("pointermove", move);
    for (const name of ends) removeEventListener(name, end, true);
    ended(e);
  });
  node.addEventListener("pointermove", move);
  for (const name of ends) addEventListener(name, end, true);
  return true;
}

// hold keeps the page from scrolling under a finger that begins to pull where
// a stroke begins; anywhere else it scrolls.
export function hold(node, begins) {
  node.addEventListener("touchstart", (e) => { if (pulling || begins(e.changedTouches[0])) e.preventDefault(); }, { passive: false });
}

// unchanged is what a field says that keeps its value, for what it was given cannot be.
export function unchanged(field, name, value) {
  const { min, max, step } = field, a = step === "1" ? "a whole number" : "a number";
  const range = min && max ? ` from ${min} to ${max}` : min ? ` from ${min} on` : "";
  return `${name} ${value === "" ? "stays empty" : `stays at ${value}`}: it is ${a}${range}.`;
}

// numbersAlone keeps letters out of fields of numbers, of which a browser takes some
// and drops others without a word. A decimal comma is a point.
/** @param {InputEvent} event */
export function numbersAlone(event) {
  const field = /** @type {HTMLInputElement} */ (event.target);
  if (!field.matches?.("input[type=number]") || !event.data) return;
  if (event.data === ",") {
    event.preventDefault();
    document.execCommand("insertText", false, ".");
  } else if (/[^\d.,+\-eE\s]/.test(event.data)) {
    event.preventDefault();
    const status = field.closest("section, details")?.querySelector("[role=status], [role=alert]") ?? $("said");
    const name = field.getAttribute("aria-label") ?? field.closest("label")?.firstChild?.textContent.trim() ?? "This";
    say(status, `${name} is a number: ${event.data} is none.`);
  }
}

// textOf is a file's text, in UTF-8 or UTF-16, as spreadsheets save it.
/** @param {Blob} file */
export async function textOf(file) {
  const bytes = new Uint8Array(await file.arrayBuffer()), [a, b] = bytes;
  return new TextDecoder(a === 0xff && b === 0xfe ? "utf-16le" : a === 0xfe && b === 0xff ? "utf-16be" : "utf-8").decode(bytes);
}

// download hands bytes to the browser to be saved under a name.
export function download(blob, name) {
  const url = URL.createObjectURL(blob);
  const link = el("a", { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}
