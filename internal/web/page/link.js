// A car in a link: the scenario's text, compressed (deflate, RFC 1951), in the letters of
// base64url (RFC 4648), behind the # of the address. A browser sends that part to nobody.

const mark = "#car=";

// The longest scenario that is opened, in bytes, as for a file.
const longest = 1 << 20;

const want = "want the whole link, as it was copied";

function able() {
  if (!globalThis.CompressionStream || !globalThis.DecompressionStream) throw new Error("link: this browser is too old to make or to read one");
}

async function gather(stream, most) {
  const parts = [], reader = stream.getReader();
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    size += value.length;
    if (size > most) {
      reader.cancel().catch(() => {});
      return null;
    }
    parts.push(value);
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}

// pack returns the part of an address from # on that holds a scenario.
export async function pack(text) {
  able();
  const bytes = await gather(new Blob([text]).stream().pipeThrough(new CompressionStream("deflate-raw")), Infinity);
  let letters = "";
  for (const b of bytes) letters += String.fromCharCode(b);
  return mark + btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

// holds says whether an address brings a car.
export function holds(hash) { return hash.startsWith(mark); }

// unpack returns the document in such a part, or throws why there is none.
export async function unpack(hash) {
  able();
  const letters = hash.slice(mark.length);
  const strange = letters.match(/[^A-Za-z0-9_-]/u);
  if (strange) throw new Error(`link: read ${JSON.stringify(strange[0])} in it, ${want}`);
  if (letters === "") throw new Error(`link: read nothing behind ${mark}, ${want}`);
  let bytes;
  try {
    const packed = Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
    bytes = await gather(new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw")), longest);
  } catch {
    throw new Error(`link: read ${letters.length} letters that are cut off or changed, ${want}`);
  }
  if (!bytes) throw new Error("link: read more than 1 MiB, want a scenario of at most 1 MiB");
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Error(`link: read bytes that are no text, ${want}`);
  }
  return { name: "link", text };
}
