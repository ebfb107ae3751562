// Curves over one pair of axes, as SVG.

import { make as svg } from "./svg.js";
import { element } from "./html.js";

const wide = 720, high = 300, left = 64, right = 16, top = 16, bottom = 46;

// steps are round values within a range, five or so.
export function steps(from, to) {
  const rough = (to - from) / 5 || 1, ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((k) => k * ten).find((s) => s >= rough * 0.999);
  const out = [];
  for (let k = Math.ceil(from / step - 1e-9); k * step <= to + step * 1e-9; k++) out.push(+(k * step).toPrecision(12));
  return out;
}

function range(values) {
  let low = Infinity, high = -Infinity;
  for (const v of values) {
    if (!Number.isFinite(v)) continue;
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  if (low > high) return [0, 1];
  return low === high ? [low - 1, high + 1] : [low, high];
}

export function picture({ x, y, curves }, { title, note }) {
  const [x0, x1] = range(curves.flatMap((c) => c.x)), [y0, y1] = range(curves.flatMap((c) => c.y));
  const px = (v) => left + ((v - x0) / (x1 - x0)) * (wide - left - right);
  const py = (v) => high - bottom - ((v - y0) / (y1 - y0)) * (high - top - bottom);
  const root = svg("svg", { class: "picture", viewBox: `0 0 ${wide} ${high}`, role: "img", "aria-label": `${title}: ${y} over ${x}` });
  for (const v of steps(x0, x1)) root.append(svg("path", { class: "grid", d: `M${px(v)} ${top}V${high - bottom}` }), svg("text", { x: px(v), y: high - bottom + 18, class: "mid" }, String(v)));
  for (const v of steps(y0, y1)) root.append(svg("path", { class: "grid", d: `M${left} ${py(v)}H${wide - right}` }), svg("text", { x: left - 8, y: py(v) + 5, class: "end" }, String(v)));
  root.append(svg("text", { x: (left + wide - right) / 2, y: high - 8, class: "mid" }, x));
  curves.forEach((c, i) => {
    const kind = c.dots ? "logged" : `curve-${i % 3}`;
    if (c.dots) {
      for (let k = 0; k < c.x.length; k++) root.append(svg("circle", { class: kind, cx: px(c.x[k]).toFixed(1), cy: py(c.y[k]).toFixed(1), r: 2.4 }));
    } else root.append(svg("path", { class: kind, d: "M" + c.x.map((v, k) => `${px(v).toFixed(1)} ${py(c.y[k]).toFixed(1)}`).join("L") }));
  });
  const key = curves.filter((c) => c.label).map((c) => element("li", { class: c.dots ? "logged" : `curve-${curves.indexOf(c) % 3}` }, c.label));
  return element("figure", {}, element("figcaption", {}, y), root, ...(key.length ? [element("ul", { class: "key" }, ...key)] : []), element("p", { class: "small" }, note));
}
