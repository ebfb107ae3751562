// Carries what the page asks to the program inside it: WebAssembly in workers. One drives
// the car; a verb that takes its time has another, so that the pedal goes on.

const held = (id) => document.getElementById(id).textContent;

// What is too old says so in one sentence.
function missing() {
  if (typeof WebAssembly !== "object") return "WebAssembly";
  if (typeof DecompressionStream !== "function") return "DecompressionStream";
  return "";
}

async function unpack() {
  const lack = missing();
  if (lack) throw new Error(`This browser is too old for the program inside this page: it has no ${lack}.`);
  const text = held("program").trim();
  const bytes = typeof Uint8Array.fromBase64 === "function" ? Uint8Array.fromBase64(text)
    : Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

const program = unpack();
const script = URL.createObjectURL(new Blob([held("worker")], { type: "text/javascript" }));

class Hand {
  constructor() {
    this.waiting = new Map();
    this.next = 0;
    this.worker = null;
  }

  // call has the worker answer, and starts it if there is none.
  async call(method, path, body, signal) {
    const module = await program;
    signal?.throwIfAborted();
    if (!this.worker) {
      this.worker = new Worker(script);
      this.worker.onmessage = ({ data }) => {
        this.waiting.get(data.id)?.done(data);
        this.waiting.delete(data.id);
      };
      this.worker.onerror = (e) => this.end(new Error(e.message || "the program inside this page has stopped"));
      this.worker.postMessage({ module });
    }
    const id = ++this.next;
    return new Promise((done, failed) => {
      this.waiting.set(id, { done, failed });
      this.worker.postMessage({ id, method, path, body: body === undefined ? "" : JSON.stringify(body) });
      signal?.addEventListener("abort", () => this.abort(signal), { once: true });
    });
  }

  // abort ends what takes too long; the next call starts afresh from the same program.
  abort(signal) {
    if (this.keeps || this.waiting.size === 0) return;
    this.end(signal.reason);
  }

  end(why) {
    this.worker?.terminate();
    this.worker = null;
    for (const { failed } of this.waiting.values()) failed(why);
    this.waiting.clear();
  }
}

const driver = new Hand(), thinker = new Hand();
driver.keeps = true; // the car is in it

export async function ask(method, path, body, { signal } = {}) {
  const { status, body: text } = await (path === "api/verb" ? thinker : driver).call(method, path, body, signal);
  return { status, text };
}

export async function askFrame(path, body) {
  const { status, text } = await ask("POST", path, body);
  return { status, answer: JSON.parse(text) };
}

export async function fileAt(path) {
  const { text } = await ask("GET", path);
  return URL.createObjectURL(new Blob([text], { type: "application/toml" }));
}
