// Something that takes its time: a bar of how far it is, and a way out.

import { element } from "./html.js";

export class Work {
  constructor(root, what) {
    this.bar = element("progress", { "aria-label": what });
    this.word = element("span", { class: "small" });
    this.stop = element("button", { type: "button" }, "Stop");
    this.line = element("div", { class: "work", hidden: "" }, this.bar, this.word, this.stop);
    this.said = element("p", { class: "hidden", "aria-live": "polite" });
    root.append(this.line, this.said);
    this.what = what;
    this.stop.addEventListener("click", () => this.abort());
    this.line.addEventListener("keydown", (e) => { if (e.key === "Escape") this.abort(); });
  }

  abort() { this.control?.abort(new DOMException("stopped", "AbortError")); }

  // run does something with {signal, progress}; what runs already is stopped for it. It
  // gives undefined where it was stopped itself.
  async run(something) {
    this.abort();
    const control = this.control = new AbortController();
    this.bar.removeAttribute("value");
    this.word.textContent = `${this.what} …`;
    this.said.textContent = `${this.what} …`;
    this.line.hidden = false;
    const progress = (done, of) => {
      if (control !== this.control) return;
      this.bar.max = of;
      this.bar.value = done;
      this.word.textContent = `${this.what}: ${done} of ${of} simulated`;
    };
    try {
      return await something({ signal: control.signal, progress });
    } catch (e) {
      if (control.signal.aborted) return undefined;
      throw e;
    } finally {
      if (control === this.control) {
        this.said.textContent = control.signal.aborted ? "Stopped." : "Done.";
        this.line.hidden = true;
        this.control = null;
      }
    }
  }
}
