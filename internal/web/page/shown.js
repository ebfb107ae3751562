// An answer as the program sets it: words, tables, and curves.

import { element } from "./html.js";
import { picture } from "./picture.js";

let tables = 0;

// table sets one table of an answer.
export function table({ name, head, left, rows }) {
  const id = `table-${++tables}`;
  const side = (i) => (left[i] ? {} : { class: "number" });
  return element("div", { class: "shown-table", role: "region", tabindex: "0", "aria-labelledby": id },
    element("table", {}, element("caption", { id }, name),
      element("thead", {}, element("tr", {}, ...head.map((h, i) => element("th", { scope: "col", ...side(i) }, h)))),
      element("tbody", {}, ...rows.map((row) => element("tr", {}, ...row.map((cell, i) => (
        i === 0 ? element("th", { scope: "row", ...side(i) }, cell) : element("td", side(i), cell))))))));
}

// show puts an answer, in one system of units, in the place of another.
export function show(root, { words, tables: all, figures }) {
  root.replaceChildren(
    ...words.map((w, i) => element("p", i === 0 ? { class: "first" } : {}, w)),
    ...figures.flatMap((f) => f.panels.map((p) => picture(p, f))),
    ...all.filter((t) => t.rows.length > 0).map(table));
}
