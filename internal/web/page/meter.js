// The script time of the last frames, in milliseconds: drawing one and reading
// the server's answer to it.

const kept = 900;
const ring = new Float64Array(kept);
let count = 0;
let open = 0;

// Milliseconds of script a frame, lately: from the one on they take turns, until they
// cost less than the other.
const dearFrom = 2.5, cheapFrom = 0.8;
let usual = 0, turns = false;

export function timed(work) {
  const start = performance.now();
  try { return work(); } finally { open += performance.now() - start; }
}

export function frameDone() {
  ring[count++ % kept] = open;
  usual += 0.05 * (open - usual);
  if (usual > dearFrom) turns = true;
  else if (usual < cheapFrom) turns = false;
  open = 0;
}

// takeTurns says that a picture costs so much that drawing and curves should not both
// be painted in one: a machine that paints slowly then shows each half as often.
export function takeTurns() { return turns; }

export function recent() { return Array.from(ring.subarray(0, Math.min(count, kept))); }
