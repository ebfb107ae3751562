// Numbers with units: SI values in, text in the chosen system out.

let all = {};
let system = "us";

export function load(units) { all = units; }
export function choose(name) { system = name; }
export function chosen() { return system; }
export function unit(dimension) { return all[system][dimension]; }

// number prints no more digits than the unit's step has.
export function number(dimension, si, step = unit(dimension).step) {
  if (si === null || si === undefined) return "–";
  const v = Math.round(si / unit(dimension).scale / step) * step;
  const digits = Math.max(0, Math.min(4, Math.ceil(-Math.log10(step) - 1e-9)));
  return (Object.is(v, -0) ? 0 : v).toFixed(digits).replace(/^-0(\.0*)?$/, "0$1");
}

export function text(dimension, si, step) {
  if (si === null || si === undefined) return "–";
  const name = unit(dimension).name;
  return number(dimension, si, step) + (name ? "\u00a0" + name : "");
}
