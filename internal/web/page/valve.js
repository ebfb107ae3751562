// The valve under a lens: the upper half of a section through the two seats.
// The hub stands still in it; what moves is the poppet and the plunger.

import { make, set, say } from "./svg.js";
import { gas } from "./colours.js";
import { openness } from "./words.js";
import { Stream } from "./stream.js";

const cx = 808, cy = 122, radius = 104;
const widest = 46; // drawing units between seat and poppet, wide open

// gap enlarges small openings most: half the opening still shows as 0.7 of the gap.
function gap(open) { return widest * Math.sqrt(Math.max(0, Math.min(1, open ?? 0))); }

export class Lens {
  constructor(parent) {
    const clip = make("clipPath", { id: "lens-clip" }, make("circle", { cx, cy, r: radius }));
    this.all = make("g");
    this.leader = make("path", { class: "hint" });
    const inside = make("g", { "clip-path": "url(#lens-clip)" });
    const at = make("g", { transform: `translate(${cx} ${cy})` });
    this.outside = make("rect", { x: -radius, y: -radius, width: 2 * radius, height: 2 * radius });
    this.rear = make("rect", { x: -radius, y: -40, width: radius, height: 60 });
    this.front = make("rect", { x: -radius, y: -66, width: radius, height: 26 });
    this.bridge = make("rect", { y: -66, height: 82 });
    const hub = make("path", { class: "steel", d: "M-110-110H110V-70H-110Z" });
    const nose = make("path", { class: "steel", d: "M-110-44H-24Q-14-44-14-38Q-14-32-24-32H-110Z" });
    this.poppet = make("g");
    this.poppet.append(
      make("path", { class: "spring", d: "M16-58 26-64 38-50 50-64 62-50 74-64 86-50 110-58" }),
      make("rect", { class: "rubber", x: 0, y: -68, width: 15, height: 82, rx: 5 }));
    this.plunger = make("path", { class: "steel-dark", d: "M-240 14H-16V-2Q-16-8-8-8Q0-8 0-2V40H-20V58H-60V120H-240Z" });
    this.rod = make("path", { class: "steel", d: "M-20 44H150V70H-20Z" });
    at.append(this.outside, this.rear, this.front, this.bridge, hub, nose, this.rod, this.plunger, this.poppet);
    inside.append(at);
    this.air = new Stream(at, "air", 8);
    this.inner = new Stream(at, "inner", 8);
    this.all.append(clip, this.leader, inside, make("circle", { class: "lens", cx, cy, r: radius }));
    this.vacuumWord = make("text", { class: "end off-when-narrow", x: 696, y: 132 });
    this.airWord = make("text", { class: "end off-when-narrow", x: 696, y: 106 });
    this.all.append(this.airWord, this.vacuumWord,
      make("text", { class: "note end", x: 696, y: 156 }, "gaps drawn enlarged"));
    parent.append(this.all);
  }

  draw(frame, ambient, hubX, hubY, speed, dt) {
    const vacuumGap = gap(frame.vacuum_open), airGap = gap(frame.air_open);
    const poppet = -14 + vacuumGap, plunger = poppet - airGap;
    set(this.poppet, { transform: `translate(${poppet.toFixed(1)} 0)`, "data-gap": vacuumGap.toFixed(2) });
    set(this.plunger, { transform: `translate(${plunger.toFixed(1)} 0)`, "data-gap": airGap.toFixed(2) });
    this.rod.setAttribute("transform", `translate(${plunger.toFixed(1)} 0)`);
    const rear = gas(frame.working_vacuum_pa, ambient);
    this.outside.setAttribute("fill", gas(0, ambient));
    this.rear.setAttribute("fill", rear);
    set(this.bridge, { fill: rear, x: -14, width: Math.max(0, vacuumGap).toFixed(1) });
    this.front.setAttribute("fill", gas(frame.front_vacuum_pa, ambient));
    set(this.leader, { d: `M${hubX.toFixed(1)} ${hubY}L${cx - 62} ${cy + 84}` });
    this.air.move([[110, 28], [poppet + 24, 26], [poppet - airGap / 2, 20], [poppet - airGap / 2, 0], [-34, -18], [-110, -18]], speed.air, dt);
    this.inner.move([[-110, -18], [-30, -18], [poppet - vacuumGap / 2, -26], [poppet - vacuumGap / 2, -46], [-34, -55], [-110, -55]], speed.inner, dt);
    say(this.airWord, `air seat ${openness(frame.air_open)}`);
    say(this.vacuumWord, `vacuum seat ${openness(frame.vacuum_open)}`);
  }
}
