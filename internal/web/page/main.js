// The page: one car, driven in real time.

import * as api from "./api.js";
import * as units from "./units.js";
import { timed, frameDone, takeTurns } from "./meter.js";
import { Cutaway } from "./cutaway.js";
import { Parts } from "./parts.js";
import { ForceGraph, VacuumGraph, StopsGraph } from "./graphs.js";
import { Lesson } from "./lesson.js";
import { wireProjector } from "./projector.js";
import { Foot } from "./foot.js";
import { Garage } from "./garage.js";
import { Tour } from "./tour.js";
import { holds, pack, unpack } from "./link.js";
import { Doors } from "./doors.js";
import { Will } from "./will.js";
import { Why } from "./why.js";
import { again, keep, recall, recallJSON, words as keptWords } from "./kept.js";
import { reread } from "./colours.js";
import { say } from "./svg.js";
import { phaseWords, summary } from "./words.js";

const $ = (id) => document.getElementById(id);

// The longest time that is caught up with after a pause, and the shortest step.
const longest = 0.1, shortest = 0.004, leastStep = 0.001;

// Milliseconds between pictures while the page thinks: painting would take a third of the
// processor, and the pedal goes on.
const thinkingPause = 95;

// What the button of a paused page steps by.
const oneStep = 0.02;

let tour, lesson;

const state = {
  drive: null, car: null, frame: null, document: {}, engine: "idle", manual: false, curve: null,
  asking: false, hiding: false, first: {}, before: 0, pace: 1, stopped: true, studies: null,
};

const cutaway = new Cutaway($("cutaway"));
const parts = new Parts($("cutaway"), $("told"), $("parts"), $("name-all"));
const graphs = { force: new ForceGraph($("force-curve")), vacuum: new VacuumGraph($("vacuum-curve")), stops: new StopsGraph($("stops-bars")) };
const foot = new Foot($("pedal"), $("keep"));
let garage, doors, will, why;

// The loop: one request under way at a time, a picture for every screen refresh.

function tick(now) {
  requestAnimationFrame(tick);
  if (state.stopped || doors.now !== "how" || (api.thinking() && now - state.before < thinkingPause)) return;
  timed(() => {
    const dt = Math.min(longest, ((now - state.before) / 1000) * state.pace);
    // In slow motion steps are as short as the model takes them from a page.
    if (!state.asking && dt >= Math.max(leastStep, shortest * state.pace)) {
      state.before = now;
      step(Math.min(dt, lesson?.room(state.frame) ?? dt));
    }
    if (state.frame) draw(now);
  });
  frameDone();
}

const rota = Object.values(graphs);
let drawn = 0, pictures = 0, turn = 0, next = 0;

function draw(now) {
  const half = takeTurns() ? turn % 2 : -1;
  if (half !== 1) {
    const dt = Math.min(0.1, (now - drawn) / 1000);
    drawn = now;
    cutaway.draw(state.frame, state.manual, dt * state.pace);
    $("cutaway").dataset.pictures = ++pictures;
  }
  // The curves take turns in any case: thirty times a second is more than a line needs.
  if (half !== 0) drawOne();
  turn++;
}

// drawOne draws the next of the curves that has something new.
function drawOne() {
  for (let i = 0; i < rota.length; i++) {
    const graph = rota[next++ % rota.length];
    if (graph.dirty) return graph.draw();
  }
}

async function step(dt) {
  const drive = state.drive;
  state.asking = true;
  try {
    const frame = await drive.step(dt, foot.advance(dt), state.engine);
    timed(() => { if (drive === state.drive && !state.changing) see(frame); });
  } catch (e) {
    if (drive === state.drive) await trouble(e);
  } finally {
    state.asking = false;
  }
}

async function trouble(e) {
  state.stopped = true;
  if (e.status === 404) return start(own());
  if (!(e instanceof api.Refusal || e.told)) console.error(e);
  $("again").hidden = Boolean(e.told); // a browser does not get younger
  $("gone").querySelector("p").textContent = e instanceof api.Refusal || e.told ? e.message : "The program that drives this page does not answer. Is it still running?";
  $("gone").hidden = false;
}

// When the chosen part was last told of: ten times a second is enough to read.
let told = 0;

// see takes in a frame.
function see(frame) {
  state.frame = frame;
  graphs.force.see(frame, state.manual);
  graphs.vacuum.see(frame);
  graphs.stops.see(frame);
  dials(frame);
  if (frame.time_s - told > 0.1 || frame.time_s < told) {
    told = frame.time_s;
    parts.tell(frame, state.manual ? frame.manual : frame);
  }
  speak(frame);
  lesson?.see(frame, state.pace);
}

function dial(id, words, si) {
  say($(id), words);
  $(id).dataset.si = si ?? "";
}

function dials(f) {
  const { text } = units;
  dial("vacuum", text("vacuum", f.front_vacuum_pa), f.front_vacuum_pa);
  const lines = state.manual ? f.manual : f;
  dial("line", `${units.number("pressure", Math.max(0, lines.line_front_pa))}\u00a0· ${text("pressure", Math.max(0, lines.line_rear_pa))}`, lines.line_front_pa);
  dial("bare", text("pressure", Math.max(0, state.manual ? f.line_front_pa : f.manual.line_front_pa)), state.manual ? f.line_front_pa : f.manual.line_front_pa);
  const slowing = state.manual ? f.manual.deceleration_mps2 : f.deceleration_mps2;
  dial("slowing", text("acceleration", slowing), slowing);
  const left = f.stops_left;
  dial("left", left ? `${left.at_least ? "≥\u00a0" : ""}${left.stops}` : "…", left?.stops);
  // Before the engine is off no stop has been counted: that is not 0.
  dial("made", f.engine === "off" ? String(f.stops_made) : "–", f.stops_made);
  dial("force", text("force", f.pedal_n), f.pedal_n);
  dial("travel", `${text("length", Math.max(0, lines.pedal_travel_m))} of travel`, lines.pedal_travel_m);
  document.body.dataset.time = f.time_s;
  const fill = (f.pedal_n / Math.max(foot.limit, f.pedal_n, 1)).toFixed(3);
  if (fill !== dials.fill) $("pedal").firstElementChild.style.transform = `scaleY(${dials.fill = fill})`;
}

// speak says what happens: on the page at once, to a screen reader when it lasts, and where
// the foot has come to when it stays there.
const spoken = { words: "", since: 0, said: "", force: "", still: 0, at: "", described: 0 };

function speak(frame) {
  const words = phaseWords(frame, state.manual), now = performance.now();
  if (words !== spoken.words) {
    spoken.words = words;
    spoken.since = now;
  }
  // A phase that is over at once would only flicker.
  if (now - spoken.since > 120) say($("now"), words);
  const force = units.text("force", frame.pedal_n);
  if (force !== spoken.force) {
    spoken.force = force;
    spoken.still = now;
  }
  if (now - spoken.since > 700 && (spoken.said !== words || (now - spoken.still > 700 && spoken.at !== force))) {
    spoken.said = words;
    spoken.at = force;
    $("said").textContent = summary(frame, state.manual);
  }
  if (now - spoken.described > 1000) {
    spoken.described = now;
    say(cutaway.text, summary(frame, state.manual));
    for (const g of Object.values(graphs)) g.canvas.setAttribute("aria-label", g.describe());
  }
}

// The car.

async function start(document, asked = api.create(document)) {
  state.first = document;
  try {
    const made = await asked;
    state.drive = made.drive;
    $("gone").hidden = true;
    take(made.car, document.text ? other : started);
  } catch (e) {
    if (e.status === 422 || e.status === 400) {
      showProblem(e);
      if (document.text) return start({}); // what was kept is no car any more
    }
    await trouble({ message: e.message, status: 0 });
  }
}

// What the list of examples has for a car that is none of them, and for the one that the
// program was started with.
const other = "", started = "started";

// take shows a car that was built anew; example is which of the list it is.
function take(car, example) {
  state.car = car;
  $("starter").value = state.example = example;
  state.document = { name: car.name.endsWith(".toml") ? car.name : "scenario.toml", text: car.document };
  state.engine = car.engine;
  document.querySelector(`input[name=engine][value=${car.engine}]`).checked = true;
  say($("car-title"), car.title || "A typical car, all of it assumed");
  bareLabel();
  cutaway.build(car.shape);
  parts.build(car.shape, cutaway.half, state.hiding ? null : car.fault?.name);
  for (const g of Object.values(graphs)) g.car();
  graphs.vacuum.offWord = car.shape.engine ? "engine off" : "shut off";
  garage.show(car);
  showLink(false);
  showWarnings(car.warnings);
  shelve(car);
  state.curve = null;
  state.before = performance.now();
  state.stopped = false;
  see(car.frame);
  ask();
}

// shelve keeps the car on this device, and tells the other doors of it. A lesson's car is
// nobody's, and may hold the fault that is to be found.
function shelve(car) {
  if (lesson?.borrowed) return;
  keep("car", car.given === "" ? null : JSON.stringify({ name: state.document.name, text: car.given }));
  say($("kept"), keptWords());
  will.see();
  why.see();
}

// own is the car as somebody gave it: what nobody knows of it is not in it. Of a car of which
// nothing is known there is no document.
function own() {
  if (!state.car) return state.first;
  return state.car.given === "" ? {} : { name: state.document.name, text: state.car.given };
}

// shared is the car as the other doors see it.
const shared = {
  document: () => ({ name: state.document.name, text: "", ...(lesson.before ?? own()) }),
  async open(document) {
    await change(() => opening(document));
    return state.car.given;
  },
  door: () => doors.now,
  press: () => doors.open("how"),
  problem: showProblem,
};

// opened is told which of the doors was opened.
async function opened(door) {
  keep("door", door);
  $("file-problem").hidden = true;
  if (door === "how") {
    state.before = performance.now();
    for (const g of Object.values(graphs)) g.dirty = true;
    return;
  }
  foot.free();
  api.warm();
  if (lesson.open) await lesson.end(false);
  if (doors.now === door) ({ will, why })[door].opened();
}

// dropped opens what is dropped on the page: a scenario, or a gauge's log.
async function dropped(file) {
  if (/\.(csv|tsv|txt)$/i.test(file.name)) {
    doors.open("why");
    await why.log(file);
  } else await openFile(file);
}

async function openFile(file) {
  if (file.size > 1 << 20) { showProblem({ message: `${file.name}: more than 1 MiB, want a scenario of at most 1 MiB` }); return; }
  await open({ name: file.name, text: await file.text() });
}

// ask has the studies done that the curves are drawn over.
function ask() {
  state.studies?.abort();
  const studies = state.studies = new AbortController();
  const drive = state.drive;
  const failed = (e) => { if (e.name !== "AbortError") console.warn(e.message); };
  drive.curve(studies.signal).then((curve) => {
    if (studies.signal.aborted) return;
    state.curve = curve;
    graphs.force.show(curve);
    sayVerdict();
  }).catch(failed);
  drive.reserve(studies.signal).then((reserve) => {
    if (studies.signal.aborted) return;
    graphs.stops.show(reserve);
    captionStops(reserve);
    return drive.knees(studies.signal);
  }).then((knees) => {
    if (knees && !studies.signal.aborted) graphs.force.showKnees(knees);
    api.warm(); // whoever comes to another door next finds the workers there
  }).catch(failed);
}

// sayVerdict says what a hard stop of this car takes, and which wheels lock.
function sayVerdict() { say($("verdict"), state.curve?.verdict?.[units.chosen()] ?? ""); }

function captionStops(reserve) {
  state.reserve = reserve;
  const each = reserve.deceleration_mps2 === null ? units.text("force", reserve.pedal_n) : units.text("acceleration", reserve.deceleration_mps2);
  say($("stops-caption"), `Stops of ${each} once the engine is off: ${reserve.counted}`);
}

// The end of the last change that was asked for.
let changed = Promise.resolve();

// change replaces the car, one change after the other; meanwhile frames of the old one do
// not count. A change that has become none gives no car.
function change(by, example = other) {
  const change = changed.then(async () => {
    state.changing = true;
    try {
      const car = await by();
      if (car) take(car, example);
    } finally {
      state.changing = false;
    }
  });
  changed = change.catch(() => {});
  return change;
}

async function reset() {
  state.engine = "idle";
  document.querySelector("input[name=engine][value=idle]").checked = true;
  const frame = await state.drive.reset();
  for (const g of [graphs.force, graphs.vacuum]) g === graphs.force ? g.clear() : g.car();
  see(frame);
}

function showProblem(e) {
  $("file-problem").textContent = api.told(e);
  $("file-problem").hidden = false;
  $("file-problem").scrollIntoView({ block: "nearest" });
}

function showWarnings(list) {
  $("warnings").hidden = list.length === 0;
  say($("warnings").querySelector("summary"), list.length === 1 ? "One value is unlikely" : `${list.length} values are unlikely`);
  $("warnings").querySelector("ul").replaceChildren(...list.map((w) => {
    const li = document.createElement("li");
    li.textContent = w;
    return li;
  }));
}

// opening opens what somebody wants on the page. After it no lesson gives back the car that
// was there before.
async function opening(document) {
  const car = await state.drive.open(document);
  if (lesson.borrowed) lesson.forgo();
  return car;
}

// open returns the car that a document gives, or null where it says what is wrong.
async function open(document, by = opening, example = other) {
  $("file-problem").hidden = true;
  try {
    await change(() => by(document), example);
    return state.car;
  } catch (e) {
    showProblem(e);
    return null;
  }
}

// follow opens the car that the address brings, if it does, and takes it out of the
// address: the car may change, and to load the page again would bring the old one back.
async function follow() {
  const hash = location.hash;
  if (!holds(hash)) return;
  history.replaceState(null, "", location.pathname + location.search);
  let document;
  try {
    document = await unpack(hash);
  } catch (e) {
    showProblem(e);
    return;
  }
  await open(document);
}

// showLink shows the present car as a link, or puts it away.
async function showLink(on) {
  $("linked").hidden = !on;
  $("link").setAttribute("aria-expanded", String(on));
  if (!on) return;
  const fragment = await pack(state.document.text);
  $("link-address").value = location.href.split("#")[0] + fragment;
  $("link-address").focus();
  $("link-address").select();
}

// stage sets a scene for the tour.
async function stage(engine, manual, plan) {
  choosePace(1);
  foot.send([]);
  foot.force = 0;
  setManual(manual);
  await reset();
  turnTo(engine);
  foot.send(plan);
}

function turnTo(engine) {
  state.engine = engine;
  document.querySelector(`input[name=engine][value=${engine}]`).checked = true;
}

// bareLabel names the manual pedal with all in which it differs: its lever and its bore.
function bareLabel() {
  const { manual_pedal_ratio: ratio, manual_bore_m: bore } = state.car.shape;
  const bored = units.chosen() === "us" ? `${(bore / 0.0254).toFixed(3)} in` : `${(bore * 1e3).toFixed(1)} mm`;
  say($("bare-label"), state.manual ? "With the booster, same foot" : `Manual pedal ${ratio.toFixed(1)}:1, bore ${bored}, same foot`);
}

function setManual(on) {
  state.manual = on;
  $("manual").checked = on;
  bareLabel();
  graphs.force.manual = on;
  graphs.force.dirty = true;
  if (state.frame) see(state.frame);
}

// choosePace sets how fast time goes, 1 being as it is; 0 stops it.
function choosePace(pace) {
  state.pace = pace;
  state.before = performance.now();
  document.querySelector(`input[name=pace][value="${pace}"]`).checked = true;
}

// stepOnce stops time and lets a moment of it pass.
function stepOnce() {
  choosePace(0);
  if (!state.asking && !state.stopped) step(oneStep);
}

// hideFault keeps what is wrong with the car from whoever is to find it; its file, in
// which it stands, is not to be had either.
function hideFault(on) {
  state.hiding = garage.hiding = on;
  for (const id of ["save", "link"]) $(id).disabled = on;
  garage.show(state.car);
  parts.mark(on ? null : state.car.fault?.name);
}

// The rest of the page's controls.

function limitWord() {
  foot.limit = Number($("limit").value);
  const words = units.text("force", foot.limit);
  say($("limit-value"), words);
  $("limit").setAttribute("aria-valuetext", words);
}

function chooseUnits(system) {
  units.choose(system);
  keep("units", system);
  document.querySelector(`input[name=units][value=${system}]`).checked = true;
  limitWord();
  garage?.units();
  if (state.frame) see(state.frame);
  if (state.car) bareLabel();
  if (state.reserve) captionStops(state.reserve);
  sayVerdict();
  will?.show();
  why?.units();
  for (const g of Object.values(graphs)) g.dirty = true;
  lesson?.units();
}

function chooseTheme(theme) {
  if (theme === "auto") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
  keep("theme", theme);
  document.querySelector(`input[name=theme][value=${theme}]`).checked = true;
  recolour();
}

function recolour() {
  reread();
  for (const g of Object.values(graphs)) g.dirty = true;
  if (state.car) cutaway.recolour();
}

function narrow(query) {
  document.body.classList.toggle("plain", query.matches);
  cutaway.spread(query.matches);
}

function wire(setup) {
  garage = new Garage($("controls"), setup, {
    change: (what) => change(() => { const of = what(); return of && state.drive.change(...of); }),
  });
  for (const r of document.querySelectorAll("input[name=engine]")) r.addEventListener("change", () => { state.engine = r.value; });
  for (const r of document.querySelectorAll("input[name=units]")) r.addEventListener("change", () => chooseUnits(r.value));
  for (const r of document.querySelectorAll("input[name=theme]")) r.addEventListener("change", () => chooseTheme(r.value));
  for (const r of document.querySelectorAll("input[name=pace]")) r.addEventListener("change", () => choosePace(Number(r.value)));
  $("one-step").addEventListener("click", stepOnce);
  $("manual").addEventListener("change", () => setManual($("manual").checked));
  $("limit").addEventListener("input", () => { limitWord(); if ($("keep").checked) foot.rest = foot.limit; });
  $("reset").addEventListener("click", () => { foot.free(); reset(); });
  $("again").addEventListener("click", () => start(own()));
  for (const s of setup.starters) $("starter").append(new Option(s.title, s.name));
  $("starter").addEventListener("change", async () => {
    const chosen = $("starter").value;
    if (!await open(chosen === started ? {} : { starter: chosen }, opening, chosen)) $("starter").value = state.example;
  });
  $("open").addEventListener("click", () => $("file").click());
  $("file").addEventListener("change", async () => {
    const [file] = $("file").files;
    if (!file) return;
    $("file").value = "";
    await openFile(file);
  });
  window.addEventListener("dragover", (e) => e.preventDefault());
  window.addEventListener("drop", (e) => {
    e.preventDefault();
    const [file] = e.dataTransfer?.files ?? [];
    if (file) dropped(file);
  });
  $("save").addEventListener("click", async () => {
    const link = document.createElement("a");
    link.href = await state.drive.file();
    link.download = state.document.name.split(/[/\\]/).pop();
    link.click();
  });
  $("link").addEventListener("click", () => showLink($("linked").hidden).catch(showProblem));
  window.addEventListener("hashchange", follow);
  tour = new Tour({
    panel: $("tour"), title: $("tour-title"), text: $("tour-text"), look: $("tour-look"), start: $("tour-start"),
    back: $("tour-back"), next: $("tour-next"), again: $("tour-again"), end: $("tour-end"),
  }, { stage, curve: () => state.curve });
  lesson = new Lesson($("lesson"), $("lessons-start"), {
    stage, open: (document) => open(document, (d) => state.drive.open(d)), engine: turnTo, press: (plan) => foot.send(plan), change: (...of) => change(() => state.drive.change(...of)),
    document: () => state.document, own, car: () => state.car, frame: () => state.frame, manual: () => state.manual, knee: () => graphs.force.knee(),
    unveil: (on) => { graphs.force.unveil = on; graphs.force.dirty = true; },
    hide: hideFault,
    lessonOpen: (on) => { if (on && !$("tour").hidden) tour.end(); $("tour-start").disabled = on; },
  }, setup.lessons);
  wireProjector($("projector"));
  window.addEventListener("pagehide", (e) => { if (!e.persisted) state.drive?.close(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", recolour);
  const small = matchMedia("(max-width: 760px)");
  small.addEventListener("change", () => narrow(small));
  narrow(small);
}

async function begin() {
  reread();
  const setup = await api.setup();
  // A car that the program was started with goes before a kept one, but not before what was
  // made of it in this tab.
  const kept = again(setup.given) || !setup.given ? recallJSON("car") : null;
  const first = kept?.text ? { name: String(kept.name), text: String(kept.text) } : {};
  const asked = api.create(first); // settled while the rest of the page is made
  units.load(setup.units);
  say($("caution"), setup.caution);
  wire(setup);
  doors = new Doors($("doors"), opened);
  will = new Will(setup.questions, shared);
  why = new Why(setup.complaints, shared);
  chooseTheme(["light", "dark"].includes(recall("theme")) ? recall("theme") : "auto");
  chooseUnits(recall("units") === "si" ? "si" : "us");
  await start(first, asked);
  requestAnimationFrame(tick);
  const door = recall("door");
  if (door && doors.has(door)) doors.open(door, false);
  await follow();
}

begin().catch(trouble);
