// Carries what the page asks to the program inside it: WebAssembly in workers. One drives
// the car; what takes its time has others, so that the pedal goes on.

import { Crew, Hand } from "./crew.js";
import { bytesOf } from "./letters.js";

const held = (id) => document.getElementById(id).textContent;

// What is too old says so in one sentence.
function missing() {
  if (typeof WebAssembly !== "object") return "WebAssembly";
  if (typeof DecompressionStream !== "function") return "DecompressionStream";
  return "";
}

async function unpack() {
  const lack = missing();
  if (lack) throw Object.assign(new Error(`This browser is too old for the program inside this page: it has no ${lack}.`), { told: true });
  const stream = new Blob([bytesOf(held("program"))]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

const program = unpack();
const script = URL.createObjectURL(new Blob([held("worker")], { type: "text/javascript" }));

// Each worker takes some 50 MB, so that more cores than these stay without one.
const mostWorkers = 3;

const driver = new Hand(program, script);
const thinkers = new Crew(Math.max(1, Math.min(mostWorkers, navigator.hardwareConcurrency || 2)), program, script);

// Verbs that come to many simulations, any of which can be done by another worker.
const sharedVerbs = ["choose", "diagnose"];
const sharedPaths = ["api/ask", "api/interview"];

export async function ask(method, path, body, { signal, progress } = {}) {
  const shared = sharedPaths.includes(path) || path === "api/verb" && sharedVerbs.includes(body.verb);
  const thinks = shared || ["api/verb", "api/fit"].includes(path);
  const { status, body: text } = await (thinks ? thinkers.call(method, path, body, { signal, progress, shared }) : driver.call(method, path, body));
  return { status, text };
}

// warm has the workers ready that share what takes its time.
export function warm() { thinkers.start(); }

export async function askFrame(path, body) {
  const { status, text } = await ask("POST", path, body);
  return { status, answer: JSON.parse(text) };
}

export async function fileAt(path) {
  const { text } = await ask("GET", path);
  return URL.createObjectURL(new Blob([text], { type: "application/toml" }));
}
