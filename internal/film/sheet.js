// The picture of a film: the page's own cutaway and curves on one sheet of 1600 by 900,
// without what is there to be pressed.

import { make, say } from "./svg.js";
import { Cutaway } from "./cutaway.js";
import { ForceGraph, VacuumGraph, StopsGraph } from "./graphs.js";
import { reread } from "./colours.js";
import * as units from "./units.js";
import { phaseWords } from "./words.js";

export const width = 1600, height = 900;

// Curves are drawn as on a small canvas and enlarged, so that their letters are as
// large as those of the drawing.
const enlarged = 1.4;
const left = 24, right = 1576, top = 78, bottom = 776, column = 1082;

// Particles move slower than on the page: a film has fewer pictures a second, and a
// particle that comes half way to the next one seems to run backwards.
const calmer = 0.25;

// A phase is told once it has lasted a moment, in seconds of watching.
const lasting = 0.05;

let scene, cutaway, graphs, dials, clock, now;
let told = { words: "", lasted: 0 };

// build draws what stays. scene has: setup, car, units, of, title, about, pace, span (s)
// of the time axis, and for their films curve and reserve.
export function build(root, given) {
  scene = { ...given, setup: JSON.parse(given.setup), car: JSON.parse(given.car) };
  for (const name of ["curve", "reserve"]) if (given[name]) scene[name] = JSON.parse(given[name]);
  reread();
  units.load(scene.setup.units);
  units.choose(scene.units);
  root.append(
    make("path", { class: "sheet-mark", d: "M27 58 38 38 53 33" }), make("circle", { class: "sheet-knee", cx: 38, cy: 38, r: 4.2 }),
    make("text", { class: "sheet-title", x: 66, y: 44 }, short(scene.title)),
    make("text", { class: "sheet-about", x: 66, y: 68 }, scene.about),
    clock = make("text", { class: "sheet-clock end", x: right, y: 44 }),
    make("text", { class: "sheet-about end", x: right, y: 68 }, scene.pace));
  root.append(make("rect", { class: "sheet-panel", x: left, y: top + 6, width: column - 20 - left, height: 664 }));
  const scale = (column - 24 - left) / 1000;
  const drawing = make("g", { id: "cutaway", transform: `translate(${left} ${top + 8}) scale(${scale})` });
  root.append(drawing);
  cutaway = new Cutaway(drawing);
  cutaway.build(scene.car.shape);
  buildGraphs(root);
  root.append(now = make("text", { class: "sheet-now", x: left, y: bottom + 6 }));
  buildDials(root);
  root.append(make("text", { class: "sheet-caution", x: left, y: height - 14 }, scene.setup.caution));
}

// short leaves room for the clock.
function short(title) {
  const most = 72;
  return title.length > most ? title.slice(0, most - 1).trimEnd() + "…" : title;
}

function canvas(root, caption, y, tall) {
  const c = make("canvas");
  c.clientWidth = (right - column - 16) / enlarged;
  c.clientHeight = (tall - 42) / enlarged;
  root.append(make("rect", { class: "sheet-panel", x: column, y, width: right - column, height: tall }),
    make("text", { class: "sheet-caption", x: column + 14, y: y + 28 }, caption),
    make("g", { transform: `translate(${column + 8} ${y + 36}) scale(${enlarged})` }, c));
  return c;
}

function buildGraphs(root) {
  const from = top + 6, all = 664, half = (all - 12) / 2, second = from + half + 12;
  graphs = [];
  const add = (graph) => {
    if (!scene.car.shape.engine) graph.offWord = "shut off";
    graphs.push(graph);
    return graph;
  };
  if (scene.of === "curve") {
    const g = add(new ForceGraph(canvas(root, "Line pressure over pedal force", from, all)));
    g.unveil = true;
    g.show(scene.curve);
    return;
  }
  if (scene.of === "reserve") {
    add(new VacuumGraph(canvas(root, "Vacuum over time", from, half), scene.span));
    add(new StopsGraph(canvas(root, scene.stops, second, half))).show(scene.reserve);
    return;
  }
  add(new ForceGraph(canvas(root, "Line pressure over pedal force", from, half))).show(scene.curve);
  add(new VacuumGraph(canvas(root, "Vacuum over time", second, half), scene.span));
}

function buildDials(root) {
  const bare = `Manual pedal ${scene.car.shape.manual_pedal_ratio.toFixed(1)}:1, same foot`;
  const pressure = (v) => units.text("pressure", Math.max(0, v));
  const list = [
    ["Pedal force", "", (f) => units.text("force", f.pedal_n)],
    ["Vacuum in front", "of-vacuum", (f) => units.text("vacuum", f.front_vacuum_pa)],
    ["Line pressure", "of-line", (f) => pressure(f.line_front_pa)],
    [bare, "of-bare", (f) => pressure(f.manual.line_front_pa)],
    ["Slowing by", "", (f) => units.text("acceleration", f.deceleration_mps2)],
  ];
  if (scene.of === "reserve") {
    list.splice(3, 1);
    list.push(["Stops made", "", (f) => String(f.stops_made)],
      ["Stops left, at most heavy", "", (f) => (f.stops_left ? `${f.stops_left.at_least ? "≥\u00a0" : ""}${f.stops_left.stops}` : "–")]);
  }
  const each = (right - left) / list.length;
  dials = list.map(([name, kind, of], i) => {
    const x = left + i * each;
    const e = make("text", { class: `sheet-value ${kind}`, x, y: height - 46 });
    root.append(make("text", { class: "sheet-dial", x, y: height - 80 }, name), e);
    return { e, of };
  });
}

// see takes a frame into the curves only: they have more points than there are pictures.
export function see(text) { take(JSON.parse(text)); }

function take(frame) { for (const g of graphs) g.see(frame, false); }

// show draws a frame, dt seconds of watching after the last one.
export function show(text, dt) {
  const frame = JSON.parse(text);
  cutaway.draw(frame, false, dt * calmer);
  take(frame);
  for (const g of graphs) g.draw();
  say(clock, `${frame.time_s.toFixed(1)} s`);
  for (const d of dials) say(d.e, d.of(frame));
  const words = phaseWords(frame, false);
  told = { words, lasted: words === told.words ? told.lasted + dt : dt - lasting };
  if (told.lasted > lasting - 1e-9 || !now.textContent) say(now, words);
}
