// What a lesson asks of the model: other cars than the one on the page, driven beside it.

import * as api from "./api.js";
import { chosen } from "./units.js";

const inch = 0.0254;

export class Model {
  // page: document(), car() as it is now, original() as the lesson began with. A foot's
  // force counts as easy or heavy as in the program's verdicts.
  constructor(page, { easy_n: easy, heavy_n: heavy }) {
    this.page = page;
    Object.assign(this, { easy, heavy });
    this.kept = new Map();
  }

  async car() { return this.page.car(); }

  // of has something asked of the page's car with changes, once.
  of(what, changes, ask) {
    const document = this.page.document(), key = JSON.stringify([what, changes, document.text]);
    if (!this.kept.has(key)) {
      const answer = this.make(document, changes, ask);
      answer.catch(() => this.kept.delete(key));
      this.kept.set(key, answer);
    }
    return this.kept.get(key);
  }

  async make(document, changes, ask) {
    const { drive } = await api.create(document);
    try {
      for (const change of changes) await drive.change(...change);
      return await ask(drive);
    } finally {
      drive.close();
    }
  }

  curve(changes = []) { return this.of("curve", changes, (drive) => drive.curve()); }
  reserve(changes = []) { return this.of("reserve", changes, (drive) => drive.reserve()); }
  press(force, changes = []) { return this.of(`press ${force}`, changes, (drive) => pressed(drive, force)); }

  // forceFor is the force of the foot that slows the car so.
  forceFor(slowing, manual = false) {
    return this.of(`force ${slowing} ${manual}`, [], async (drive) => {
      // Halved until the rest is a straight line.
      let low = [0, 0], high = [1000, Infinity];
      while (high[0] - low[0] > 32) {
        const force = (low[0] + high[0]) / 2, frame = await pressed(drive, force);
        const at = [force, (manual ? frame.manual : frame).deceleration_mps2];
        if (at[1] < slowing) low = at; else high = at;
      }
      return low[0] + ((slowing - low[1]) / (high[1] - low[1])) * (high[0] - low[0]);
    });
  }

  // bench takes a car through the bench test; it returns the readings in order.
  bench(steps, changes = []) {
    return this.of("bench", changes, async (drive) => {
      const out = [];
      let foot = 0, frame = await drive.reset();
      for (const step of steps) {
        for (const { to_n: to, takes_s: takes } of step.moves ?? []) {
          const n = Math.ceil(takes / (to === foot ? 0.25 : 0.1) - 1e-9), from = foot;
          for (let i = 1; i <= n; i++) frame = await drive.advance(takes / n, foot = from + (to - from) * (i / n), step.engine);
        }
        for (const r of step.reads) out.push(frame[r.key]);
      }
      return out;
    });
  }

  // changed says whether something else than some controls differs from the lesson's car.
  async changed(allowed) {
    const now = this.page.car(), was = this.page.original(), free = new Set(allowed);
    const value = (car, id) => car.controls.find((c) => c.id === id).value;
    return Boolean(now.fault)
      || (!free.has("kind") && now.kind !== was.kind) || (!free.has("circuits") && now.shape.dual !== was.shape.dual)
      || now.controls.some((c) => !free.has(c.id) && Math.abs(c.value - value(was, c.id)) > 1e-6 * Math.max(1, Math.abs(c.value)));
  }

  // What differs with the units: a tank, and the steps in which shells are made.
  get tank() { return chosen() === "us" ? "4 qt" : "4 L"; }
  get noTank() { return "0 L"; }
  get shellStep() { return chosen() === "us" ? inch / 2 : 5e-3; }
  shell(size) { return `${(size / inch).toFixed(4)} in`; }
}

// pressed goes down to a force in half a second and stays there until air has settled.
async function pressed(drive, force) {
  let frame = await drive.reset();
  if (force === 0) return frame;
  for (let i = 1; i <= 2; i++) frame = await drive.advance(0.25, (force * i) / 2, "idle");
  for (let i = 0; i < 10; i++) frame = await drive.advance(0.25, force, "idle");
  return frame;
}
