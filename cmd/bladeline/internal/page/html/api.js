// Everything the page asks of the server.

/** @import { Along, AlongQuestion, Brought, Computed, FilmRun, FormRow, Line, Open, Opened, Placement, Plate, PressEdit, Pull, Refusal, RehearseQuestion, Said, Separation, Settled, Solved, Start, State, Takes, Taking, Trial, Weighed } from "./types.js" */

const token = /** @type {HTMLMetaElement} */ (document.querySelector("meta[name=bladeline-token]")).content;

// tab names this tab, also behind a reload, so that what others bring does not
// push out its own.
const tab = sessionStorage.getItem("bladeline-tab") || [...crypto.getRandomValues(new Uint32Array(4))].join("-");
try {
  sessionStorage.setItem("bladeline-tab", tab);
} catch { /* the browser's store is full: a reload is another tab */ }

// Refused is a request the server answered with a sentence.
export class Refused extends Error {
  /** @param {number} status @param {Partial<Refusal>} answer */
  constructor(status, answer) {
    super(answer.error || `The server answered ${status}; load the page again.`);
    this.status = status;
    this.place = answer.place || "";
    this.computed = answer.computed || null;
  }
}

async function refuse(response) {
  throw new Refused(response.status, await response.json().catch(() => ({})));
}

async function reach(path, options) {
  let response;
  try {
    response = await fetch(path, options);
  } catch {
    throw new Refused(0, { error: "The server does not answer; start bladeline serve again and load the page anew." });
  }
  if (!response.ok) await refuse(response);
  return response;
}

function send(path, body, more = {}, signal = null) {
  return reach(path, {
    method: "POST",
    signal,
    headers: { "Content-Type": "application/json", "X-Bladeline-Token": token, "X-Bladeline-Tab": tab, ...more },
    body: JSON.stringify(body),
  });
}

// answer asks about a revision of the state. What comes back says which revision
// it is to; what is to another one is no answer.
async function answer(path, body, revision, signal = null) {
  const response = await send(path, body, { [REVISION]: revision }, signal);
  if (response.headers.get(REVISION) === String(revision)) return response.json();
  throw new Refused(0, { error: "What came back answers another question; load the page again." });
}

const REVISION = "X-Bladeline-Revision";

/** @type {() => Promise<Start>} */
export const start = async () => (await reach("/api/start")).json();
/** @type {(state: State, revision: number) => Promise<Computed>} */
export const preset = (state, revision) => answer("/api/preset", state, revision);
/** @type {(plate: Plate, revision: number) => Promise<Separation>} */
export const draw = (plate, revision) => answer("/api/draw", plate, revision);
/** @type {(question: AlongQuestion, revision: number) => Promise<Along>} */
export const along = (question, revision) => answer("/api/along", question, revision);
/** @type {(trial: Trial, revision: number) => Promise<Weighed>} */
export const score = (trial, revision) => answer("/api/score", trial, revision);
/** @type {(seed: string, revision: number) => Promise<FormRow>} */
export const row = (seed, revision) => answer("/api/row", { seed }, revision);

// The run on the roller train: what takes time ends with its signal.
/** @type {(question: RehearseQuestion, revision: number) => Promise<Line>} */
export const line = (question, revision) => answer("/api/rehearse/line", question, revision);
/** @type {(question: RehearseQuestion, revision: number, signal: AbortSignal) => Promise<Settled>} */
export const settled = (question, revision, signal) => answer("/api/rehearse/settled", question, revision, signal);
/** @type {(question: RehearseQuestion, revision: number, signal: AbortSignal) => Promise<FilmRun>} */
export const clean = (question, revision, signal) => answer("/api/rehearse/clean", question, revision, signal);
/** @type {(question: RehearseQuestion, revision: number, signal: AbortSignal) => Promise<Solved>} */
export const solved = (question, revision, signal) => answer("/api/rehearse/solved", question, revision, signal);
/** @type {(question: RehearseQuestion, revision: number, signal: AbortSignal) => Promise<Said>} */
export const said = (question, revision, signal) => answer("/api/rehearse/said", question, revision, signal);
/** @type {(question: RehearseQuestion, revision: number, signal: AbortSignal) => Promise<Pull>} */
export const pulled = (question, revision, signal) => answer("/api/rehearse/pulled", question, revision, signal);

// filename is that of a header: the one of all letters, if there is one (RFC 6266).
function filename(disposition) {
  const full = /filename\*=UTF-8''([^;]+)/i.exec(disposition);
  return full ? decodeURIComponent(full[1]) : /filename="?([^";]+)"?/.exec(disposition)?.[1];
}

// file is what is answered as one, with the name it should have.
const file = async (response, otherwise) => ({ blob: await response.blob(), name: filename(response.headers.get("Content-Disposition") || "") || otherwise });

/** @type {(as: string, state: State, unit: number, sheet?: { page_size: string, copies: string }) => Promise<{ blob: Blob, name: string }>} */
export const save = async (as, state, unit, sheet) => file(await send(`/api/save?${new URLSearchParams({ as, unit: String(unit), ...sheet })}`, state), `bladeline.${as}`);
export const drawn = async (id) => file(await reach(`/api/drawn?separation=${encodeURIComponent(id)}`), "drawn.png");

// picture answers a separation's picture in bench view, as an address.
/** @type {(id: string, placement: Placement) => Promise<string>} */
export async function picture(id, placement) {
  const query = new URLSearchParams({
    separation: id,
    lead_edge: placement.lead_edge,
    mirrored: String(placement.mirrored),
    dpi_x: String(placement.dpi_x ?? ""),
    dpi_y: String(placement.dpi_y ?? ""),
  });
  const response = await reach(`/api/picture?${query}`);
  return URL.createObjectURL(await response.blob());
}

/** @type {(question: Takes) => Promise<Taking>} */
export const takes = async (question) => (await send("/api/takes", question)).json();
/** @type {(question: Open) => Promise<Opened>} */
export const open = async (question) => (await send("/api/open", question)).json();
/** @type {(press: PressEdit) => Promise<Brought>} */
export const example = async (press) => (await send("/api/example", press)).json();

// upload sends files that belong together and tells how far they are, from 0 to 1.
/** @type {(files: File[], progress: (done: number) => void, page: number | null) => Promise<Brought>} */
export function upload(files, progress, page) {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    const body = new FormData();
    if (page) body.append("page", String(page));
    for (const file of files) body.append("file", file, file.name);
    request.open("POST", "/api/separations");
    request.setRequestHeader("X-Bladeline-Token", token);
    request.setRequestHeader("X-Bladeline-Tab", tab);
    request.responseType = "json";
    request.upload.addEventListener("progress", (e) => e.lengthComputable && progress(e.loaded / e.total));
    request.addEventListener("load", () => {
      const answer = request.response || {};
      if (request.status < 300 || answer.errors) resolve(answer);
      else reject(new Refused(request.status, answer));
    });
    request.addEventListener("error", () =>
      reject(new Refused(0, { error: "The file could not be sent; is bladeline serve still running?" })));
    request.send(body);
  });
}
