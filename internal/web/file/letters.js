// The program's bytes as letters: Ascii85, five letters for four bytes, as Go's package of
// that name writes it, with v for the < that has a meaning in a page.

export function bytesOf(letters) {
  const zeros = letters.split("z").length - 1; // each stands for four zeros
  const out = new Uint8Array(letters.length + 3 * zeros);
  let n = 0, group = 0, k = 0;
  for (let i = 0; i < letters.length; i++) {
    const c = letters.charCodeAt(i);
    if (c === 122) { n += 4; continue; }
    group = group * 85 + (c === 118 ? 60 : c) - 33;
    if (++k < 5) continue;
    out[n++] = group >>> 24;
    out[n++] = group >>> 16;
    out[n++] = group >>> 8;
    out[n++] = group;
    group = k = 0;
  }
  if (k > 0) {
    for (let j = k; j < 5; j++) group = group * 85 + 84;
    for (let j = 1; j < k; j++, group *= 256) out[n++] = group >>> 24;
  }
  return out.subarray(0, n);
}
