// An answer as the program sets it: words, tables, and curves.

import { make } from "./dom.js";
import { picture } from "./picture.js";

let tables = 0;

function table({ name, head, left, rows }) {
  const id = `table-${++tables}`;
  const side = (i) => (left[i] ? {} : { class: "number" });
  return make("div", { class: "wide", role: "region", tabindex: "0", "aria-labelledby": id },
    make("table", {}, make("caption", { id }, name),
      make("thead", {}, make("tr", {}, ...head.map((h, i) => make("th", { scope: "col", ...side(i) }, h)))),
      make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map((cell, i) => (
        i === 0 ? make("th", { scope: "row", ...side(i) }, cell) : make("td", side(i), cell))))))));
}

// show puts an answer, in one system of units, in the place of another.
export function show(root, { words, tables: all, figures }) {
  root.replaceChildren(
    ...words.map((w, i) => make("p", i === 0 ? { class: "first" } : {}, w)),
    ...figures.flatMap((f) => f.panels.map((p) => picture(p, f))),
    ...all.filter((t) => t.rows.length > 0).map(table));
}
