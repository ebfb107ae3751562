// What the page asks, whoever answers. A refusal is thrown as a Refusal.

import { ask, askFrame, fileAt, rehearse, thinking, warm } from "./carrier.js";

export class Refusal extends Error {
  constructor(status, body) {
    super(body.error ?? "the request failed");
    this.status = status;
    this.problems = body.problems ?? [];
  }
}

// told is what went wrong, for the reader: every problem of the input, or the one message.
export const told = (e) => (e.problems?.length ? e.problems.join("\n") : e.message);

const good = (status) => status >= 200 && status < 300;

async function answer(method, path, body, more) {
  const { status, text } = await ask(method, path, body, more);
  let said = {};
  try { said = JSON.parse(text); } catch { /* not ours */ }
  if (!good(status)) throw new Refusal(status, said);
  return said;
}

async function frame(path, body) {
  const { status, answer: said } = await askFrame(path, body);
  if (!good(status)) throw new Refusal(status, said);
  return said;
}

export function setup() { return answer("GET", "api/setup"); }

export async function create(document) {
  const made = await answer("POST", "api/drives", document);
  return { drive: new Drive(made.id), car: made.car };
}

// What takes its time is stopped by more.signal, and tells more.progress how far it is.
export function askPage(body, more) { return answer("POST", "api/ask", body, more); }
export function interview(body, more) { return answer("POST", "api/interview", body, more); }
export function fit(body, more) { return answer("POST", "api/fit", body, more); }

export { rehearse, thinking, warm };

// verb gives what the command line prints for a verb and a document, as an object.
export function verb(name, document, more) { return answer("POST", "api/verb", { verb: name, document }, more); }

globalThis.kneepoint = verb;

export class Drive {
  constructor(id) { this.path = `api/drives/${id}`; }
  step(dt, pedal, engine) { return frame(`${this.path}/step`, { dt_s: dt, pedal_n: pedal, engine }); }
  reset() { return answer("POST", `${this.path}/reset`, {}); }
  change(control, value, share) { return answer("POST", `${this.path}/change`, { control, value, ...(share === undefined ? {} : { share }) }); }
  open(document) { return answer("POST", `${this.path}/open`, document); }
  curve(signal) { return answer("GET", `${this.path}/curve`, undefined, { signal }); }
  knees(signal) { return answer("GET", `${this.path}/knees`, undefined, { signal }); }
  // advance steps a car that is not on the page, beside the one that is.
  advance(dt, pedal, engine) { return answer("POST", `${this.path}/step`, { dt_s: dt, pedal_n: pedal, engine }); }
  reserve(signal) { return answer("GET", `${this.path}/reserve`, undefined, { signal }); }
  file() { return fileAt(`${this.path}/file`); }
  close() { ask("POST", `${this.path}/close`, {}, { keepalive: true }).catch(() => {}); }
}
