// The script time of the last frames, in milliseconds: drawing one and reading
// the server's answer to it.

const kept = 900;
const ring = new Float64Array(kept);
let count = 0;
let open = 0;

export function timed(work) {
  const start = performance.now();
  try { return work(); } finally { open += performance.now() - start; }
}

export function frameDone() {
  ring[count++ % kept] = open;
  open = 0;
}

export function recent() { return Array.from(ring.subarray(0, Math.min(count, kept))); }
