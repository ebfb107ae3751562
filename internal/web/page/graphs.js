// The curves that draw themselves while the pedal is pressed.

import { colour } from "./colours.js";
import { text, number, unit } from "./units.js";

// letters is the size of the page's text, in px; a film's is the usual one. For a room no
// letter is smaller than the page's own.
function letters() {
  const page = document.documentElement, size = parseFloat(getComputedStyle(page).fontSize) || 17;
  return page.classList?.contains("projector") ? (size * 17) / 13 : Math.max(17, size);
}

class Graph {
  constructor(canvas) {
    this.canvas = canvas;
    this.c = canvas.getContext("2d");
    this.dirty = true;
    new ResizeObserver(() => { this.size(); }).observe(canvas);
    this.size();
  }

  size() {
    const dense = Math.min(3, window.devicePixelRatio || 1);
    // Letters are as large beside the page's as 13 px are beside 17: for large text the
    // whole picture is enlarged, and there is less room on it.
    this.large = letters() / 17;
    this.w = this.canvas.clientWidth / this.large;
    this.h = this.canvas.clientHeight / this.large;
    this.canvas.width = Math.round(this.w * this.large * dense);
    this.canvas.height = Math.round(this.h * this.large * dense);
    this.c.setTransform(dense * this.large, 0, 0, dense * this.large, 0, 0);
    this.dirty = true;
  }

  // draw shows what has changed since the last time.
  draw() {
    if (!this.dirty) return;
    this.dirty = false;
    this.paint();
  }

  // axes clears, draws the frame and returns the two scales.
  axes(x, y, left = 54) {
    // A low picture has what its axes are inside, and the curve the room below.
    const low = this.h < 90;
    const c = this.c, box = { left, right: this.w - 12, top: 12, bottom: this.h - (low ? 22 : 40) };
    c.clearRect(0, 0, this.w, this.h);
    c.lineWidth = 1;
    c.font = "13px system-ui, sans-serif";
    c.fillStyle = colour("faint");
    c.strokeStyle = colour("rule");
    const px = (v) => box.left + ((v - x.from) / (x.to - x.from)) * (box.right - box.left);
    const py = (v) => box.bottom - ((v - y.from) / (y.to - y.from)) * (box.bottom - box.top);
    c.textAlign = "right"; c.textBaseline = "middle";
    // Where there is little room there are few figures: none lies over another.
    const few = (most, room, each) => Math.max(1, Math.min(most, Math.floor(room / each)));
    const grid = ticks(y.from, y.to, y.unit, few(Math.max(3, Math.floor(this.h / 55)), box.bottom - box.top, 18));
    c.beginPath();
    for (const t of grid) { c.moveTo(box.left, py(t.v)); c.lineTo(box.right, py(t.v)); }
    c.stroke();
    for (const t of grid) c.fillText(t.text, box.left - 6, py(t.v));
    c.textAlign = "center"; c.textBaseline = "top";
    for (const t of x.ticks ?? ticks(x.from, x.to, x.unit, few(Math.max(3, Math.floor(this.w / 80)), box.right - box.left, 50))) c.fillText(t.text, px(t.v), box.bottom + 5);
    c.textAlign = "right"; c.fillText(x.label, box.right, box.bottom + (low ? -17 : 22));
    c.textAlign = "left"; c.fillText(y.label, low ? box.left + 6 : 2, low ? box.top - 8 : box.bottom + 22);
    c.strokeStyle = colour("edge");
    c.beginPath(); c.moveTo(box.left, box.top); c.lineTo(box.left, box.bottom); c.lineTo(box.right, box.bottom); c.stroke();
    // What the horizontal axis has is told to who writes a name beside it.
    const told = low ? { left: box.right - 9 * x.label.length, right: box.right, top: box.bottom - 18, bottom: box.bottom } : null;
    return { px, py, box, told };
  }

  // line joins points, each with its x under one key and its y under another; one
  // without a y is left out.
  line(points, px, py, style, width, dash = [], x = 0, y = 1) {
    if (points.length < 2) return;
    const c = this.c;
    c.save();
    c.strokeStyle = style; c.lineWidth = width; c.lineJoin = "round"; c.setLineDash(dash);
    c.beginPath();
    let first = true;
    for (const p of points) {
      if (p[y] === null) continue;
      if (first) c.moveTo(px(p[x]), py(p[y])); else c.lineTo(px(p[x]), py(p[y]));
      first = false;
    }
    c.stroke();
    c.restore();
  }

  dot(x, y, style, r = 6) {
    const c = this.c;
    c.beginPath(); c.arc(x, y, r, 0, 7); c.fillStyle = style; c.fill();
    c.lineWidth = 2; c.strokeStyle = colour("panel"); c.stroke();
  }

  // wordBox is the room that a word takes, about: a letter is at most 9 px wide.
  wordBox(textOf, x, y, align) {
    const wide = 9 * textOf.length, left = align === "right" ? x - wide : x;
    return { left: left - 2, right: left + wide + 2, top: y - 9, bottom: y + 9 };
  }

  word(textOf, x, y, style, align = "left") {
    const c = this.c;
    c.font = wordFont;
    c.textAlign = align; c.textBaseline = "middle";
    c.lineWidth = 4; c.strokeStyle = colour("panel"); c.strokeText(textOf, x, y);
    c.fillStyle = style; c.fillText(textOf, x, y);
  }
}

const wordFont = "600 14px system-ui, sans-serif";
const meet = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

// ticks are round numbers of a unit.
function ticks(from, to, u, about) {
  const a = from / u.scale, b = to / u.scale, raw = (b - a) / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((k) => k * power).find((k) => k >= raw);
  const out = [];
  for (let v = Math.ceil(a / step - 1e-9) * step; v <= b + step * 1e-6; v += step) out.push({ v: v * u.scale, text: String(+v.toFixed(6)) });
  return out;
}

// The force curve with its knee, and the present press over it.
export class ForceGraph extends Graph {
  trail = []; bare = []; knees = []; vacuum = null; curve = null; at = [0, 0]; bareAt = 0; manual = false;
  // With unveil the study's curves stay hidden, and its knee until the press is there.
  unveil = false;

  // The curves of the car before stay, pale, until those of the new one come.
  car() { this.stale = true; this.knees = []; this.clear(); }
  clear() { this.trail = []; this.bare = []; this.dirty = true; }
  show(curve) { this.curve = curve; this.stale = false; this.dirty = true; }
  // Where help ends at several vacua: from then on the knee goes with the vacuum.
  showKnees(knees) { this.knees = knees; this.dirty = true; }

  see(frame, manual) {
    const p = frame.pedal_n, last = this.trail.at(-1);
    if (p < 1 && this.at[0] >= 1) {
      this.released = true;
      this.trail.push([p, Math.max(0, frame.line_front_pa)]);
      this.bare.push([p, Math.max(0, frame.manual.line_front_pa)]);
    }
    if (p >= 1 && (this.released || !last)) { this.clear(); this.trail.push([0, 0]); this.bare.push([0, 0]); this.released = false; }
    this.manual = manual;
    this.vacuum = frame.front_vacuum_pa;
    this.at = [p, Math.max(0, frame.line_front_pa)];
    this.bareAt = Math.max(0, frame.manual.line_front_pa);
    if (p >= 1 && (!last || Math.abs(last[0] - p) > 0.7 || Math.abs(last[1] - this.at[1]) > 15e3)) {
      this.trail.push(this.at);
      this.bare.push([p, this.bareAt]);
      if (this.trail.length > 900) { this.trail = thin(this.trail); this.bare = thin(this.bare); }
    }
    this.dirty = true;
  }

  // knee is where help ends with the vacuum that there is, [force, pressure], or null.
  knee() {
    const k = this.curve;
    if (!k || this.stale) return null;
    if (this.knees.length < 2 || this.vacuum === null) return k.knee.pedal_n === null ? null : [k.knee.pedal_n, k.knee.line_pa];
    const at = kneeAt(this.knees, this.vacuum);
    return at[0] > (k.cut_in.pedal_n ?? 0) && at[1] > 0 ? at : null;
  }

  reached(force) { return this.trail.some((p) => p[0] >= force); }

  paint() {
    const k = this.curve, last = k?.press.at(-1) ?? [500, 8e6];
    const xTo = Math.max(last[0], this.at[0] * 1.05), yTo = Math.max(last[1], k?.manual.at(-1)?.[1] ?? 0, this.at[1], 2e6) * 1.08;
    const { px, py, box, told } = this.axes(
      { from: 0, to: xTo, unit: unit("force"), label: `pedal force, ${unit("force").name}` },
      { from: 0, to: yTo, unit: unit("pressure"), label: unit("pressure").name });
    if (k && !this.unveil) {
      this.line(k.press, px, py, colour(this.stale ? "rule" : "edge"), 2.5);
      this.line(k.release, px, py, colour(this.stale ? "rule" : "edge"), 1);
      this.line(k.manual, px, py, colour(this.stale ? "rule" : "bare"), 2, [6, 5]);
    }
    const knee = this.knee(), named = knee && knee[0] <= xTo && (!this.unveil || this.reached(knee[0])) ? this.kneeWord(px(knee[0]), py(knee[1]), box, told) : null;
    const m = k?.manual.at(-1);
    if (m && (!this.unveil || this.reached(0.75 * m[0]))) this.manualWord(m, named, told, px, py);
    this.line(this.trail, px, py, colour("line"), this.manual ? 2 : 4);
    this.line(this.bare, px, py, colour("bare"), this.manual ? 4 : 2.5);
    if (this.knees.length >= 2 && !this.unveil && !this.stale) {
      // The places that it goes through, up to the most vacuum that there is room for.
      this.line(this.knees.map((n) => [n.pedal_n, n.line_pa]).filter((n) => n[0] <= xTo && n[1] <= yTo), px, py, colour("knee"), 1, [2, 4]);
    }
    if (named) {
      this.dot(px(knee[0]), py(knee[1]), colour("knee"), 6);
      this.word("knee", named.x, named.y, colour("knee"), named.align);
    }
    if (this.at[0] >= 1) {
      this.dot(px(this.at[0]), py(this.bareAt), colour("bare"), this.manual ? 7 : 5);
      this.dot(px(this.at[0]), py(this.at[1]), colour("line"), this.manual ? 5 : 7);
    }
  }

  // kneeWord is where the knee's name stands: near the axis right of its dot, clear of the
  // axis's figures; in a low picture left of it, where there is room.
  kneeWord(x, y, box, told) {
    const left = x - box.left > (told ? 46 : 64);
    return { x: x + (left ? -10 : 12), y: Math.max(box.top + 8, y + (left ? -12 : 14)), align: left ? "right" : "left" };
  }

  // manualWord names the manual pedal's line below its end, the lower the more something
  // else is in the way; where there is no room the line goes without.
  manualWord(end, knee, told, px, py) {
    const x = px(end[0]) - 4, taken = [knee && this.wordBox("knee", knee.x, knee.y, knee.align), told].filter(Boolean);
    const y = [0.62, 0.4, 0.25].map((share) => py(share * end[1]) + 4).find((at) => !taken.some((box) => meet(box, this.wordBox("manual", x, at, "right"))));
    if (y !== undefined) this.word("manual", x, y, colour("bare"), "right");
  }

  describe() {
    const k = this.curve;
    const at = this.unveil ? null : this.knee();
    const knee = at ? `With this vacuum the knee is at ${text("force", at[0])} and ${text("pressure", at[1])}. ` : "";
    return `Line pressure over pedal force. ${knee}Now ${text("force", this.at[0])} gives ${text("pressure", this.at[1])}, a manual pedal ${text("pressure", this.bareAt)}.`.replaceAll("\u00a0", " ");
  }
}

// kneeAt is where help ends at a vacuum: on the line through the nearest two that are known.
export function kneeAt(knees, vacuum) {
  const above = knees.findIndex((n) => n.vacuum_pa > vacuum), i = above < 0 ? knees.length - 1 : Math.max(1, above);
  const [a, b] = [knees[i - 1], knees[i]], share = (vacuum - a.vacuum_pa) / (b.vacuum_pa - a.vacuum_pa);
  return [a.pedal_n + share * (b.pedal_n - a.pedal_n), a.line_pa + share * (b.line_pa - a.line_pa)];
}

function thin(points) { return points.filter((_, i) => i % 2 === 0); }

// The vacuum over the last half minute, or another span.
export class VacuumGraph extends Graph {
  samples = [];
  offWord = "engine off";

  constructor(canvas, span = 30) {
    super(canvas);
    this.span = span;
  }

  car() { this.samples = []; this.dirty = true; }

  see(frame) {
    const last = this.samples.at(-1);
    if (last && frame.time_s < last.t) this.samples = [];
    if (last && frame.time_s - last.t < this.span / 750) return;
    this.samples.push({ t: frame.time_s, front: frame.front_vacuum_pa, rear: frame.working_vacuum_pa, tank: frame.reservoir_vacuum_pa, source: frame.manifold_vacuum_pa, off: frame.engine === "off" });
    while (this.samples[0].t < frame.time_s - this.span) this.samples.shift();
    this.dirty = true;
  }

  paint() {
    const end = Math.max(this.span, this.samples.at(-1)?.t ?? 0), from = end - this.span;
    let most = 70e3;
    for (const s of this.samples) most = Math.max(most, s.front ?? 0, s.source ?? 0, s.tank ?? 0);
    const seconds = { name: "s", scale: 1 };
    const { px, py, box } = this.axes(
      { from, to: end, unit: seconds, label: "time, s" },
      // Above the curves is room for a word.
      { from: 0, to: most * 1.22, unit: unit("vacuum"), label: unit("vacuum").name });
    const c = this.c;
    let start = null;
    for (let i = 0; i <= this.samples.length; i++) {
      const s = this.samples[i];
      if (s?.off && start === null) start = s.t;
      if ((!s || !s.off) && start !== null) {
        const to = s ? s.t : this.samples.at(-1).t;
        c.fillStyle = colour("off-span");
        c.fillRect(px(start), box.top, px(to) - px(start), box.bottom - box.top);
        if (px(to) - px(start) > 70) this.word(this.offWord, px(start) + 6, box.top + 12, colour("faint"));
        start = null;
      }
    }
    const over = (key, style, width, dash) => this.line(this.samples, px, py, style, width, dash, "t", key);
    over("source", colour("edge"), 1.5, [2, 3]);
    over("tank", colour("third"), 2, [8, 4]);
    over("rear", colour("third"), 2);
    over("front", colour("vacuum"), 4);
    const now = this.samples.at(-1);
    if (!now || now.front === null) { if (now) this.word("no booster, no vacuum", (box.left + box.right) / 2, (box.top + box.bottom) / 2, colour("faint"), "center"); return; }
    const apartEnough = Math.abs(py(now.front) - py(now.rear)) > 18;
    const room = apartEnough ? 50 : 108, left = px(now.t) < box.right - room;
    const x = px(now.t) + (left ? 8 : -8), align = left ? "left" : "right";
    // Left of now the word stands over whatever the curve was there.
    let highest = now.front;
    if (!left) for (const s of this.samples) if (px(s.t) > x - room) highest = Math.max(highest, s.front ?? 0);
    this.word(apartEnough ? "front" : "front and rear", x, Math.max(box.top + 10, py(highest) - 13), colour("vacuum"), align);
    if (apartEnough) this.word("rear", x, Math.min(box.bottom - 8, py(now.rear) + 13), colour("third"), align);
  }

  describe() {
    const now = this.samples.at(-1);
    if (!now || now.front === null) return "Vacuum over time: there is no booster.";
    return `Vacuum over the last 30 seconds. Now ${text("vacuum", now.front)} in front, ${text("vacuum", now.rear)} behind.`.replaceAll("\u00a0", " ");
  }
}

// The stops that the study has, as bars of the vacuum each begins with.
export class StopsGraph extends Graph {
  reserve = null; left = null; made = 0; vacuum = null;

  car() { this.stale = true; this.dirty = true; }
  show(reserve) { this.reserve = reserve; this.stale = false; this.dirty = true; }

  see(frame) {
    const key = `${frame.stops_left?.stops} ${frame.stops_made}`;
    if (key === this.key) return;
    this.key = key;
    this.left = frame.stops_left;
    this.made = frame.stops_made;
    this.dirty = true;
  }

  paint() {
    const stops = this.reserve?.stops ?? [], n = Math.max(1, stops.length);
    let most = 60e3;
    for (const s of stops) most = Math.max(most, s.vacuum_before_pa ?? 0);
    const { px, py, box } = this.axes(
      { from: 0.4, to: n + 0.6, ticks: stops.map((s) => ({ v: s.stop, text: String(s.stop) })), label: "stop" },
      { from: 0, to: most * 1.2, unit: unit("vacuum"), label: `${unit("vacuum").name} before` });
    const c = this.c;
    if (!this.reserve) { this.word("simulating…", (box.left + box.right) / 2, (box.top + box.bottom) / 2, colour("faint"), "center"); return; }
    if (this.stale) this.word("simulating…", box.right, box.top + 8, colour("faint"), "right");
    const width = Math.min(46, ((box.right - box.left) / (n + 0.2)) * 0.66), good = this.reserve.heavy_stops;
    const gone = this.left ? good - this.left.stops : 0;
    for (const s of stops) {
      const x = px(s.stop), y = py(Math.max(0, s.vacuum_before_pa ?? 0));
      c.lineWidth = 2;
      c.strokeStyle = s.stop <= good ? colour("vacuum") : colour("edge");
      c.setLineDash(s.stop <= good ? [] : [4, 4]);
      if (!this.stale && s.stop <= good && s.stop > gone) { c.fillStyle = colour("vacuum"); c.fillRect(x - width / 2, y, width, box.bottom - y); }
      c.strokeRect(x - width / 2, y, width, box.bottom - y);
      c.setLineDash([]);
      c.strokeStyle = colour(s.stop <= good ? "vacuum" : "faint");
      c.lineWidth = 2.5;
      c.beginPath();
      const m = y - 11;
      if (s.stop <= good) { c.moveTo(x - 6, m); c.lineTo(x - 1, m + 5); c.lineTo(x + 7, m - 5); } else { c.moveTo(x - 5, m - 5); c.lineTo(x + 5, m + 5); c.moveTo(x + 5, m - 5); c.lineTo(x - 5, m + 5); }
      c.stroke();
    }
  }

  describe() {
    if (!this.reserve || this.stale) return "Stops left once the engine is off: being simulated.";
    const r = this.reserve;
    return `Once the engine is off, ${r.counted}. ${this.made} made so far.`;
  }
}
