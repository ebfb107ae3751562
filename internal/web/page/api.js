// What the page asks of the server. A refusal is thrown as a Refusal.

export class Refusal extends Error {
  constructor(status, body) {
    super(body.error ?? "the request failed");
    this.status = status;
    this.problems = body.problems ?? [];
  }
}

async function answer(response) {
  const text = await response.text();
  if (response.ok) return text;
  let body = {};
  try { body = JSON.parse(text); } catch { /* not ours */ }
  throw new Refusal(response.status, body);
}

async function post(path, body, more = {}) {
  return answer(await fetch(path, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), ...more,
  }));
}

const courier = new Worker(new URL("courier.js", import.meta.url), { type: "module" });

// fetchFrame has the courier ask; one request is under way at a time.
function fetchFrame(path, body) {
  return new Promise((done, failed) => {
    courier.onmessage = ({ data }) => {
      if (data.frame) done(data.frame);
      else if (data.refusal) failed(new Refusal(data.status, data.refusal));
      else failed(new Error(data.lost));
    };
    courier.onerror = () => failed(new Error("the courier is lost"));
    courier.postMessage({ path, body });
  });
}

export async function setup() { return JSON.parse(await answer(await fetch("api/setup"))); }

export async function create(document) {
  const made = JSON.parse(await post("api/drives", document));
  return { drive: new Drive(made.id), car: made.car };
}

export class Drive {
  constructor(id) { this.path = `api/drives/${id}`; }
  step(dt, pedal, engine) { return fetchFrame(`${this.path}/step`, { dt_s: dt, pedal_n: pedal, engine }); }
  async reset() { return JSON.parse(await post(`${this.path}/reset`, {})); }
  async change(control, value, share) { return JSON.parse(await post(`${this.path}/change`, { control, value, ...(share === undefined ? {} : { share }) })); }
  async open(document) { return JSON.parse(await post(`${this.path}/open`, document)); }
  async curve(signal) { return JSON.parse(await answer(await fetch(`${this.path}/curve`, { signal }))); }
  async reserve(signal) { return JSON.parse(await answer(await fetch(`${this.path}/reserve`, { signal }))); }
  get file() { return `${this.path}/file`; }
  close() { post(`${this.path}/close`, {}, { keepalive: true }).catch(() => {}); }
}
