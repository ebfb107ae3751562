// Carries what the page asks to the program inside it: WebAssembly in workers. One drives
// the car; what takes its time has others, so that the pedal goes on.

import { Crew, Hand } from "./crew.js";
import { bytesOf } from "./letters.js";

// What is too old says so in one sentence.
function missing() {
  if (typeof WebAssembly !== "object") return "WebAssembly";
  if (typeof DecompressionStream !== "function") return "DecompressionStream";
  return "";
}

// The program stands behind this script in pieces. Each is unpacked and compiled as soon as
// the browser has read it, while it reads the next, and goes from the page then.
async function compile() {
  const lack = missing();
  if (lack) throw Object.assign(new Error(`This browser is too old for the program inside this page: it has no ${lack}.`), { told: true });
  const pieces = new ReadableStream({
    start(to) {
      globalThis.kneepointPiece = () => {
        const piece = document.currentScript.previousElementSibling;
        to.enqueue(bytesOf(piece.textContent));
        piece.remove();
      };
      document.addEventListener("DOMContentLoaded", () => to.close(), { once: true });
    },
  });
  const code = pieces.pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compileStreaming(new Response(code, { headers: { "Content-Type": "application/wasm" } }));
}

const program = compile();
const script = URL.createObjectURL(new Blob([document.getElementById("worker").textContent], { type: "text/javascript" }));

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

// thinking says that all workers share something, which wants the processor.
export function thinking() { return thinkers.jobs.size > 0; }

// warm has the workers ready that share what takes its time.
export function warm() { thinkers.start(); }

// What a rehearsal asks: of the usual car, whether one booster does.
const short = { verb: "choose", document: '[choose]\nboosters = ["8 in"]\n' };

// rehearse has one worker answer something short before something long comes. A browser
// makes a program's code quick only while it runs, and all workers run the same.
let rehearsed;
export function rehearse() { rehearsed ??= thinkers.hands.at(-1).call("POST", "api/verb", short).catch(() => {}); }

export async function askFrame(path, body) {
  const { status, text } = await ask("POST", path, body);
  return { status, answer: JSON.parse(text) };
}

export async function fileAt(path) {
  const { text } = await ask("GET", path);
  return URL.createObjectURL(new Blob([text], { type: "application/toml" }));
}
