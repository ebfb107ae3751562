// What is happening, in words.

import { text } from "./units.js";

const phases = {
  "rest": () => "At rest. Both chambers hold the same vacuum: the vacuum seat joins them, the air seat is shut.",
  "applying": () => "Pressing. The vacuum seat is shut, the air seat open: outside air fills the rear chamber and pushes the diaphragm.",
  "holding": () => "Holding. Both seats are shut and nothing flows: the forces are in balance.",
  "run-out": () => "Past the knee. The rear chamber is full of outside air: all the help there is has been given, and only your foot adds more.",
  "releasing": () => "Letting go. The air seat is shut, the vacuum seat open: air crosses to the front chamber and the spring pushes back.",
  "no help": () => "No vacuum is left. Your foot alone presses the brakes.",
  "unboosted": () => "No booster: the rod pushes the master cylinder with what your foot and the lever give.",
};

export function phaseWords(frame, manual) {
  return (phases[manual ? "unboosted" : frame.phase] ?? phases.holding)();
}

// summary is a whole picture in one sentence, for who cannot see it.
export function summary(frame, manual) {
  const line = manual ? frame.manual.line_front_pa : frame.line_front_pa;
  let out = `${phaseWords(frame, manual)} Pedal ${text("force", frame.pedal_n)}, line pressure ${text("pressure", line)}`;
  if (frame.front_vacuum_pa !== null) out += `, vacuum in front ${text("vacuum", frame.front_vacuum_pa)}, behind ${text("vacuum", frame.working_vacuum_pa)}`;
  return out.replaceAll("\u00a0", " ") + ".";
}

export const faultNames = {
  "check-valve-leak": "Check valve leaks", "hose-leak": "Hose leaks", "hose-restricted": "Hose pinched",
  "front-shell-leak": "Front shell leaks", "diaphragm-torn": "Diaphragm torn", "air-seat-leak": "Air seat leaks",
  "vacuum-seat-leak": "Vacuum seat leaks", "filter-blocked": "Air filter blocked", "low-source-vacuum": "Engine gives little vacuum",
  "booster-undersized": "Booster too small", "pedal-ratio-wrong": "Pedal ratio too small", "bore-oversize": "Bore too large",
  "pushrod-too-long": "Pushrod too long", "air-in-circuit": "Air in the front circuit",
};
