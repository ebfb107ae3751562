// The fault behind a teacher's number.

export const mostNumber = 999999;

// readNumber takes what was typed, or throws what would be right.
export function readNumber(text) {
  const typed = text.trim();
  if (!/^\d+$/.test(typed) || Number(typed) < 1 || Number(typed) > mostNumber) {
    throw new Error(`number: read ${JSON.stringify(typed)}, want a whole number from 1 to ${mostNumber}`);
  }
  return Number(typed);
}

// draw gives the same one of a list for the same number, anywhere and at any time. The
// factor spreads neighbours (2^32 over the golden ratio, as in Knuth's hashing).
export function draw(number, list) {
  return list[(Math.imul(number, 2654435769) >>> 8) % list.length];
}
