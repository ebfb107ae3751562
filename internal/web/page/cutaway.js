// The booster cut open, with what it is connected to. The front of the car is on
// the left. A frame moves it; nothing here computes physics.

import { make, set, say } from "./svg.js";
import { gas, fluid } from "./colours.js";
import { text } from "./units.js";
import { speeds } from "./speed.js";
import { Stream } from "./stream.js";
import { Lens } from "./valve.js";

// Places in the drawing.
const axis = 360;             // the height of the line of thrust
const front = 400, rear = 694; // the shell's walls
const rim = 626;              // where the diaphragm is clamped
const plateAtRest = 652;
const pistonAtRest = 368, endWall = 186;
const pivot = [952, 214], rodAt = axis - pivot[1], padAt = 255;
const port = 456;             // where the hose leaves the shell
const hoseY = 76;
const mostHalf = 172, leastHalf = 92;
const wallOfTandem = 560, plateBefore = 112; // the wall between its shells, and from plate to plate
const largest = 0.062;        // m² of diaphragm that fill the drawing

export class Cutaway {
  constructor(svg) {
    this.svg = svg;
    this.title = make("title", { id: "cutaway-title" }, "Section through the brake booster");
    this.text = make("desc", { id: "cutaway-text" });
    this.layer = make("g");
    svg.append(this.title, this.text, this.layer);
  }

  // spread moves words apart where the letters are large: the two vacua from each other, and
  // what stands below the wheels from the road.
  spread(narrow) {
    this.narrow = narrow;
    if (!this.frontValue) return;
    set(this.svg, { viewBox: `0 0 1000 ${narrow ? 646 : 620}` });
    for (const e of [this.frontValue, this.frontName]) e.setAttribute("x", narrow ? 452 : 480);
    for (const e of [this.rearValue, this.rearName]) e.setAttribute("x", narrow ? 668 : 640);
    this.engineValue.setAttribute("y", narrow ? 164 : 152);
    this.engineName.setAttribute("y", narrow ? 196 : 180);
    this.wheels.forEach((w, i) => {
      for (const e of [w.value, w.name]) e.setAttribute("x", [narrow ? 86 : 92, narrow ? 272 : 250][i]);
      w.value.setAttribute("y", narrow ? 604 : 588);
      w.name.setAttribute("y", narrow ? 636 : 613);
    });
  }

  // build draws what a car has.
  build(shape) {
    this.shape = shape;
    this.layer.replaceChildren();
    const half = Math.max(leastHalf, Math.min(mostHalf, mostHalf * Math.sqrt(shape.area_m2 / largest)));
    this.half = half;
    this.perMetre = Math.min(4, (shape.tandem ? 74 : 150) / (1e3 * shape.stroke_m), 144 / (1e3 * shape.master_stroke_m)) * 1e3;
    this.buildWheels();
    this.buildSource();
    this.buildMaster();
    this.buildBooster(half);
    this.buildPedal();
    this.lens = new Lens(this.layer);
    this.buildScale();
    this.spread(this.narrow);
  }

  buildBooster(half) {
    const top = axis - half, bottom = axis + half;
    const shell = `M${rim} ${top}H470C428 ${top} ${front} ${top + 40} ${front} ${axis - 40}V${axis + 40}C${front} ${bottom - 40} 428 ${bottom} 470 ${bottom}H${rim}` +
      `C672 ${bottom} ${rear} ${bottom - 50} ${rear} ${axis + 50}V${axis - 50}C${rear} ${top + 50} 672 ${top} ${rim} ${top}Z`;
    this.booster = make("g");
    this.booster.append(make("clipPath", { id: "shell-clip" }, make("path", { d: shell })));
    const gases = make("g", { "clip-path": "url(#shell-clip)" });
    this.working = make("rect", { x: front - 10, y: top, width: rear - front + 20, height: 2 * half });
    this.vacuum = make("path");
    this.between = make("rect", { y: top, height: 2 * half });
    gases.append(this.working, this.vacuum);
    // A tandem has a second pair of chambers in front of a fixed wall.
    this.tandem = make("g");
    if (this.shape.tandem) {
      gases.append(this.between);
      this.tandem.append(
        make("path", { class: "shell", d: `M${wallOfTandem} ${top}V${axis - 16}M${wallOfTandem} ${axis + 16}V${bottom}` }),
        this.plateOfFirst = make("path", { class: "plate" }), this.skinOfFirst = make("path", { class: "skin" }));
    }
    // With an edge, since some vacuum has the very grey of the wire.
    this.springEdge = make("path", { class: "spring-edge" });
    this.spring = make("path", { class: "spring" });
    this.skin = make("path", { class: "skin" });
    this.plate = make("path", { class: "plate" });
    this.hub = make("g");
    this.hub.append(
      make("path", { class: "steel", d: "M-46-44H14L30-33H170V33H30L14 44H-46Z" }),
      this.passage = make("path", { d: "M-46-36H6L20-26V-16H-46Z" }),
      this.tail = make("path", { d: "M34-25H170V25H34Z" }),
      make("rect", { class: "rubber", x: -58, y: -27, width: 12, height: 54, rx: 3 }),
      make("rect", { class: "steel-dark", x: -72, y: -22, width: 14, height: 44 }));
    this.plunger = make("g");
    this.plunger.append(
      make("rect", { class: "steel-dark", x: -40, y: -10, width: 66, height: 20 }),
      make("rect", { class: "steel-dark", x: 20, y: -17, width: 12, height: 34, rx: 3 }));
    this.poppet = make("path", { class: "rubber", d: "M0-25H9V-7H0ZM0 7H9V25H0Z" });
    this.rod = make("rect", { class: "steel", y: axis - 6, height: 12, rx: 4 });
    this.pushrod = make("rect", { class: "steel", y: axis - 7, height: 14 });
    const outline = make("path", { class: "shell", d: shell });
    const rims = make("path", { class: "shell", d: `M${rim} ${top}V${top - 12}M${rim} ${bottom}V${bottom + 12}` });
    this.frontValue = make("text", { class: "value mid", x: 480, y: axis + mostHalf + 34 });
    this.rearValue = make("text", { class: "value mid rear-value", x: 640, y: axis + mostHalf + 34 });
    this.frontName = make("text", { class: "mid", x: 480, y: axis + mostHalf + 60 }, "front");
    this.rearName = make("text", { class: "mid", x: 640, y: axis + mostHalf + 60 }, "rear");
    this.booster.append(gases, this.springEdge, this.spring, this.pushrod, this.skin, this.plate, this.tandem, outline, rims,
      this.hub, this.plunger, this.poppet);
    this.layer.append(make("path", { class: "wall", d: "M716 250V522" }), this.booster, this.rod,
      this.frontValue, this.rearValue, this.frontName, this.rearName);
    this.airStream = new Stream(this.layer, "air", 24);
    this.innerStream = new Stream(this.layer, "inner", 24);
  }

  buildSource() {
    const s = this.shape, top = axis - this.half;
    const tank = s.reservoir_m3 > 0, outer = tank && s.reservoir_place === "booster side";
    const g = this.source = make("g");
    const way = `M${port} ${top + 4}V${hoseY}H190`;
    g.append(make("path", { class: "tube", d: way }));
    this.bores = make("path", { class: "bore", d: way });
    g.append(this.bores);
    this.engine = make("rect", { class: "box", x: 26, y: 26, width: 168, height: 100, rx: 10 });
    this.engineValue = make("text", { class: "value mid", x: 110, y: 152 });
    this.engineName = make("text", { class: "mid", x: 110, y: 180 });
    g.append(this.engine, make("path", { class: "thin", d: "M44 92H176M60 92V112M94 92V112M126 92V112M160 92V112" }),
      this.engineValue, this.engineName);
    this.tank = null;
    if (tank) {
      const width = Math.max(50, Math.min(118, 38 * Math.cbrt(s.reservoir_m3 * 1e3) * 1.25));
      this.tank = make("rect", { class: "box", x: 318 - width / 2, y: hoseY - 46, width, height: 92, rx: 22 });
      this.tankValue = make("text", { class: "value mid", x: 306, y: 150 });
      g.append(this.tank, this.tankValue, make("text", { class: "mid", x: 306, y: 178 }, "tank"));
    }
    // The check valve: a ball that lifts off its seat. A tank of its own has another.
    this.balls = [];
    const valve = (x, y, lying, flow) => {
      const ball = make("circle", { class: "steel-dark", cx: 0, cy: 0, r: 8 });
      const body = make("g", { transform: `translate(${x} ${y})${lying ? " rotate(-90)" : ""}` });
      body.append(make("rect", { class: "steel", x: -22, y: -20, width: 44, height: 40, rx: 6 }),
        make("rect", { x: -12, y: -20, width: 24, height: 40, fill: "var(--panel)" }), make("path", { class: "thin", d: "M-12 12H-6M12 12H6" }), ball);
      g.append(body);
      this.balls.push({ ball, key: flow ?? (lying && !outer ? "hose_flow_kgps" : "check_flow_kgps") });
    };
    if (outer) valve(236, hoseY, true);
    else valve(port, Math.min(150, top - 28), false);
    if (tank && !outer) valve(236, hoseY, true);
    if (s.pump) {
      this.pump = make("circle", { class: "box", cx: 404, cy: 168, r: 22, fill: "var(--metal)" });
      g.append(make("path", { class: "tube", d: `M404 ${hoseY + 10}V150` }), make("path", { class: "bore", d: `M404 ${hoseY}V150`, stroke: "var(--metal)" }),
        this.pump, make("text", { class: "end", x: 392, y: 212 }, "pump"));
      valve(404, 122, false, "pump_flow_kgps");
    }
    this.layer.append(g);
    this.checkStream = new Stream(this.layer, "check", 30);
    this.hoseStream = new Stream(this.layer, "hose", 24);
    this.pumpStream = new Stream(this.layer, "pump", 6);
    this.checkPath = [[port, top + 70], [port, hoseY], ...(tank ? [[360, hoseY]] : [[380, hoseY]])];
    this.hosePath = tank ? [[276, hoseY], [170, hoseY]] : [[380, hoseY], [170, hoseY]];
    this.pumpPath = [[404, hoseY], [404, 168]];
  }

  buildMaster() {
    const dual = this.shape.dual, g = make("g");
    g.append(make("path", { class: "steel", d: `M${endWall - 14} ${axis - 42}H${front + 2}V${axis + 42}H${endWall - 14}Z` }));
    this.second = make("rect", { y: axis - 26, height: 52 });
    this.first = make("rect", { y: axis - 26, height: 52 });
    g.append(make("rect", { x: endWall, y: axis - 28, width: front - endWall, height: 56, fill: "var(--panel)", stroke: "var(--ink)", "stroke-width": 2 }), this.second, this.first);
    this.piston = make("path", { class: "steel-dark", d: `M0 ${axis - 27}H12V${axis - 10}H44V${axis + 10}H12V${axis + 27}H0Z` });
    g.append(this.piston);
    this.floater = null;
    if (dual) {
      this.floater = make("path", { class: "steel-dark", d: `M0 ${axis - 27}H10V${axis - 12}H18V${axis - 27}H28V${axis + 27}H18V${axis + 12}H10V${axis + 27}H0Z` });
      g.append(this.floater);
    }
    g.append(make("path", { class: "steel", d: `M214 ${axis - 42}V${axis - 58}H204V${axis - 96}H344V${axis - 58}H334V${axis - 42}H318V${axis - 58}H230V${axis - 42}Z` }),
      make("rect", { x: 210, y: axis - 82, width: 128, height: 22, fill: "var(--dry)" }),
      make("text", { class: "note mid off-when-narrow", x: 274, y: axis - 106 }, "master cylinder"));
    this.layer.append(g);
  }

  buildWheels() {
    const dual = this.shape.dual;
    const ways = dual
      ? [`M336 ${axis + 42}V420H221A14 14 0 0 0 193 420H92V446`, `M207 ${axis + 42}V446V452`]
      : [`M207 ${axis + 42}V420H92V446`, `M207 ${axis + 42}V452`];
    this.lines = [];
    for (const d of ways) {
      const inside = make("path", { class: "fluid-line", d });
      this.layer.append(make("path", { class: "pipe", d }), inside);
      this.lines.push(inside);
    }
    this.wheels = [this.wheel(92, 500, this.shape.front_brake, "front"), this.wheel(250, 500, this.shape.rear_brake, "rear")];
    // The rear line ends at the rear wheel.
    const bend = "M207 452V470H214";
    this.layer.append(make("path", { class: "pipe", d: bend }), this.lines[2] = make("path", { class: "fluid-line", d: bend }));
    this.buildLineValves();
  }

  // buildLineValves draws those that the car has in its lines.
  buildLineValves() {
    const s = this.shape;
    const body = (x, y) => this.layer.append(make("rect", { class: "steel", x: x - 13, y: y - 10, width: 26, height: 20, rx: 3 }));
    if (s.proportions) body(207, 440);
    if (s.meters) body(128, 420);
    if (s.residual_front) body(s.dual ? 300 : 170, 420);
    if (s.residual_rear) body(207, 408);
  }

  wheel(x, y, kind, name) {
    const g = make("g", { transform: `translate(${x} ${y})` });
    // The weight on the axle is how wide it stands on the road; locked wheels leave marks.
    const load = make("rect", { class: "load", y: 59, height: 7 }), skid = make("path", { class: "skid", d: "M-76 63H-54M54 63H76" });
    const tyre = make("circle", { class: "tyre", r: 58 });
    g.append(skid, load, tyre, make("circle", { class: "disc", r: 40 }), make("circle", { class: "steel-dark", r: 11 }));
    const pads = [];
    if (kind === "disc") {
      g.append(make("path", { class: "steel", d: "M-20-58H20V-50H-20Z" }));
      for (const sign of [1, -1]) pads.push({ e: make("rect", { x: -17, width: 34, height: 10, rx: 2, stroke: "var(--ink)", "stroke-width": 2 }), sign, from: sign > 0 ? -50 : -36, kind });
    } else {
      for (const sign of [1, -1]) pads.push({ e: make("path", { d: sign < 0 ? "M-6-30A31 31 0 0 0-6 30" : "M6-30A31 31 0 0 1 6 30", fill: "none", "stroke-width": 8 }), sign, kind });
    }
    for (const p of pads) g.append(p.e);
    const value = make("text", { class: "value mid", x, y: y + 84 });
    const word = make("text", { class: "mid", x, y: y + 111 }, name);
    this.layer.append(g, value, word);
    return { pads, value, name: word, load, skid, tyre, axle: name };
  }

  buildPedal() {
    this.arm = make("g");
    this.arm.append(make("path", { class: "steel", d: `M-7 0 7 0 10 ${padAt - 10} -10 ${padAt - 10}Z` }),
      make("rect", { class: "rubber", x: -22, y: padAt - 34, width: 16, height: 60, rx: 5, transform: `rotate(4 0 ${padAt})` }));
    this.push = make("path", { class: "foot" });
    this.pushText = make("text", { class: "value end", x: 992, y: 540 });
    this.layer.append(make("path", { class: "steel-dark", d: `M${pivot[0] - 20} ${pivot[1] - 16}H${pivot[0] + 20}L${pivot[0] + 10} ${pivot[1] + 6}H${pivot[0] - 10}Z` }),
      this.arm, make("circle", { class: "steel", cx: pivot[0], cy: pivot[1], r: 7 }), this.push, this.pushText);
  }

  buildScale() {
    const g = make("g", { class: "off-when-narrow" });
    const steps = 24, x = 744, width = 236;
    this.scale = [];
    for (let i = 0; i < steps; i++) {
      // Each reaches under the next, so that no seam shows.
      const from = (width * i) / steps;
      const r = make("rect", { x: x + from, y: 572, width: Math.min(width / steps + 3, width - from), height: 14 });
      this.scale.push(r);
      g.append(r);
    }
    g.append(make("rect", { class: "thin", x, y: 572, width, height: 14 }), make("text", { class: "note", x, y: 606 }, "vacuum"), make("text", { class: "note end", x: x + width, y: 606 }, "outside air"));
    this.layer.append(g);
    this.recolour();
  }

  recolour() {
    const a = this.shape.ambient_pa;
    this.scale.forEach((r, i) => r.setAttribute("fill", gas(0.8 * a * (1 - i / (this.scale.length - 1)), a)));
  }

  // draw shows a frame; with manual the booster is out. dt is the time since the
  // last picture.
  draw(frame, manual, dt) {
    const a = this.shape.ambient_pa, u = this.perMetre;
    const bare = manual || frame.hub_m === null;
    const side = manual ? frame.manual : frame;
    const speed = bare ? speeds({}) : speeds(frame);
    const hub = bare ? 0 : frame.hub_m * u;
    const plunger = side.plunger_m * u;
    const top = axis - this.half, bottom = axis + this.half, x = plateAtRest - hub;

    const edge = 34, curl = Math.min(26, this.half / 4);
    const upper = `${rim} ${top}C${rim - 2} ${top + curl} ${x + 2} ${top + 2} ${x} ${top + edge}`;
    const lower = `${x} ${bottom - edge}C${x + 2} ${bottom - 2} ${rim - 2} ${bottom - curl} ${rim} ${bottom}`;
    this.skin.setAttribute("d", `M${upper}M${lower}`);
    this.plate.setAttribute("d", `M${x} ${top + edge}V${axis - 40}M${x} ${axis + 40}V${bottom - edge}`);
    this.vacuum.setAttribute("d", `M${front - 20} ${top - 5}H${rim}L${upper}V${bottom - edge}L${lower}V${bottom + 5}H${front - 20}Z`);
    if (this.shape.tandem) this.drawFirst(x - plateBefore, frame, a);
    this.vacuum.setAttribute("fill", gas(frame.front_vacuum_pa, a));
    this.working.setAttribute("fill", gas(frame.working_vacuum_pa, a));
    this.passage.setAttribute("fill", gas(frame.front_vacuum_pa, a));
    this.tail.setAttribute("fill", gas(0, a));
    const last = this.shape.tandem ? x - plateBefore - 6 : x - 6;
    const coils = coil(front + 8, last, axis - 62) + coil(front + 8, last, axis + 62);
    for (const e of [this.springEdge, this.spring]) e.setAttribute("d", coils);
    this.hub.setAttribute("transform", `translate(${x.toFixed(2)} ${axis})`);
    // The lead of the plunger over the hub is drawn larger than the hub's travel.
    const lead = bare ? 0 : (frame.plunger_m - frame.hub_m) * u * 3;
    this.plunger.setAttribute("transform", `translate(${(x - lead).toFixed(2)} ${axis})`);
    const poppetX = x + 33 - Math.max(0, Math.min(lead, 5));
    this.poppet.setAttribute("transform", `translate(${poppetX.toFixed(2)} ${axis})`);
    this.booster.classList.toggle("ghost", bare);
    this.lens.all.classList.toggle("ghost", bare);

    const rodEnd = pivot[0] - (bare ? plunger : Math.max(0, frame.plunger_m) * u);
    const rodStart = bare ? pistonAtRest + 40 - side.piston_m * u : x - lead + 30;
    set(this.rod, { x: rodStart.toFixed(1), width: Math.max(0, rodEnd - rodStart).toFixed(1) });
    const angle = Math.atan2(pivot[0] - rodEnd, rodAt);
    this.arm.setAttribute("transform", `translate(${pivot[0]} ${pivot[1]}) rotate(${((angle * 180) / Math.PI).toFixed(2)})`);
    this.drawFoot(frame, angle);

    const first = pistonAtRest - side.piston_m * u;
    this.piston.setAttribute("transform", `translate(${first.toFixed(2)} 0)`);
    const nose = first + 30;
    set(this.pushrod, { x: nose.toFixed(1), width: Math.max(0, x - 70 - nose).toFixed(1) });
    let split = endWall;
    if (this.floater) {
      split = 272 - (side.floater_m ?? 0) * u;
      this.floater.setAttribute("transform", `translate(${split.toFixed(2)} 0)`);
      set(this.second, { x: endWall, width: Math.max(0, split - endWall).toFixed(1), fill: fluid(side.line_rear_pa) });
      split += 28;
    }
    set(this.first, { x: split.toFixed(1), width: Math.max(0, first - split).toFixed(1), fill: fluid(side.line_front_pa) });
    this.drawWheels(side);
    this.drawSource(frame, a);

    this.airStream.move([[872, axis - 18], [x + 46, axis - 18], [x + 34, axis - 12], [x + 24, axis - 24], [x + 18, axis - 58], [x + 20, axis - this.half * 0.62]], speed.air, dt);
    this.innerStream.move([[x + 16, axis - this.half * 0.5], [x + 18, axis - 54], [x + 24, axis - 27], [x + 10, axis - 25], [x - 50, axis - 27], [x - 84, axis - this.half * 0.42], [(front + x) / 2 - 20, axis - this.half * 0.55]], speed.inner, dt);
    this.checkStream.move(this.checkPath, speed.check, dt);
    this.hoseStream.move(this.hosePath, speed.hose, dt);
    this.pumpStream.move(this.pumpPath, this.pump ? speed.pump : 0, dt);
    this.lens.draw(frame, a, x + 34, axis - 34, speed, dt);
    this.drawNumbers(frame, bare);
  }

  // drawFirst moves the front one of a tandem's two diaphragms.
  drawFirst(x, frame, ambient) {
    const top = axis - this.half, bottom = axis + this.half, edge = 34;
    set(this.between, { x: x.toFixed(1), width: Math.max(0, wallOfTandem - x).toFixed(1), fill: gas(frame.working_vacuum_pa, ambient) });
    this.plateOfFirst.setAttribute("d", `M${x} ${top + edge}V${axis - 16}M${x} ${axis + 16}V${bottom - edge}`);
    this.skinOfFirst.setAttribute("d", `M${wallOfTandem - 6} ${top + 6}L${x} ${top + edge}M${wallOfTandem - 6} ${bottom - 6}L${x} ${bottom - edge}`);
  }

  drawFoot(frame, angle) {
    const px = pivot[0] - Math.sin(angle) * padAt + 4, py = pivot[1] + Math.cos(angle) * padAt - 4;
    const tail = px + 44 + Math.min(36, frame.pedal_n / 10);
    this.push.setAttribute("d", frame.pedal_n < 1 ? "" : `M${px.toFixed(1)} ${py.toFixed(1)}l22-17v11H${tail.toFixed(1)}v12H${(px + 22).toFixed(1)}v11z`);
    say(this.pushText, text("force", frame.pedal_n));
  }

  drawWheels(side) {
    const pressures = [side.line_front_pa, side.line_rear_pa];
    this.lines[0].setAttribute("stroke", fluid(pressures[0]));
    this.lines[1].setAttribute("stroke", fluid(pressures[1]));
    this.lines[2].setAttribute("stroke", fluid(pressures[1]));
    this.wheels.forEach((w, i) => {
      const shut = Math.min(1, Math.max(0, pressures[i]) / 0.4e6);
      for (const p of w.pads) {
        if (p.kind === "disc") set(p.e, { y: (p.from + (p.sign > 0 ? 1 : -1) * 3 * shut).toFixed(1), fill: fluid(pressures[i]) });
        else set(p.e, { transform: `translate(${(p.sign * 4 * shut).toFixed(1)} 0)`, stroke: fluid(pressures[i]) });
      }
      say(w.value, text("pressure", Math.max(0, pressures[i])));
      this.drawOnRoad(w, i ? 1 - side.front_load : side.front_load, i ? side.rear_locked : side.front_locked);
    });
  }

  drawOnRoad(w, share, locked) {
    set(w.load, { x: (-70 * share).toFixed(1), width: (140 * share).toFixed(1) });
    w.tyre.classList.toggle("locked", locked);
    w.skid.setAttribute("visibility", locked ? "visible" : "hidden");
    say(w.name, locked ? `${w.axle} locked` : `${w.axle} ${Math.round(100 * share)}\u00a0%`);
  }

  drawSource(frame, a) {
    const s = this.shape;
    this.engine.setAttribute("fill", gas(frame.manifold_vacuum_pa, a));
    this.bores.setAttribute("stroke", gas(frame.hose_vacuum_pa ?? frame.manifold_vacuum_pa, a));
    say(this.engineValue, text("vacuum", frame.manifold_vacuum_pa));
    const running = frame.engine === "off" ? "off" : s.engine && frame.engine_speed_hz !== null ? text("rotation", frame.engine_speed_hz, 50) : "on";
    say(this.engineName, this.narrow ? running : `${s.engine ? "engine" : "bench"} ${running}`);
    if (this.tank) {
      this.tank.setAttribute("fill", gas(frame.reservoir_vacuum_pa, a));
      say(this.tankValue, text("vacuum", frame.reservoir_vacuum_pa));
    }
    for (const { ball, key } of this.balls) ball.setAttribute("cy", (6 - 16 * Math.min(1, Math.sqrt(Math.max(0, frame[key] ?? 0) / 1e-3))).toFixed(1));
  }

  drawNumbers(frame, bare) {
    say(this.frontValue, bare ? "" : text("vacuum", frame.front_vacuum_pa));
    say(this.rearValue, bare ? "" : text("vacuum", frame.working_vacuum_pa));
    say(this.frontName, bare ? "" : "front");
    say(this.rearName, bare ? "" : "rear");
  }
}

// coil is a spring from one place to another.
function coil(from, to, y) {
  const turns = 9, step = (to - from) / turns;
  let d = `M${from.toFixed(1)} ${y}`;
  for (let i = 0; i < turns; i++) d += `L${(from + (i + 0.5) * step).toFixed(1)} ${y + (i % 2 ? 11 : -11)}`;
  return d + `L${to.toFixed(1)} ${y}`;
}
