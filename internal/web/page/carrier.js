// Carries what the page asks to its server. A page in one file has another carrier in this
// one's place: see file/carrier.js.

// ask sends a request and returns its status and text.
export async function ask(method, path, body, { signal, keepalive } = {}) {
  const more = { signal, keepalive };
  const response = await fetch(path, method === "GET" ? more : {
    method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), ...more,
  });
  return { status: response.status, text: await response.text() };
}

const courier = new Worker(new URL("courier.js", import.meta.url), { type: "module" });

// askFrame has the courier ask; one request is under way at a time.
export function askFrame(path, body) {
  return new Promise((done, failed) => {
    courier.onmessage = ({ data }) => {
      if (data.lost) failed(new Error(data.lost));
      else done(data);
    };
    courier.onerror = () => failed(new Error("the courier is lost"));
    courier.postMessage({ path, body });
  });
}

// thinking is never the page's own doing here.
export function thinking() { return false; }

// warm has nothing to get ready: the server is.
export function warm() {}

// rehearse: the server's code is as quick at first as later.
export function rehearse() {}

// fileAt is the address of a file to save.
export async function fileAt(path) { return path; }
