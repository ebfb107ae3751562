// Colours that move with a quantity, between two that the look defines.

let ends = {};

function parse(text) {
  const n = parseInt(text.trim().slice(1), 16);
  return [n >> 16, (n >> 8) & 255, n & 255];
}

// reread takes the colours of the present look.
export function reread() {
  const style = getComputedStyle(document.documentElement);
  ends = {};
  for (const name of ["deep", "mid", "air", "dry", "wet", "ink", "faint", "rule", "edge", "vacuum", "line", "third", "knee", "bare", "panel", "off-span"]) {
    ends[name] = style.getPropertyValue(`--${name}`).trim();
  }
}

export function colour(name) { return ends[name]; }

function mix(a, b, share) {
  const x = parse(ends[a]), y = parse(ends[b]), s = Math.max(0, Math.min(1, share));
  return `rgb(${x.map((v, i) => Math.round(v + s * (y[i] - v))).join(",")})`;
}

const deepest = 0.8; // of the ambient pressure: as much vacuum as any source here has

// Straight from sand to blue lies the grey of the metal: the way goes by a light blue.
const turn = 0.4;

// gas is the colour of a chamber: sand for outside air, blue for vacuum.
export function gas(vacuum, ambient) { 
  const share = (vacuum ?? 0) / (deepest * ambient);
  return share < turn ? mix("air", "mid", share / turn) : mix("mid", "deep", (share - turn) / (1 - turn));
}

const hardest = 10e6; // Pa

// fluid is the colour of brake fluid: pale without pressure, orange under it.
export function fluid(pressure) { return mix("dry", "wet", Math.sqrt(Math.max(0, pressure) / hardest)); }
