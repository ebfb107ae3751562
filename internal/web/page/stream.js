// A stream is a row of particles along a path, evenly apart, all at one speed.
// Without motion it is a line, as thick as the flow is strong.

import { make, set } from "./svg.js";

const apart = 56;

export class Stream {
  constructor(parent, name, most) {
    this.group = make("g", { class: "stream-of", "data-flow": name });
    this.line = make("path", { class: "stream", visibility: "hidden" });
    this.dots = [];
    this.offset = 0;
    this.most = most;
    this.group.append(this.line);
    parent.append(this.group);
    this.shown = 0;
    this.calm = matchMedia("(prefers-reduced-motion: reduce)");
  }

  // move carries the particles on along a path of points for dt seconds.
  move(path, speed, dt) {
    if (speed === 0) {
      this.hideFrom(0);
      this.line.setAttribute("visibility", "hidden");
      this.group.dataset.speed = "0";
      return;
    }
    this.group.dataset.speed = speed.toFixed(3);
    if (this.calm.matches) {
      this.hideFrom(0);
      set(this.line, { visibility: "visible", "stroke-width": Math.min(2 + Math.abs(speed) / 80, 14).toFixed(1), d: "M" + path.map((p) => p[0].toFixed(1) + " " + p[1].toFixed(1)).join("L") });
      return;
    }
    this.line.setAttribute("visibility", "hidden");
    this.offset = (((this.offset + speed * dt) % apart) + apart) % apart;
    let n = 0, along = this.offset;
    for (let i = 1; i < path.length; i++) {
      const [x0, y0] = path[i - 1], [x1, y1] = path[i];
      const length = Math.hypot(x1 - x0, y1 - y0);
      while (along < length && n < this.most) {
        const share = along / length;
        this.dot(n++, x0 + share * (x1 - x0), y0 + share * (y1 - y0));
        along += apart;
      }
      along -= length;
    }
    this.hideFrom(n);
  }

  dot(i, x, y) {
    if (i >= this.dots.length) {
      const c = make("circle", { class: "dot", r: 5.5 });
      this.dots.push(c);
      this.group.append(c);
    }
    const c = this.dots[i];
    if (i >= this.shown) {
      c.removeAttribute("visibility");
      this.shown = i + 1;
    }
    c.setAttribute("cx", x.toFixed(2));
    c.setAttribute("cy", y.toFixed(2));
  }

  hideFrom(n) {
    for (let i = n; i < this.shown; i++) this.dots[i].setAttribute("visibility", "hidden");
    this.shown = Math.min(this.shown, n);
  }
}
