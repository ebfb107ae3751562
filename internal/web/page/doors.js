// Three doors into one car: whether it stops, why its pedal is hard, how it all works.

export class Doors {
  // opened is told which door was opened.
  constructor(nav, opened) {
    this.buttons = [...nav.querySelectorAll("button[data-door]")];
    this.opened = opened;
    for (const b of this.buttons) b.addEventListener("click", () => this.open(b.dataset.door));
    this.now = "how";
  }

  has(door) { return this.buttons.some((b) => b.dataset.door === door); }

  open(door, focus = true) {
    this.now = door;
    document.body.dataset.door = door;
    for (const b of this.buttons) {
      const on = b.dataset.door === door;
      if (on) b.setAttribute("aria-current", "page");
      else b.removeAttribute("aria-current");
      document.getElementById(`door-${b.dataset.door}`).hidden = !on;
    }
    this.opened(door);
    const title = document.getElementById(`${door}-title`);
    if (focus && title) title.focus();
  }
}
