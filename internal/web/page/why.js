// Why is it hard? From the complaint test by test to the fault. Where that stands is in
// the car's own document.

import * as api from "./api.js";
import { element } from "./html.js";
import { answers, plainly, without } from "./readings.js";
import { printFor } from "./customer.js";
import { show } from "./shown.js";
import { chosen } from "./units.js";
import { Work } from "./work.js";

const $ = (id) => document.getElementById(id);

const mostLog = 8 << 20;

export class Why {
  constructor(complaints, car) {
    this.car = car;
    this.complaints = complaints;
    this.work = new Work($("why-work"), "Simulating the car with every fault");
    this.logWork = new Work($("log-work"), "Fitting the model to the log");
    $("why-form").addEventListener("submit", (e) => { e.preventDefault(); this.next(); });
    $("why-cant").addEventListener("click", () => this.answer("can't tell"));
    $("why-back").addEventListener("click", () => this.back(false));
    $("why-anew").addEventListener("click", () => this.back(true));
    $("why-finish").addEventListener("click", () => this.go({ finish: true }));
    $("why-print").addEventListener("click", () => print());
    $("why-customer").addEventListener("click", () => printFor(this.asked.front[chosen()], [$("why-printed").textContent]));
    $("log-open").addEventListener("click", () => $("log-file").click());
    $("log-file").addEventListener("change", () => {
      const [file] = $("log-file").files;
      $("log-file").value = "";
      if (file) this.log(file);
    });
    this.asked = null;
    this.opening = 0;
  }

  // document is the text that the search goes on with: that of its last step, as long as
  // the car is what that step made of it.
  document() {
    const now = this.car.document();
    return this.step?.made === now.text ? { name: now.name, text: this.step.text } : now;
  }

  see() {
    if (this.opening > 0 || this.step?.made === this.car.document().text) return;
    this.turn = null;
    this.work.abort();
    this.asked = null;
    this.step = null;
    $("why-answer").hidden = true;
    $("log-answer").hidden = true;
    if (this.car.door() === "why") this.go({});
  }

  opened() {
    if (!this.asked) this.go({});
  }

  typed() {
    const choice = $("why-choices").querySelector("input[type=radio]:checked");
    const text = $("why-choices").querySelector("input[type=text]");
    return text ? text.value.trim() : choice?.value ?? "";
  }

  // next takes what was typed or chosen. Nothing is no answer: who cannot tell has a button.
  next() {
    const said = this.typed();
    if (said !== "" || !this.asked) return this.answer(said);
    this.slip($("why-choices").querySelector("input[type=text]") ? "Type what it reads, or press “Can’t tell”." : "Choose an answer first.");
    this.focus();
  }

  answer(text) {
    if (!this.asked) return this.go({});
    if (this.asked.question) return this.go({ answer: text });
  }

  back(all) {
    const { name, text } = this.document();
    return this.go({}, { name, text: without(text, all) });
  }

  slip(words) {
    $("why-problem").textContent = words;
    $("why-problem").hidden = false;
  }

  // go takes a step, and puts the car where it led. Nothing is shown before that: an answer
  // would be taken for one to the question before. Of two steps the later one counts.
  async go(step, from = this.document()) {
    const turn = this.turn = {}, had = document.activeElement;
    $("why-problem").hidden = true;
    try {
      const found = await this.work.run((more) => api.interview({ ...from, units: chosen(), ...step }, more));
      if (!found || this.turn !== turn) return;
      await this.move(from.name, found.document);
      if (this.turn !== turn) return;
      this.asked = found;
    } catch (e) {
      if (this.turn !== turn) return;
      // Whoever answers a question has no file and no line of it.
      this.slip("answer" in step ? api.told(e).replace(/^.*?:\d+: (reading\[\d+\]\.|diagnose\.)?/gm, "") : api.told(e));
      return;
    }
    this.put(this.asked);
    this.show();
    if (this.asked.diagnosis) $("why-answer-title").focus();
    else if ("answer" in step || (had !== document.body && had.getClientRects().length === 0)) this.focus();
  }

  async move(name, text) {
    if (this.step?.text === text) return;
    // A car of which nothing is said is put to the search as an empty table.
    const now = this.car.document().text;
    const same = text === now || now === "" && text.trim() === "[diagnose]";
    this.opening++;
    try {
      this.step = { text, made: same ? now : await this.car.open({ name, text }) };
    } finally {
      this.opening--;
    }
  }

  focus() { ($("why-choices").querySelector("input") ?? $("why-next")).focus(); }

  // put shows where the search stands.
  put({ question: q, read, leading, diagnosis, document: text }) {
    $("why-leading").textContent = leading;
    $("why-answer").hidden = !diagnosis;
    const { complaint: said, readings } = answers(text), words = this.complaints.find((c) => c.complaint === said)?.words;
    const given = [...(words ? [words] : []), ...readings];
    $("why-given").hidden = given.length === 0;
    $("why-given").querySelector("summary").textContent = given.length === 1 ? "What was answered" : `The ${given.length} answers so far`;
    $("why-given").querySelector("ol").replaceChildren(...given.map((g) => element("li", {}, g)));
    $("why-printed").textContent = given.length ? `Answered: ${given.map((g) => g.replace(/\.$/, "")).join("; ")}.` : "";
    $("why-question").hidden = !q;
    for (const id of ["why-next", "why-cant"]) $(id).hidden = !q;
    $("why-cant").hidden = !q || q.key === "complaint";
    for (const id of ["why-back", "why-finish", "why-anew"]) $(id).hidden = read === 0 && (!q || q.key === "complaint");
    if (q) this.putQuestion(q);
  }

  putQuestion(q) {
    const complaint = q.key === "complaint";
    $("why-text").textContent = complaint ? "What is wrong with the brakes?" : q.text;
    const choices = complaint ? this.complaints.map((c) => [c.complaint, c.words]) : q.answers.filter((a) => a !== "can't tell").map((a) => [a, a]);
    if (choices.length) {
      $("why-choices").replaceChildren(...choices.map(([value, words]) => (
        element("label", { class: "tick" }, element("input", { type: "radio", name: "why", value }), element("span", {}, words)))));
      return;
    }
    $("why-choices").replaceChildren(element("label", { for: "why-input" }, q.unit ? `What it reads (${q.unit})` : "How many"),
      element("input", { type: "text", id: "why-input", autocomplete: "off", inputmode: "text" }));
  }

  show() {
    if (this.asked?.diagnosis) show($("why-shown"), plainly(this.asked.diagnosis[chosen()]));
    if (this.fitted) show($("log-shown"), this.fitted[chosen()]);
  }

  // units asks the question anew in other units. What stands in its field already was meant
  // in those before, and is kept with their name.
  async units() {
    this.show();
    const q = this.asked?.question;
    if (this.car.door() !== "why" || !q || q.key === "complaint") return;
    const typed = this.typed(), problem = $("why-problem").hidden ? "" : $("why-problem").textContent;
    await this.go({});
    const now = this.asked?.question;
    if (now?.key !== q.key || typed === "") return;
    const text = $("why-choices").querySelector("input[type=text]");
    if (text) text.value = q.unit && /\d$/.test(typed) ? `${typed} ${q.unit}` : typed;
    else for (const radio of $("why-choices").querySelectorAll("input")) radio.checked = radio.value === typed;
    if (problem) this.slip(problem);
  }

  // log fits the model to a gauge's log.
  async log(file) {
    const trouble = (e) => {
      $("log-problem").textContent = api.told(e);
      $("log-problem").hidden = false;
      $("log-problem").scrollIntoView({ block: "nearest" });
    };
    $("log-problem").hidden = true;
    if (file.size > mostLog) { trouble({ message: `${file.name}: more than 8 MiB, want a log of at most 8 MiB` }); return; }
    try {
      const { name, text } = this.car.document();
      const log = await file.text();
      const found = await this.logWork.run((more) => api.fit({ name, text, log_name: file.name, log }, more));
      if (!found) return;
      this.fitted = found;
      this.show();
      $("log-answer").hidden = false;
      $("log-answer-title").focus();
    } catch (e) {
      trouble(e);
    }
  }
}
