// The controls that change the car, and its file.

import { told } from "./api.js";
import { element } from "./html.js";
import { chosen } from "./units.js";
import { faultNames } from "./words.js";

function digits(step) { return Math.max(0, Math.ceil(-Math.log10(step) - 1e-9)); }

export class Garage {
  // act is what the page does: change(what), where what() gives control, value and share
  // when their turn has come, or nothing.
  constructor(root, setup, act) {
    this.root = root;
    this.act = act;
    this.sliders = new Map();
    this.setup = setup;
    this.kind = this.select("kind", "Booster", [["single", "one diaphragm"], ["tandem", "tandem: two of that size"], ["none", "none: manual"]], (v) => this.send("kind", v));
    this.circuits = this.select("circuits", "Brake circuits", [["dual", "two, from two pistons"], ["single", "one"]], (v) => this.send("circuits", v));
    this.fault = this.select("fault", "Something wrong", [["none", "nothing"], ...setup.faults.map((f) => [f.name, faultNames[f.name] ?? f.name])], (v) => this.send("fault", v));
    this.buildShare();
  }

  select(id, label, choices, chose) {
    const e = element("select", { id: `control-${id}` });
    for (const [value, words] of choices) e.append(element("option", { value }, words));
    const problem = element("div", { class: "problem", role: "alert", hidden: "" });
    const field = element("div", { class: "stack" }, element("label", { for: `control-${id}` }, label), e, problem);
    this.root.append(field);
    e.addEventListener("change", () => chose(e.value));
    this.sliders.set(id, { field, problem });
    return e;
  }

  buildShare() {
    const { field, problem } = this.sliders.get("fault");
    this.share = element("input", { type: "range", id: "control-share", min: "5", max: "100", step: "5", value: "50" });
    this.shareWord = element("output", { for: "control-share" });
    const slide = this.shareField = element("div", { class: "slide" }, element("label", { for: "control-share" }, "How bad"), this.shareWord, this.share);
    field.insertBefore(slide, problem);
    this.share.addEventListener("change", () => this.send("fault", this.fault.value, Number(this.share.value) / 100));
  }

  hiding = false;

  // show puts every control where the car has it; a fault that is hidden is not told.
  show(is) {
    const car = this.hiding ? { ...is, fault: null, faults: "" } : is;
    this.fault.disabled = this.hiding;
    for (const c of car.controls) this.showSlider(c, car);
    this.kind.value = car.kind;
    this.circuits.value = car.shape.dual ? "dual" : "single";
    this.fault.value = car.fault?.name ?? "none";
    this.shareField.hidden = !car.fault;
    if (car.fault) this.share.value = String(Math.round(car.fault.share * 20) * 5);
    this.shareWord.textContent = car.faults;
    this.share.setAttribute("aria-valuetext", car.faults);
    this.last = is;
  }

  showSlider(c, car) {
    let s = this.sliders.get(c.id);
    if (!s) s = this.addSlider(c);
    // Someone moved it on while the car was built: the car to come has what it shows.
    if (s.moved) return;
    const span = c[chosen()], v = c.value / span.scale;
    s.span = span;
    Object.assign(s.input, { min: Math.min(span.min, v), max: Math.max(span.max, v), step: "any", value: v });
    s.input.disabled = !car.shape.booster && ["vacuum", "diameter", "reservoir"].includes(c.id);
    this.word(s, v);
    if (s.input.disabled) s.output.textContent = "–";
    s.problem.hidden = true;
  }

  addSlider(c) {
    const id = `control-${c.id}`;
    const input = element("input", { type: "range", id, "aria-describedby": `${id}-note` });
    const output = element("output", { for: id });
    const problem = element("div", { class: "problem", role: "alert", hidden: "" });
    const field = element("div", { class: "slide" }, element("label", { for: id }, c.label), output, input,
      element("p", { class: "small", id: `${id}-note` }, c.note), problem);
    this.root.insertBefore(field, this.sliders.get("kind").field);
    const s = { field, input, output, problem };
    this.sliders.set(c.id, s);
    let later = 0;
    const send = () => {
      clearTimeout(later);
      this.sendWhat(c.id, () => {
        if (!s.moved) return null;
        s.moved = false;
        return [c.id, this.typed(s)];
      });
    };
    input.addEventListener("input", () => {
      const v = Math.round(Number(input.value) / s.span.step) * s.span.step;
      this.word(s, v);
      s.moved = true;
      clearTimeout(later);
      later = setTimeout(send, 180);
    });
    input.addEventListener("change", send);
    input.addEventListener("keydown", (e) => {
      const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 5, PageDown: -5 }[e.key];
      if (!by) return;
      e.preventDefault();
      const now = Math.round(Number(input.value) / s.span.step) + by;
      input.value = now * s.span.step;
      input.dispatchEvent(new Event("input"));
    });
    return s;
  }

  word(s, v) {
    s.value = v;
    const words = v.toFixed(Math.max(digits(s.span.step), v % 1 === 0 ? 0 : 1)) + (s.span.unit ? `\u00a0${s.span.unit}` : "");
    s.output.textContent = words;
    s.input.setAttribute("aria-valuetext", words);
  }

  // typed is the value as one would write it in a scenario.
  typed(s) { return `${+s.value.toFixed(4)}${s.span.unit ? " " + s.span.unit : ""}`; }

  send(control, value, share) { return this.sendWhat(control, () => [control, value, share]); }

  async sendWhat(control, what) {
    const problem = this.sliders.get(control).problem;
    problem.hidden = true;
    try {
      await this.act.change(what);
    } catch (e) {
      problem.textContent = told(e);
      problem.hidden = false;
    }
  }

  units() { if (this.last) this.show(this.last); }
}
