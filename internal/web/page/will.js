// Will it work? The questions at the counter, and the page that answers them.

import * as api from "./api.js";
import { element } from "./html.js";
import { keep, recallJSON } from "./kept.js";
import { carOf, withSearchOf } from "./readings.js";
import { printFor } from "./customer.js";
import { show } from "./shown.js";
import { chosen } from "./units.js";
import { Work } from "./work.js";

const $ = (id) => document.getElementById(id);

// inWords is what a scenario has for a question, without the groups of its keys.
const inWords = (said) => said.replace(/(?:[a-z_]+\.)*([a-z_]+) = /g, (_, key) => `${key.replaceAll("_", " ")} `);

// What nobody knows is left out of what is sent.
const dontKnow = "don't know";

export class Will {
  // car is the one that all doors share: document() gives it, open(document) takes
  // another, press() goes to its pedal.
  constructor(questions, car) {
    this.car = car;
    this.work = new Work($("will-work"), "Asking the model");
    this.fields = new Map(questions.map((q, i) => [q.question, this.field(q, i)]));
    $("will-questions").append(...[...this.fields.values()].map((f) => f.item));
    $("will-form").addEventListener("submit", (e) => { e.preventDefault(); this.ask(); });
    $("will-clear").addEventListener("click", () => {
      for (const f of this.fields.values()) f.input.value = "";
      this.changed();
    });
    $("will-print").addEventListener("click", () => print());
    $("will-customer").addEventListener("click", () => printFor(this.front[chosen()], this.rests));
    $("will-press").addEventListener("click", () => car.press());
    // The answers over the car that they were given for, and the car that they made of it.
    this.over = recallJSON("answers");
    this.filled = false;
  }

  field(q, i) {
    const id = `answer-${i}`;
    const input = element("input", { type: "text", id, autocomplete: "off", spellcheck: "false", "aria-describedby": `${id}-for ${id}-said ${id}-slip`, placeholder: "don’t know" });
    const said = element("p", { class: "small", id: `${id}-said` });
    const slip = element("p", { class: "problem", id: `${id}-slip`, hidden: "" });
    const no = element("button", { type: "button" }, "Don’t know", element("span", { class: "hidden" }, `: ${q.ask}`));
    no.addEventListener("click", () => { input.value = dontKnow; this.changed(); });
    input.addEventListener("input", () => this.age());
    input.addEventListener("change", () => this.changed());
    const item = element("li", { class: "question" },
      element("label", { for: id }, q.ask),
      element("p", { class: "small", id: `${id}-for` }, `For: ${q.for}. For example: ${q.examples.join("; ")}.`),
      element("div", { class: "bar" }, input, no), said, slip,
      element("details", {}, element("summary", {}, "How to measure it", element("span", { class: "hidden" }, `: ${q.ask}`)), element("p", {}, q.how_to_measure + ".")));
    return { item, input, said, slip };
  }

  given() {
    return [...this.fields].map(([question, f]) => ({ question, answer: f.input.value.trim() })).filter((a) => a.answer !== "");
  }

  // base is what the answers are given over: the shared car, or what that was before the
  // answers made it what it is.
  base() {
    const now = this.car.document();
    return this.made(now.text) ? { name: now.name, text: withSearchOf(this.over.base, now.text) } : now;
  }

  // made says whether a text is the car that the answers made, however far the search for a
  // fault has gone in it since.
  made(text) { return Boolean(this.over) && carOf(this.over.made) === carOf(text); }

  // see takes in that the car is another one.
  see() {
    if (this.opening) return;
    const now = this.car.document();
    if (this.made(now.text)) {
      // Once: what is typed since is not to be lost with every step at another door.
      if (!this.filled) for (const { question, answer } of this.over.answers) if (this.fields.has(question)) this.fields.get(question).input.value = answer;
      this.filled = true;
    } else if (this.over) {
      this.over = null;
      keep("answers", null);
      for (const f of this.fields.values()) f.input.value = "";
      this.forget();
    }
    if (this.car.door() === "will") this.changed();
  }

  // Whoever answers questions first leaves the time to get ready.
  async opened() {
    await this.changed();
    api.rehearse();
  }

  forget() {
    $("will-answer").hidden = true;
    this.page = null;
  }

  // age marks an answer to something else than what stands in the fields now, on paper too.
  age() {
    const old = Boolean(this.page) && JSON.stringify(this.given()) !== this.page.given;
    $("will-old").hidden = !old;
    $("will-answer").classList.toggle("old", old);
    for (const id of ["will-print", "will-customer"]) $(id).disabled = old;
  }

  // changed has the answers read, one after the other.
  async changed() {
    this.age();
    this.later = true;
    if (this.reading) return;
    this.reading = true;
    try {
      while (this.later) {
        this.later = false;
        this.tell(await api.askPage({ ...this.base(), answers: this.given() }));
      }
    } catch { /* what is wrong is said when it is asked for */ } finally {
      this.reading = false;
    }
  }

  tell({ said, slips }) {
    let first = null;
    for (const [question, f] of this.fields) {
      f.said.textContent = said[question] ? `The car has ${inWords(said[question])}; an empty field keeps that.` : "";
      f.slip.hidden = !slips[question];
      f.slip.textContent = slips[question] ? `${question}: ${slips[question]}` : "";
      if (slips[question]) {
        f.input.setAttribute("aria-invalid", "true");
        first ??= f.input;
      } else f.input.removeAttribute("aria-invalid");
    }
    return first;
  }

  async ask() {
    const base = this.base(), answers = this.given();
    let found;
    try {
      found = await this.work.run((more) => api.askPage({ ...base, answers, page: true }, more));
    } catch (e) {
      this.car.problem(e);
      return;
    }
    if (!found) return;
    const slipped = this.tell(found);
    if (slipped) {
      slipped.focus();
      return;
    }
    this.page = { ...found.page, given: JSON.stringify(answers) };
    this.front = found.front;
    const open = [...this.fields].filter(([question]) => !found.said[question] && !answers.some((a) => a.question === question && a.answer !== dontKnow)).map(([question]) => question);
    const answered = $("will-answered").textContent = answers.length ? `Answered: ${answers.map((a) => `${a.question}: ${a.answer}`).join("; ")}.` : "Nothing was answered.";
    const known = Object.entries(found.said).filter(([question]) => !answers.some((a) => a.question === question));
    this.rests = [answered, known.length ? `Known of the car: ${known.map(([question, said]) => `${question}: ${inWords(said)}`).join("; ")}.` : "",
      open.length ? `Not known, so a usual figure stands in: ${open.join("; ")}.` : ""];
    this.show();
    this.age();
    $("will-answer").hidden = false;
    $("will-answer-title").focus();
    this.opening = true;
    try {
      const made = await this.car.open({ name: base.name, text: found.document });
      this.over = { base: base.text, answers, made };
      this.filled = true;
      keep("answers", JSON.stringify(this.over));
    } catch (e) {
      this.car.problem(e);
    } finally {
      this.opening = false;
    }
  }

  show() { if (this.page) show($("will-shown"), this.page[chosen()]); }
}
