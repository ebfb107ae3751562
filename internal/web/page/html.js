// Making HTML elements.

export function element(name, attributes = {}, ...children) {
  const e = document.createElement(name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

// button does something when it is pressed; a strong one is what comes next.
export function button(words, act, strong) {
  const e = element("button", { type: "button", ...(strong ? { class: "strong" } : {}) }, words);
  e.addEventListener("click", act);
  return e;
}
