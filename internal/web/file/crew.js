// Workers that run the program inside this page. Some requests are answered by all of them
// together: each answers it from the start, and what takes long is dealt out among them,
// one result a message, and passed on to the others.

export class Hand {
  constructor(program, script) {
    this.program = program;
    this.script = script;
    this.waiting = new Map();
    this.next = 0;
    this.worker = this.started = null;
    this.hear = () => {};
  }

  // start has a worker ready, and gives it; a request does so too. Its thread and script
  // come up while the program is being compiled.
  start() { return this.started ??= this.launch(); }

  async launch() {
    const worker = this.worker = new Worker(this.script);
    worker.onmessage = ({ data }) => {
      if (data.crew) return this.hear(this, data);
      this.waiting.get(data.id)?.done(data);
      this.waiting.delete(data.id);
    };
    worker.onerror = (e) => this.end(new Error(e.message || "the program inside this page has stopped"));
    worker.postMessage({ module: await this.program });
    return worker;
  }

  call(method, path, body, job) {
    const id = ++this.next;
    return new Promise((done, failed) => {
      this.waiting.set(id, { done, failed });
      this.start().then((worker) => worker.postMessage({ id, method, path, body: body === undefined ? "" : JSON.stringify(body), job }), failed);
    });
  }

  tell(message) { this.worker?.postMessage(message); }

  end(why) {
    this.worker?.terminate();
    this.worker = this.started = null;
    for (const { failed } of this.waiting.values()) failed(why);
    this.waiting.clear();
  }
}

export class Crew {
  constructor(size, program, script) {
    this.hands = Array.from({ length: size }, () => new Hand(program, script));
    for (const h of this.hands) h.hear = (from, message) => this.hear(from, message);
    this.jobs = new Map();
    this.next = 0;
    this.under = 0;
  }

  start() { for (const h of this.hands) h.start().catch(() => {}); }

  // call has a request answered, by all where it is shared; progress is told how many
  // results of how many there are.
  async call(method, path, body, { signal, progress, shared } = {}) {
    signal?.throwIfAborted();
    const stop = () => this.end(signal.reason);
    signal?.addEventListener("abort", stop, { once: true });
    const job = shared ? ++this.next : 0;
    if (job) this.jobs.set(job, { batches: new Map(), progress });
    try {
      const calls = (job ? this.hands : [this.hands[0]]).map((h) => h.call(method, path, body, job));
      // All come to the same answer; that all are done with it is waited for too.
      return (await Promise.all(calls))[0];
    } finally {
      signal?.removeEventListener("abort", stop);
      this.jobs.delete(job);
    }
  }

  hear(from, { crew, job, batch, of, i, row, message }) {
    const known = this.jobs.get(job);
    if (!known) return;
    if (!known.batches.has(batch)) known.batches.set(batch, { dealt: 0, done: 0, of });
    const b = known.batches.get(batch);
    switch (crew) {
      case "deal":
        b.of = of;
        from.tell({ crew: "dealt", job, batch, i: b.dealt < of ? b.dealt++ : -1 });
        break;
      case "found":
        for (const h of this.hands) if (h !== from) h.tell({ crew: "found", job, batch, i, row });
        known.progress?.(++b.done, b.of);
        break;
      default:
        for (const h of this.hands) if (h !== from) h.tell({ crew: "fail", job, message });
    }
  }

  // end stops whatever is under way; the next request starts afresh from the same program.
  end(why) {
    for (const h of this.hands) h.end(why);
    this.start();
  }
}
