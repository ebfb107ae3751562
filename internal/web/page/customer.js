// What is printed for the customer: the first page of a report, from an answer of this page.

import { element } from "./html.js";
import { table } from "./shown.js";

const list = (items) => element("ul", {}, ...items.map((i) => element("li", {}, i)));

// printFor prints a front; said are sentences on what it rests on.
export function printFor(front, said) {
  const sheet = document.getElementById("customer");
  const part = (title, ...what) => [element("h2", {}, title), ...what];
  const measures = (front.measure ?? []).map(({ what, why, how }) => element("li", {}, element("strong", {}, what), why ? ` ${why}. ` : ". ", how));
  sheet.replaceChildren(
    element("div", { class: "form" }, ...["Customer", "Car", "Shop", "Date"].map((name) => element("p", {}, name))),
    ...part(front.question, ...front.verdict.map((w, i) => element("p", i === 0 ? { class: "first" } : {}, w))),
    ...(front.stops ? [table(front.stops)] : []), ...(front.notes ?? []).map((n) => element("p", { class: "small" }, n)),
    ...part("What to do", ...(front.do?.length ? [list(front.do)] : []), ...(front.worth ? [table(front.worth)] : [])),
    ...(measures.length ? part("What to measure first", element("ul", {}, ...measures)) : front.no_measure ? part("What to measure first", element("p", {}, front.no_measure)) : []),
    ...part("What this rests on", ...said.filter(Boolean).map((s) => element("p", { class: "small" }, s))));
  document.body.dataset.print = "customer";
  addEventListener("afterprint", () => { delete document.body.dataset.print; }, { once: true });
  print();
}
