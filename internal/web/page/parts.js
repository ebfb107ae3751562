// The parts of the drawing: where each is, what it does, and what it is doing now.

import { make, set, say } from "./svg.js";
import { text } from "./units.js";
import { openness, portPassed } from "./words.js";

const axis = 360;

const between = (f) => text("vacuum", f.front_vacuum_pa - f.working_vacuum_pa);
const flowing = (kgps, yes, no) => ((kgps ?? 0) > 0.02e-3 ? yes : no);
const pressure = (v) => text("pressure", Math.max(0, v));

// partsOf lists what a car has. half is half the height of the booster in the drawing.
// now has the frame with the pressures of the side that is driven: front, rear.
export function partsOf(shape, half) {
  const top = axis - half, tank = shape.reservoir_m3 > 0;
  const road = (side) => (side.front_locked && side.rear_locked ? "All wheels are locked: they slide." : side.front_locked ? "The front wheels are locked: the car no longer steers." : side.rear_locked ? "The rear wheels are locked: the car may spin." : "All wheels turn.");
  const drums = [shape.residual_front && "front", shape.residual_rear && "rear"].filter(Boolean).join(" and ");
  const booster = [
    { id: "air-seat", name: "Valve: air seat", x: 690, y: axis + 24, does: "opens as the rod moves in, and lets outside air in behind the diaphragm.", now: (f) => `Now ${openness(f.air_open)}.` },
    { id: "vacuum-seat", name: "Valve: vacuum seat", x: 672, y: axis - 30, does: "joins the two chambers when open; the rod shuts it first.", now: (f) => `Now ${openness(f.vacuum_open)}.` },
    { id: "filter", name: "Air filter", x: 806, y: axis - 22, does: "keeps dust out of the air that comes in; a foam ring at the end of the tube.", now: (f) => flowing(f.air_flow_kgps, "Air is passing it.", "No air is passing.") },
    { id: "shell", name: "Booster shell", x: 560, y: top + 4, does: "holds the chambers, airtight.", now: (f) => `Vacuum in front ${text("vacuum", f.front_vacuum_pa)}, behind ${text("vacuum", f.working_vacuum_pa)}.` },
    { id: "diaphragm", name: shape.tandem ? "Two diaphragms, one behind the other" : "Diaphragm", x: 652, y: axis - half * 0.55, does: shape.tandem ? "carry the difference in pressure between two pairs of chambers to the same rod: twice the area in the same width." : "turns the difference in pressure between the chambers into a push.", now: (f) => `The difference across it is ${between(f)}.` },
    { id: "return-spring", name: "Return spring", x: 500, y: axis - 62, does: "pushes the diaphragm back.", now: (f) => (f.hub_m > 2e-4 ? "Squeezed by the diaphragm's travel." : "At its longest: the diaphragm is home.") },
    { id: "reaction-disc", name: "Reaction disc", x: 586, y: axis + 20, does: "a rubber disc that gives a share of the output back to the foot: so you feel how hard you brake.", now: (f) => `Output ${text("force", f.output_n)} for ${text("force", f.input_n)} on the rod.` },
    { id: "pushrod", name: "Pushrod", x: 470, y: axis, does: "passes the push of foot and booster to the master cylinder.", now: (f) => `It carries ${text("force", f.output_n)}.` },
  ];
  const supply = [
    { id: "check-valve", name: "Check valve", x: 456, y: Math.min(150, top - 28), does: "lets air out to the engine, never back: it keeps the vacuum when the engine stops.", now: (f) => flowing(f.check_flow_kgps, "Open: air leaves the booster.", "Shut: it holds what vacuum there is.") },
    { id: "hose", name: "Vacuum hose", x: 400, y: 76, does: "carries air from the booster to the engine.", now: (f) => flowing(f.hose_flow_kgps, "Air is being drawn through it.", "Nothing flows in it.") },
  ];
  // The way of a press, from the pedal to the road; then where the vacuum comes from.
  return [
    { id: "pedal", name: "Pedal", x: 930, y: 330, does: "a lever: it multiplies the force of the foot.", now: (f) => `${text("force", f.pedal_n)} on the pad, ${text("length", f.pedal_travel_m)} of travel.` },
    ...(shape.booster ? booster : []),
    { id: "primary-piston", name: "Primary piston and its cup", x: 376, y: axis + 12, does: "presses the fluid of the front circuit; its rubber cup seals it.", now: (f, side) => `It has moved ${text("length", side.piston_m)}.` },
    ...(shape.dual ? [{ id: "secondary-piston", name: "Secondary piston and its cups", x: 286, y: axis + 8, does: "floats between the circuits, so that one that fails leaves the other.", now: (f, side) => `It has moved ${text("length", side.floater_m)}.` }] : []),
    { id: "ports", name: "Compensating ports", x: 324, y: axis - 48, does: "join fluid and reservoir while the pedal is free; the cup passes them first.", now: (f, side) => (side.piston_m > portPassed ? "Passed: the fluid is shut in." : "Open: the lines breathe into the reservoir.") },
    { id: "reservoir", name: shape.dual ? "Divided fluid reservoir" : "Fluid reservoir", x: 232, y: axis - 84, does: shape.dual ? "feeds both circuits, each from its own half." : "feeds the circuit.", now: () => "Under no pressure." },
    { id: "lines", name: "Brake lines", x: 150, y: 420, does: "carry the pressure to the wheels.", now: (f, side) => `Front ${pressure(side.line_front_pa)}, rear ${pressure(side.line_rear_pa)}.` },
    ...(drums ? [{ id: "residual-valve", name: `Residual valve, ${drums}`, x: shape.residual_rear ? 207 : shape.dual ? 300 : 170, y: shape.residual_rear ? 404 : 420, does: "keeps a little pressure in the line after a stop, so that the cups at the wheel stay spread.", now: (f, side) => (side.line_front_pa > 2e5 ? "Open: the press passes it." : "Shut: it holds its little pressure.") }] : []),
    ...(shape.meters ? [{ id: "metering-valve", name: "Metering valve", x: 128, y: 420, does: "holds the front discs back until the rear shoes touch their drums.", now: (f, side) => (side.line_front_pa > 2e5 ? "Pressure stands before it." : "No pressure yet.") }] : []),
    ...(shape.proportions ? [{ id: "proportioning-valve", name: "Proportioning valve", x: 207, y: 440, does: "holds the rear pressure back in a hard stop, when weight leaves the rear wheels.", now: (f, side) => (side.line_rear_pa < 0.97 * side.line_front_pa && side.line_front_pa > 2e5 ? "The rear line has less than the front." : "Both lines have the same pressure.") }] : []),
    { id: "front-brake", name: shape.front_brake === "disc" ? "Front caliper and disc" : "Front drum", x: 92, y: 500, does: "turns pressure into friction.", now: (f, side) => `${pressure(side.line_front_pa)}; the car slows by ${text("acceleration", side.deceleration_mps2)}.` },
    { id: "rear-brake", name: shape.rear_brake === "disc" ? "Rear caliper and disc" : "Rear drum", x: 250, y: 500, does: "turns pressure into friction.", now: (f, side) => `${pressure(side.line_rear_pa)}.` },
    { id: "road", name: "Tyres and road", x: 171, y: 548, does: "a tyre holds in proportion to the weight on it; slowing moves weight to the front wheels, as the bars under them show.", now: (f, side) => `${Math.round(100 * side.front_load)} % of the weight is on the front axle. ${road(side)}` },
    ...(shape.booster ? supply : []),
    ...(tank ? [{ id: "tank", name: "Vacuum tank", x: 318, y: 76, does: "keeps vacuum for more stops.", now: (f) => `Vacuum ${text("vacuum", f.reservoir_vacuum_pa)}.` }] : []),
    ...(shape.pump ? [{ id: "pump", name: "Vacuum pump and its check valve", x: 404, y: 168, does: "draws air out where the engine gives too little; its own check valve keeps air from coming back through it.", now: (f) => flowing(f.pump_flow_kgps, "Running.", "Not drawing.") }] : []),
    { id: "source", name: shape.engine ? "Engine's manifold" : "Vacuum source", x: 110, y: 60, does: "draws air out: its vacuum is all the help there can be.", now: (f) => `Vacuum ${text("vacuum", f.manifold_vacuum_pa)}.` },
  ];
}

// Where each fault sits.
export const seatOf = {
  "check-valve-leak": "check-valve", "check-valve-stuck": "check-valve", "hose-leak": "hose", "hose-restricted": "hose",
  "front-shell-leak": "shell", "diaphragm-torn": "diaphragm", "air-seat-leak": "air-seat", "vacuum-seat-leak": "vacuum-seat",
  "filter-blocked": "filter", "low-source-vacuum": "source", "booster-undersized": "shell", "pedal-ratio-wrong": "pedal",
  "pedal-binds": "pedal", "bore-oversize": "primary-piston", "pushrod-too-long": "pushrod", "pushrod-too-short": "pushrod",
  "air-in-circuit": "lines", "master-bypass": "primary-piston", "return-port-covered": "ports", "outside-leak": "lines",
  "fluid-boiled": "front-brake", "hose-swollen": "lines", "hose-blocked": "lines", "line-blocked": "lines",
  "caliper-seized": "front-brake", "linings-glazed": "front-brake", "shoes-out-of-adjustment": "rear-brake",
};

// Parts puts a mark on every part, to be tapped, hovered or reached with the arrow
// keys, and tells of the one that is chosen.
export class Parts {
  constructor(svg, told, list, always) {
    this.told = told;
    this.list = list;
    this.layer = make("g", { class: "parts", role: "toolbar", "aria-label": "Parts of the drawing: arrow keys go from one to the next" });
    svg.append(this.layer);
    this.layer.addEventListener("keydown", (e) => this.key(e));
    this.always = always;
    always.addEventListener("change", () => this.showAll());
  }

  build(shape, half, fault) {
    this.of = partsOf(shape, half);
    this.chosen = this.frame = this.side = null;
    this.layer.replaceChildren();
    this.list.replaceChildren();
    this.of.forEach((p, i) => this.add(p, i));
    this.mark(fault);
    this.showAll();
    this.tell();
  }

  add(p, i) {
    const g = make("g", { class: "part", role: "button", tabindex: i === 0 ? "0" : "-1", "aria-label": `${p.name}: ${p.does}`, "data-part": p.id, transform: `translate(${p.x} ${p.y})` });
    g.append(make("circle", { class: "reach", r: 26 }), make("circle", { class: "ring", r: 15 }), make("text", { class: "mid", y: 5, "aria-hidden": "true" }, String(i + 1)));
    g.addEventListener("pointerenter", (e) => { if (e.pointerType === "mouse") this.choose(i); });
    g.addEventListener("click", () => {
      this.choose(i);
      this.told.scrollIntoView({ block: "nearest" }); // on a phone it is below the window
    });
    g.addEventListener("focus", () => this.choose(i));
    this.layer.append(g);
    p.e = g;
    const item = document.createElement("li"), name = document.createElement("strong");
    name.textContent = p.name;
    item.append(name, `: ${p.does}`);
    this.list.append(item);
  }

  // mark shows where a fault sits; none takes the mark away.
  mark(fault) {
    const at = fault ? seatOf[fault] : null;
    for (const p of this.of) p.e.classList.toggle("broken", p.id === at);
  }

  key(e) {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (!by) return;
    e.preventDefault();
    const i = this.of.findIndex((p) => p.e === document.activeElement), n = this.of.length;
    this.of[(i + by + n) % n].e.focus();
  }

  choose(i) {
    if (this.chosen === this.of[i]) return;
    this.chosen?.e.classList.remove("chosen");
    this.chosen = this.of[i];
    this.of.forEach((p, k) => set(p.e, { tabindex: k === i ? "0" : "-1" }));
    this.chosen.e.classList.add("chosen");
    this.tell();
  }

  showAll() {
    this.layer.classList.toggle("all", this.always.checked);
    this.list.hidden = !this.always.checked;
  }

  // tell says what the chosen part does, and what in this frame.
  tell(frame = this.frame, side = this.side) {
    Object.assign(this, { frame, side });
    if (!this.chosen) return say(this.told, "Tap or point at a part of the drawing to hear what it is.");
    const p = this.chosen;
    say(this.told, `${p.name}: ${p.does}${frame ? " " + p.now(frame, side) : ""}`);
  }
}
