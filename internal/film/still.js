// The picture of a report: the page's cutaway alone, with letters as large as on a phone.

import { make } from "./svg.js";
import { Cutaway } from "./cutaway.js";
import { reread } from "./colours.js";
import * as units from "./units.js";

let cutaway;

export function build(root, scene) {
  reread();
  units.load(JSON.parse(scene.setup).units);
  units.choose(scene.units);
  const drawing = make("g", { id: "cutaway" });
  root.append(drawing);
  cutaway = new Cutaway(drawing);
  cutaway.build(JSON.parse(scene.car).shape);
  cutaway.spread(true);
}

export function see() {}

export function show(text, dt) { cutaway.draw(JSON.parse(text), false, dt); }
