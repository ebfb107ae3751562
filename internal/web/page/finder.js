// Finding a hidden fault: the teacher's number, the bench test, what it says of a sound
// car beside this one, and the guess.

import * as units from "./units.js";
import { element, button } from "./html.js";
import { say } from "./svg.js";
import { faultNames } from "./words.js";
import { draw, readNumber } from "./hidden.js";

// The shortest step that the model takes from a page, in s.
const shortest = 1e-3;

export class Finder {
  constructor(page, model, setup) {
    this.page = page;
    this.model = model;
    this.setup = setup;
    this.hidden = null;
    this.left = false;
    this.columns = new Map();
    this.rows = setup.bench.flatMap((b) => b.reads.map((r) => ({ ...r, when: b.when })));
    this.build();
  }

  build() {
    this.number = element("input", { type: "text", inputmode: "numeric", id: "lesson-number", autocomplete: "off" });
    this.said = element("p", { role: "status", id: "lesson-answered" });
    const hide = () => this.hide();
    this.number.addEventListener("keydown", (e) => { if (e.key === "Enter") hide(); });
    this.measure = button("Measure on the bench", () => this.begin(), true);
    this.guess = element("select", { id: "lesson-guess" }, new Option("…", ""), ...this.setup.findable.map((f) => new Option(faultNames[f], f)));
    this.table = element("table", { class: "bench" });
    this.search = element("div", { class: "stack", hidden: "" },
      element("p", {}, "The bench test presses the pedal for you, holds, lets go, stops the engine and waits 10 s; watch the drawing."),
      element("div", { class: "bar" }, this.measure), element("div", { class: "wide-table", role: "region", "aria-label": "Readings", tabindex: "0" }, this.table),
      element("div", { class: "bar" }, element("label", { for: "lesson-guess" }, "It is this:"), this.guess, button("Check", () => this.check(), true)));
    this.panel = element("div", { class: "task", "data-kind": "fault" },
      element("label", { for: "lesson-number" }, "The teacher's number"), element("div", { class: "bar" }, this.number, button("Hide the fault", hide, true)),
      this.search, this.said);
  }

  async hide() {
    let number;
    try {
      number = readNumber(this.number.value);
    } catch (e) {
      say(this.said, e.message);
      return;
    }
    if (!this.sound) this.sound = await this.model.bench(this.setup.bench);
    if (this.left) return;
    this.hidden = draw(number, this.setup.findable);
    this.run = null;
    this.page.hide(true);
    await this.page.change("fault", this.hidden);
    this.columns = new Map([["a sound car", this.sound]]);
    this.search.hidden = false;
    this.panel.classList.remove("solved");
    this.fill();
    say(this.said, `Fault number ${number} is in the car.`);
  }

  // begin drives the bench test on the page, from rest.
  async begin() {
    await this.page.stage("idle", false, []);
    if (this.left) return;
    this.run = { step: 0, end: 0, read: [] };
    this.measure.disabled = true;
    this.columns.set("this car", this.run.read);
    this.go(0);
  }

  go(now) {
    const step = this.setup.bench[this.run.step], moves = step.moves ?? [];
    this.page.engine(step.engine);
    this.run.end = now + moves.reduce((t, m) => t + m.takes_s, 0);
    if (moves.length) this.page.press(moves.map((m) => ({ to: m.to_n, takes: m.takes_s })));
    say(this.said, `Measuring: ${step.when}.`);
  }

  room(frame) { return this.run ? Math.max(shortest, this.run.end - frame.time_s) : Infinity; }

  // see reads the bench's figures as its steps end.
  see(frame) {
    if (!this.run || frame.time_s < this.run.end - shortest) return;
    const step = this.setup.bench[this.run.step];
    for (const r of step.reads) this.run.read.push(frame[r.key]);
    this.fill();
    if (++this.run.step < this.setup.bench.length) this.go(frame.time_s);
    else this.stop("Measured. What differs from the sound car?");
  }

  stop(words) {
    this.run = null;
    this.measure.disabled = false;
    say(this.said, words);
  }

  async check() {
    const guess = this.guess.value;
    if (!guess) return say(this.said, "Choose one first.");
    say(this.said, "The model is asked…");
    this.columns.delete(this.guessed);
    if (guess === this.hidden) {
      this.fill();
      this.page.hide(false);
      this.panel.classList.add("solved");
      return say(this.said, `✓ Right: ${faultNames[guess].toLowerCase()}. The drawing rings where it sits.`);
    }
    // The page's car has the hidden fault; the guess takes its place on a car beside it.
    const reads = await this.model.bench(this.setup.bench, [["fault", guess]]);
    if (this.left) return;
    this.guessed = `if: ${faultNames[guess].toLowerCase()}`;
    this.columns.set(this.guessed, reads);
    this.fill();
    say(this.said, "Not this one: the last column is what a car with it reads. Which figure does not fit?");
  }

  fill() {
    const names = [...this.columns.keys()];
    const head = element("tr", {}, element("th", { scope: "col" }, "Reading"), ...names.map((n) => element("th", { scope: "col" }, n)));
    const rows = this.rows.map((r, i) => element("tr", {}, element("th", { scope: "row" }, `${r.when}: ${r.name}`),
      ...names.map((n) => {
        const v = this.columns.get(n)[i], other = v !== undefined && n !== "a sound car" && Math.abs(v - this.sound[i]) >= 2 * r.notice;
        return element("td", other ? { class: "off" } : {}, v === undefined ? "" : units.text(r.unit, v) + (other ? " ≠" : ""));
      })));
    this.table.replaceChildren(element("caption", {}, "≠ differs so that you would notice"), element("thead", {}, head), element("tbody", {}, ...rows));
  }

  units() { if (this.columns.size) this.fill(); }

  // leave has nothing more happen to the car: what the model is asked still may answer when
  // another car is on the page.
  leave() {
    this.left = true;
    this.run = null;
  }
}
