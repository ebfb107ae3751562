// Why is it hard? From the complaint test by test to the fault. Where that stands is in
// the car's own document.

import * as api from "./api.js";
import { element } from "./html.js";
import { show } from "./shown.js";
import { chosen } from "./units.js";
import { Work } from "./work.js";

const $ = (id) => document.getElementById(id);

const mostLog = 8 << 20;

// without takes readings out of a scenario's text: the last one, or all with the complaint.
export function without(text, all) {
  const blocks = [[]];
  for (const line of text.split("\n")) {
    if (/^\s*\[/.test(line)) blocks.push([]);
    blocks.at(-1).push(line);
  }
  const reading = (b) => /^\s*\[\[\s*reading\s*\]\]/.test(b[0] ?? "");
  const last = blocks.findLastIndex(reading);
  const kept = blocks.filter((b, i) => !(reading(b) && (all || i === last)));
  const complaint = (line) => /^\s*complaint\s*=/.test(line);
  const drops = all || last < 0;
  const out = kept.map((b) => (drops && /^\s*\[\s*diagnose\s*\]/.test(b[0] ?? "") ? b.filter((l) => !complaint(l)) : b));
  return out.flat().join("\n");
}

export class Why {
  constructor(complaints, car) {
    this.car = car;
    this.complaints = complaints;
    this.work = new Work($("why-work"), "Simulating the car with every fault");
    this.logWork = new Work($("log-work"), "Fitting the model to the log");
    $("why-form").addEventListener("submit", (e) => { e.preventDefault(); this.answer(this.typed()); });
    $("why-cant").addEventListener("click", () => this.answer("can't tell"));
    $("why-back").addEventListener("click", () => this.back(false));
    $("why-anew").addEventListener("click", () => this.back(true));
    $("why-finish").addEventListener("click", () => this.go({ finish: true }));
    $("why-print").addEventListener("click", () => print());
    $("log-open").addEventListener("click", () => $("log-file").click());
    $("log-file").addEventListener("change", () => {
      const [file] = $("log-file").files;
      $("log-file").value = "";
      if (file) this.log(file);
    });
    this.asked = null;
  }

  // document is the text that the search goes on with: that of its last step, as long as
  // the car is what that step made of it.
  document() {
    const now = this.car.document();
    return this.step?.made === now.text ? { name: now.name, text: this.step.text } : now;
  }

  see() {
    if (this.opening || this.step?.made === this.car.document().text) return;
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

  answer(text) { if (this.asked?.question) return this.go({ answer: text }); }

  async back(all) {
    const { name, text } = this.document();
    await this.go({}, { name, text: without(text, all) });
  }

  // go takes a step, and puts the car where it led.
  async go(step, from = this.document()) {
    $("why-problem").hidden = true;
    let found;
    try {
      found = await this.work.run((more) => api.interview({ ...from, units: chosen(), ...step }, more));
    } catch (e) {
      $("why-problem").textContent = api.told(e);
      $("why-problem").hidden = false;
      return;
    }
    if (!found) return;
    this.asked = found;
    this.put(found);
    $("why-leading").textContent = found.leading;
    $("why-answer").hidden = !found.diagnosis;
    this.show();
    if (found.diagnosis) $("why-answer-title").focus();
    else if ("answer" in step) ($("why-choices").querySelector("input") ?? $("why-next")).focus();
    if (this.step?.text === found.document) return;
    // A car of which nothing is said is put to the search as an empty table.
    const now = this.car.document().text;
    const same = found.document === now || now === "" && found.document.trim() === "[diagnose]";
    this.opening = true;
    try {
      this.step = { text: found.document, made: same ? now : await this.car.open({ name: from.name, text: found.document }) };
    } finally {
      this.opening = false;
    }
  }

  // put shows the question.
  put({ question: q, read }) {
    $("why-question").hidden = !q;
    for (const id of ["why-next", "why-cant"]) $(id).hidden = !q;
    $("why-cant").hidden = !q || q.key === "complaint";
    for (const id of ["why-back", "why-finish", "why-anew"]) $(id).hidden = read === 0 && (!q || q.key === "complaint");
    if (!q) return;
    const complaint = q.key === "complaint";
    $("why-text").textContent = complaint ? "What is wrong with the brakes?" : q.text;
    const choices = complaint ? this.complaints.map((c) => [c.complaint, c.words]) : q.answers.filter((a) => a !== "can't tell").map((a) => [a, a]);
    if (choices.length) {
      $("why-choices").replaceChildren(...choices.map(([value, words], i) => {
        const input = element("input", { type: "radio", name: "why", value });
        input.checked = i === 0;
        return element("label", { class: "tick" }, input, element("span", {}, words));
      }));
      return;
    }
    $("why-choices").replaceChildren(element("label", { for: "why-input" }, q.unit ? `What it reads (${q.unit})` : "How many"),
      element("input", { type: "text", id: "why-input", autocomplete: "off", inputmode: "text" }));
  }

  show() {
    if (this.asked?.diagnosis) show($("why-shown"), this.asked.diagnosis[chosen()]);
    if (this.fitted) show($("log-shown"), this.fitted[chosen()]);
  }

  units() {
    this.show();
    if (this.car.door() === "why" && this.asked?.question && this.asked.question.key !== "complaint") this.go({});
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
