// The worker that runs the program: first a module comes, then one request after another.
// Go's own support script stands before this.

let answer;
const ready = new Promise((done) => { answer = done; });
globalThis.kneepointReady = () => answer();

onmessage = async ({ data: { module, id, method, path, body } }) => {
  if (module) {
    const go = new Go();
    go.run(await WebAssembly.instantiate(module, go.importObject));
    return;
  }
  await ready;
  postMessage({ id, ...await globalThis.kneepointCall(method, path, body) });
};
