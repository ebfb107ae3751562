// Making SVG elements.

const space = "http://www.w3.org/2000/svg";

export function make(name, attributes = {}, ...children) {
  const e = document.createElementNS(space, name);
  set(e, attributes);
  e.append(...children);
  return e;
}

export function set(e, attributes) {
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
}

// say writes a text only when it has changed, since writing lays out anew.
export function say(e, text) {
  if (e.textContent !== text) e.textContent = text;
}
