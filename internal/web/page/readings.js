// What a scenario's text says of the search for a fault, apart from the car: its table
// [diagnose] and its readings.

import { faultNames } from "./words.js";

const header = /^\s*\[/, reading = /^\s*\[\[\s*reading\s*\]\]/, search = /^\s*\[\s*diagnose\s*\]/, complaint = /^\s*complaint\s*=/;

function blocks(text) {
  const out = [[]];
  for (const line of text.split("\n")) {
    if (header.test(line)) out.push([]);
    out.at(-1).push(line);
  }
  return out;
}

const is = (block, what) => what.test(block[0] ?? "");
const searched = (block) => is(block, reading) || is(block, search);
const joined = (list) => list.map((b) => b.join("\n").trim()).filter((b) => b !== "").join("\n\n");

// without takes readings out of a scenario's text: the last one, or all with the complaint.
export function without(text, all) {
  const from = blocks(text), last = from.findLastIndex((b) => is(b, reading));
  const kept = from.filter((b, i) => !(is(b, reading) && (all || i === last)));
  const drops = all || last < 0;
  return kept.map((b) => (drops && is(b, search) ? b.filter((l) => !complaint.test(l)) : b)).flat().join("\n");
}

// carOf is the car alone: two texts have the same where only the search went on.
export const carOf = (text) => joined(blocks(text).filter((b) => !searched(b)));

// withSearchOf is one text's car with the search of another.
export const withSearchOf = (text, other) => joined([[carOf(text)], ...blocks(other).filter(searched)]) + "\n";

const entries = (block) => block.flatMap((l) => {
  const [, key, value] = l.match(/^\s*([a-z_]+)\s*=\s*(.*?)\s*$/) ?? [];
  return key ? [[key, value.replace(/^"(.*)"$/, "$1").replaceAll('\\"', '"')]] : [];
});

// plain is a name of the program's in words.
const plain = (name) => (faultNames[name] ?? name).replaceAll("-", " ").toLowerCase();

// plainly has an answer's tables say faults and tests in words, as its sentences do.
export function plainly(shown) {
  const said = (cell) => cell.replace(/[a-z]+(?:-[a-z]+)+/g, (name) => plain(name));
  return { ...shown, tables: shown.tables.map((t) => ({ ...t, rows: t.rows.map((r) => r.map(said)) })) };
}

// answers are what was answered: the complaint's name, and each reading in a line.
export function answers(text) {
  const all = blocks(text);
  const said = Object.fromEntries(all.filter((b) => is(b, search)).flatMap(entries)).complaint;
  const readings = all.filter((b) => is(b, reading)).map((b) => {
    const { test = "", ...more } = Object.fromEntries(entries(b));
    return `${plain(test)}: ${Object.entries(more).map(([key, value]) => `${key.replaceAll("_", " ")} ${value}`).join(", ")}`;
  });
  return { complaint: said, readings };
}
