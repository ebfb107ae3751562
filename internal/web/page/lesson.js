// The lessons on the page: what is said, the task, whether the model accepts the answer.

import * as units from "./units.js";
import { element, button } from "./html.js";
import { say } from "./svg.js";
import { faultNames } from "./words.js";
import { lessons } from "./lessons.js";
import { Model } from "./asked.js";
import { Finder } from "./finder.js";

// What numbers are asked in, beside the page's own dimensions: [unit, SI of it].
const bare = { times: ["times", 1], count: ["", 1], percent: ["%", 0.01] };
const unitOf = (quantity) => bare[quantity] ?? [units.unit(quantity).name, units.unit(quantity).scale];
const printed = (quantity, v) => (bare[quantity] ? `${+(v / bare[quantity][1]).toFixed(quantity === "times" ? 1 : 0)} ${bare[quantity][0]}`.trim() : units.text(quantity, v));

export class Lesson {
  // page is what the page lets a lesson do; see main.js.
  constructor(panel, start, page, setup) {
    this.panel = panel;
    this.page = page;
    this.startButton = start;
    this.setup = setup;
    this.model = new Model({ document: page.document, car: page.car, original: () => this.original }, setup);
    this.at = null;
    this.before = null;
    this.teacher = false;
    start.addEventListener("click", () => this.list());
  }

  get open() { return !this.panel.hidden; }

  // borrowed says that the car on the page is a lesson's, or was and is on its way out.
  get borrowed() { return this.before !== null; }

  // fill prints the quantities in a text.
  fill(text) {
    const { shape } = this.page.car(), us = units.chosen() === "us";
    const area = (v) => (us ? `${(v / 0.0254 ** 2).toFixed(1)} in²` : `${(v * 1e4).toFixed(1)} cm²`);
    const own = {
      "area": () => area(shape.area_m2), "manual-area": () => area((Math.PI / 4) * shape.manual_bore_m ** 2),
      "manual-ratio": () => shape.manual_pedal_ratio.toFixed(1), "tank": () => this.model.tank,
      "easy": () => units.text("force", this.model.easy), "heavy": () => units.text("force", this.model.heavy),
      "shell": () => (us ? "half an inch" : "5 mm"), "altitude": () => (us ? "6500 ft" : "2000 m"),
    };
    return text.replace(/\{([a-z-]+)(?::([\d.]+))?\}/g, (_, what, v) => (v === undefined ? own[what]() : units.text(what, Number(v))));
  }

  // list shows all lessons.
  list() {
    this.page.lessonOpen(true);
    this.leaveCar();
    this.panel.removeAttribute("aria-busy");
    const title = element("h2", { id: "lesson-title", tabindex: "-1" }, "Seven lessons, ten minutes each");
    const items = lessons.map((l, i) => element("li", {}, button(l.title, () => this.begin(i)), element("span", {}, ` ${l.about}`)));
    const teacher = element("input", { type: "checkbox", id: "lesson-teacher" });
    teacher.checked = this.teacher;
    teacher.addEventListener("change", () => { this.teacher = teacher.checked; });
    this.show(title, element("ol", { class: "lessons" }, ...items),
      element("div", { class: "bar" }, element("label", { class: "tick" }, teacher, element("span", {}, "I teach: show the notes")), button("Close", () => this.end())));
  }

  show(title, ...rest) {
    this.panel.replaceChildren(title, ...rest);
    this.panel.hidden = false;
    title.focus({ preventScroll: true });
    this.panel.scrollIntoView({ block: "nearest" });
  }

  async begin(i) {
    this.before ??= this.page.own();
    await this.go(i, 0);
  }

  // go shows a step and puts its car on the page.
  async go(i, k) {
    const lesson = lessons[i], step = lesson.steps[k], turn = {};
    this.at = { i, k, lesson, step, turn };
    this.solved = false;
    this.since = null;
    this.leaveFinder();
    this.render();
    if (!step.keep || k === 0) {
      const car = await this.page.open(lesson.car);
      if (this.at?.turn !== turn || !car) return;
      this.original = car;
      this.page.hide(false);
      for (const change of step.set ?? []) {
        await this.page.change(...change);
        if (this.at?.turn !== turn) return;
      }
    }
    if (this.at?.turn !== turn) return;
    await this.page.stage(step.engine ?? "idle", step.manual ?? false, []);
    if (this.at?.turn !== turn) return;
    this.page.unveil(Boolean(lesson.unveil) && !step.shown);
    this.setReady(true);
    this.words();
  }

  // setReady says whether the step's car is on the page.
  setReady(on) {
    this.ready = on;
    this.panel.setAttribute("aria-busy", String(!on));
  }

  render() {
    const { i, k, lesson, step } = this.at;
    this.setReady(false);
    const last = k + 1 === lesson.steps.length;
    const title = element("h2", { id: "lesson-title", tabindex: "-1" }, lesson.steps.length > 1 ? `${lesson.title}, ${k + 1} of ${lesson.steps.length}: ${step.title}` : `${lesson.title} ${step.title}`);
    this.text = element("p", { class: "lesson-text" });
    this.look = element("p", { class: "look" });
    this.ask = this.unit = this.said = null;
    this.task = step.task ? this.taskOf(step.task) : null;
    const steps = element("div", { class: "bar" },
      button("Back", () => (k > 0 ? this.go(i, k - 1) : this.list())),
      last ? button("All lessons", () => this.list(), true) : button("Next", () => this.go(i, k + 1), true),
      button("End", () => this.end()));
    steps.lastChild.setAttribute("aria-label", "End the lesson");
    this.show(title, element("div", { class: "lesson-said" }, this.text, this.look), ...(this.task ? [this.task] : []), steps,
      ...(this.teacher ? [this.notesOf(lesson, step)] : []));
    this.words();
  }

  // words prints what depends on the units and on the car.
  words() {
    if (!this.at || !this.page.car()) return;
    const { step } = this.at;
    say(this.text, this.fill(step.text));
    this.look.replaceChildren(...(step.look ? [element("strong", {}, "Look at: "), step.look] : []));
    if (this.ask) say(this.ask, this.fill(step.task.ask));
    if (this.unit) say(this.unit, unitOf(step.task.quantity)[0]);
    this.finder?.units();
  }

  units() { this.words(); }

  // A task and how it is answered.
  taskOf(task) {
    this.ask = element("span", {});
    this.said = element("p", { class: "lesson-said-of", role: "status", id: "lesson-answered" });
    if (task.kind === "fault") {
      this.ask = null;
      this.finder = new Finder(this.page, this.model, this.setup);
      return this.finder.panel;
    }
    const box = element("div", { class: "task", "data-kind": task.kind });
    if (task.kind === "number") this.numberOf(task, box);
    else if (task.kind === "choice") this.choiceOf(task, box);
    else if (task.kind === "car") box.append(element("p", {}, this.ask), button("Check this car", () => this.check(() => this.checkCar(task)), true), this.said);
    else box.append(element("p", {}, element("strong", {}, "Do: "), this.ask), this.said);
    return box;
  }

  numberOf(task, box) {
    const input = element("input", { type: "text", inputmode: "decimal", id: "lesson-answer", autocomplete: "off" });
    this.unit = element("span", {});
    const check = () => this.check(() => this.checkNumber(task, input.value));
    input.addEventListener("keydown", (e) => { if (e.key === "Enter") check(); });
    const row = element("div", { class: "bar" }, input, this.unit);
    if (task.read) {
      row.append(button("Take the reading", () => {
        const frame = this.page.frame(), side = this.page.manual() ? frame.manual : frame, v = side[task.read] ?? frame[task.read];
        input.value = bare[task.quantity] ? String(Math.round(v / bare[task.quantity][1])) : units.number(task.quantity, v);
      }));
    }
    row.append(button("Check", check, true));
    box.append(element("label", { for: "lesson-answer" }, this.ask), row, this.said);
  }

  choiceOf(task, box) {
    const set = element("fieldset", { class: "options" }, element("legend", {}, this.ask));
    for (const [id, words] of task.options) set.append(element("label", { class: "tick" }, element("input", { type: "radio", name: "lesson-option", value: id }), element("span", {}, words)));
    box.append(set, element("div", { class: "bar" }, button("Check", () => this.check(() => this.checkChoice(task, set.querySelector("input:checked")?.value)), true)), this.said);
  }

  // check asks the model; only the answer to what is still on the page is said.
  async check(by) {
    const { turn } = this.at;
    if (!this.ready) return;
    say(this.said, "The model is asked…");
    let words;
    try {
      words = await by();
    } catch (e) {
      words = e.message;
    }
    if (this.at?.turn !== turn) return;
    if (words === "") this.answered(true);
    else this.answered(false, words);
  }

  answered(right, words) {
    this.solved = right;
    this.task.classList.toggle("solved", right);
    say(this.said, right ? `✓ ${this.at.step.task.kind === "do" ? "Done." : "Right."} ${this.at.step.task.right ?? ""}`.trim() : words ?? "");
  }

  async checkNumber(task, typed) {
    const [, scale] = unitOf(task.quantity), v = Number(typed.trim().replace(",", ".")) * scale;
    if (typed.trim() === "" || !Number.isFinite(v)) return `read ${JSON.stringify(typed.trim())}, want a number`;
    const truth = await task.truth(this.model), off = v - truth;
    if (Math.abs(off) <= Math.max(task.within * Math.abs(truth), task.least ?? 1e-9)) return "";
    return off > 0 ? "Not yet: that is too much. Try again on the page." : "Not yet: that is too little. Try again on the page.";
  }

  async checkChoice(task, chosen) {
    if (!chosen) return "Choose one first.";
    return chosen === await task.truth(this.model) ? "" : "The model says otherwise. Try it on the page.";
  }

  async checkCar(task) { return task.check(this.model); }

  // room is the time until something is read that must not be passed, in s.
  room(frame) { return this.finder?.room(frame) ?? Infinity; }

  // see looks whether what is to be done has been done.
  see(frame, pace) {
    this.finder?.see(frame);
    const task = this.at?.step.task;
    if (!this.ready || this.solved || task?.kind !== "do") return;
    if (!task.until(frame, { pace, knee: this.page.knee() })) {
      this.since = null;
      return;
    }
    this.since ??= frame.time_s;
    if (frame.time_s - this.since >= (task.still ?? 0)) this.answered(true);
  }

  notesOf(lesson, step) {
    const answer = element("p", { role: "status" });
    const asked = step.task && ["number", "choice", "fault"].includes(step.task.kind);
    const tell = async () => {
      say(answer, "The model is asked…");
      try { say(answer, await this.truthOf(step.task)); } catch (e) { say(answer, e.message); }
    };
    return element("details", { class: "notes" }, element("summary", {}, "Notes for the teacher"),
      element("ul", {}, ...lesson.notes.map((n) => element("li", {}, n))),
      ...(asked ? [button("What the model answers", tell), answer] : []));
  }

  async truthOf(task) {
    if (task.kind === "fault") return this.finder.hidden ? faultNames[this.finder.hidden] : "Type a number first.";
    const truth = await task.truth(this.model);
    return task.kind === "choice" ? task.options.find(([id]) => id === truth)?.[1] ?? String(truth) : printed(task.quantity, truth);
  }

  // leaveCar puts back what was on the page before the lessons. That stays noted until it is
  // there: another lesson that begins meanwhile must not take its forerunner's car for it.
  async leaveCar() {
    this.at = null;
    this.leaveFinder();
    this.setReady(false);
    this.page.unveil(false);
    if (this.borrowed) {
      const car = await this.page.open(this.before);
      if (this.at) return;
      if (car) this.before = null;
      await this.page.stage("idle", false, []);
    }
    // Not before: until then the fault is in the car on the page.
    this.page.hide(false);
  }

  leaveFinder() {
    this.finder?.leave();
    this.finder = null;
  }

  close() {
    this.panel.hidden = true;
    this.page.lessonOpen(false);
  }

  // end is over when the car is back.
  end(focus = true) {
    const back = this.leaveCar();
    this.close();
    if (focus) this.startButton.focus();
    return back;
  }

  // forgo ends a lesson whose car somebody has put another in the place of.
  forgo() {
    this.at = null;
    this.before = null;
    this.leaveFinder();
    this.page.unveil(false);
    this.page.hide(false);
    this.close();
  }
}
