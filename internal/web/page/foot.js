// The foot on the pedal: it rises while held up to a limit, falls when let go,
// and can be sent to a force by the tour.

export class Foot {
  constructor(pedal, keep) {
    this.force = 0;      // N
    this.limit = 250;    // N
    this.held = false;
    this.rest = 0;       // where the foot goes when not held
    this.plan = [];      // what the tour does: {to, takes}, one after the other
    this.keep = keep;
    this.onMoved = () => {};
    pedal.addEventListener("pointerdown", (e) => {
      if (e.button !== 0) return;
      e.preventDefault();
      pedal.focus({ preventScroll: true });
      pedal.setPointerCapture(e.pointerId);
      this.press();
    });
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) pedal.addEventListener(end, () => this.letGo());
    pedal.addEventListener("contextmenu", (e) => e.preventDefault());
    pedal.addEventListener("blur", () => this.letGo());
    window.addEventListener("blur", () => this.letGo());
    pedal.addEventListener("keydown", (e) => this.key(e));
    pedal.addEventListener("keyup", (e) => {
      if (e.key !== " " && e.key !== "Enter") return;
      e.preventDefault();
      this.letGo();
    });
    keep.addEventListener("change", () => {
      this.plan = [];
      this.rest = keep.checked ? Math.max(this.force, this.limit) : 0;
      this.onMoved();
    });
  }

  key(e) {
    const step = 10;
    switch (e.key) {
      case " ": case "Enter": if (!e.repeat) this.press(); break;
      case "ArrowDown": case "ArrowRight": this.stay(this.rest + step); break;
      case "ArrowUp": case "ArrowLeft": this.stay(this.rest - step); break;
      case "Escape": this.free(); break;
      default: return;
    }
    e.preventDefault();
  }

  press() { this.plan = []; this.held = true; this.onMoved(); }

  letGo() {
    if (!this.held) return;
    this.held = false;
    this.rest = this.keep.checked ? this.force : 0;
  }

  stay(force) {
    this.plan = [];
    this.rest = Math.max(0, Math.min(this.limit, force));
    this.keep.checked = this.rest > 0;
    this.onMoved();
  }

  free() { this.plan = []; this.held = false; this.rest = 0; this.keep.checked = false; }

  // send plans a list of {to, takes} for the tour.
  send(plan) { this.free(); this.plan = plan.map((p) => ({ ...p })); }

  // advance moves the foot for dt seconds and returns its force.
  advance(dt) {
    const rise = this.limit / 0.9, fall = Math.max(this.limit, this.force) / 0.3;
    while (this.plan.length > 0 && dt > 0) {
      const step = this.plan[0];
      const time = Math.min(dt, step.takes);
      if (step.takes > 0) this.force += (step.to - this.force) * (time / step.takes);
      step.takes -= time;
      dt -= time;
      if (step.takes > 1e-9) return this.force;
      this.force = step.to;
      this.rest = step.to;
      this.plan.shift();
    }
    const to = this.held ? this.limit : Math.min(this.rest, Math.max(this.limit, this.force));
    if (this.force < to) this.force = Math.min(to, this.force + rise * dt);
    else this.force = Math.max(to, this.force - fall * dt);
    return this.force;
  }
}
