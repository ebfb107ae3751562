// The worker that runs the program: first a module comes, then one request after another,
// and between them what the others of a crew have found. Go's own support script stands
// before this.

let answer;
const ready = new Promise((done) => { answer = done; });
globalThis.kneepointReady = () => answer();

// What the program has of its crew, by the number of a batch in the request under way.
// One result is dealt ahead, so that none waits for the page.
class Crew {
  constructor() {
    this.job = 0;
    this.jobs = new Map();
  }

  // of has what is known of a job. Others may be at it before this worker is.
  of(job) {
    if (!this.jobs.has(job)) this.jobs.set(job, { batches: new Map(), broken: null });
    return this.jobs.get(job);
  }

  begin(job) {
    this.jobs.delete(this.job);
    this.job = job;
  }

  batch(number, job = this.job) {
    const { batches } = this.of(job);
    if (!batches.has(number)) batches.set(number, { dealt: [], wanting: [], rows: [], count: 0 });
    return batches.get(number);
  }

  want(number, of) { postMessage({ crew: "deal", job: this.job, batch: number, of }); }

  // deal gives the next result to work out, -1 where none is left.
  deal(number, of) {
    const b = this.batch(number);
    if (!b.of) {
      b.of = of;
      this.want(number, of);
    }
    return this.soon((done) => { b.wanting.push(done); this.hand(number); });
  }

  hand(number) {
    const b = this.batch(number);
    while (b.dealt.length && b.wanting.length) {
      const i = b.dealt.shift();
      if (i >= 0) this.want(number, b.of);
      b.wanting.shift()(i);
    }
  }

  found(number, i, row) {
    postMessage({ crew: "found", job: this.job, batch: number, i, row });
    this.take(number, i, row);
  }

  take(number, i, row, job = this.job) {
    const b = this.batch(number, job);
    b.rows[i] = row;
    b.count++;
    if (b.count === b.of) b.complete?.(b.rows);
  }

  // all gives the results of the whole crew.
  all(number, of) {
    const b = this.batch(number);
    return b.count === of ? Promise.resolve(b.rows) : this.soon((done) => { b.complete = done; });
  }

  fail(message) { postMessage({ crew: "fail", job: this.job, message }); }

  // soon is a promise that breaks when the crew does.
  soon(by) {
    const { broken } = this.of(this.job);
    if (broken) return Promise.reject(broken);
    return new Promise((done, failed) => {
      this.breaks = failed;
      by(done);
    });
  }

  hear(data) {
    if (data.job < this.job) return;
    if (data.crew === "dealt") {
      this.batch(data.batch).dealt.push(data.i);
      this.hand(data.batch);
    } else if (data.crew === "found") this.take(data.batch, data.i, data.row, data.job);
    else {
      const known = this.of(data.job);
      known.broken = new Error(data.message);
      if (data.job === this.job) this.breaks?.(known.broken);
    }
  }
}

const crew = globalThis.kneepointCrew = new Crew();
let turn = ready;

onmessage = async ({ data }) => {
  if (data.module) {
    const go = new Go();
    go.run(await WebAssembly.instantiate(data.module, go.importObject));
    return;
  }
  if (data.crew) { crew.hear(data); return; }
  // One after another, since the crew's batches are those of one request.
  const { id, method, path, body, job } = data;
  const before = turn;
  turn = (async () => {
    await before;
    if (job) crew.begin(job);
    postMessage({ id, ...await globalThis.kneepointCall(method, path, body, Boolean(job)) });
  })();
};
