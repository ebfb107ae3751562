// What the page keeps on this device and nowhere else.

let able = true;

function store() {
  try { return globalThis.localStorage; } catch { return null; }
}

export function recall(key) {
  try { return store()?.getItem(key) ?? null; } catch { return null; }
}

// keep says whether it could: a private window, or a full one, keeps nothing.
export function keep(key, value) {
  try {
    if (value === null) store().removeItem(key);
    else store().setItem(key, value);
    able = true;
  } catch {
    able = false;
  }
  return able;
}

// again says whether this tab had the page on something before: it was loaded again then,
// not opened.
export function again(what) {
  try {
    const before = globalThis.sessionStorage.getItem("on");
    globalThis.sessionStorage.setItem("on", what);
    return before === what;
  } catch {
    return false;
  }
}

export function recallJSON(key) {
  try { return JSON.parse(recall(key)); } catch { return null; }
}

// words say what becomes of the car when the page is closed.
export function words() {
  return able ? "The car is kept in this browser, on this device only, until the next visit."
    : "This browser keeps nothing for this page, so the car is gone with the window: save it as a file.";
}
