// What is happening, in words.

import { text } from "./units.js";

const phases = {
  "rest": "At rest.",
  "applying": "Pressing. Outside air fills the rear chamber and pushes the diaphragm.",
  "holding": "Holding. The forces are in balance.",
  "run-out": "Past the knee. The rear chamber is full of outside air: all the help there is has been given, and only your foot adds more.",
  "releasing": "Letting go. Air crosses to the front chamber and the spring pushes back.",
  "no help": "No vacuum is left. Your foot alone presses the brakes.",
  "unboosted": "No booster: the rod pushes the master cylinder with what your foot and the lever give.",
};

// openness says how far a seat of the valve is open.
export function openness(share) {
  if (share === null || share < 0.005) return "shut";
  return share > 0.6 ? "wide open" : share > 0.08 ? "open" : "just open";
}

// seats says where the two seats stand in this very frame.
function seats(frame) {
  const air = openness(frame.air_open), vacuum = openness(frame.vacuum_open);
  return air === "shut" && vacuum === "shut" ? "Both seats are shut." : `Vacuum seat ${vacuum}, air seat ${air}.`;
}

// From this travel of the master cylinder's piston on its cup covers the ports, in m.
export const portPassed = 1e-3;

export function phaseWords(frame, manual) {
  let phase = manual ? "unboosted" : frame.phase in phases ? frame.phase : "holding";
  if (phase === "unboosted") return phases[phase];
  // What a free pedal leaves in the lines is no holding.
  if (phase === "holding" && frame.pedal_n < 1) phase = "rest";
  const stuck = phase === "rest" && frame.piston_m > portPassed ? " The master cylinder's piston has not come home: it covers the ports." : "";
  return `${phases[phase]} ${seats(frame)}${stuck}`;
}

// summary is a whole picture in one sentence, for who cannot see it.
export function summary(frame, manual) {
  const { line_front_pa: line, deceleration_mps2: slowing } = manual ? frame.manual : frame;
  let out = `${phaseWords(frame, manual)} Pedal ${text("force", frame.pedal_n)}, line pressure ${text("pressure", line)}, slowing by ${text("acceleration", slowing)}`;
  if (frame.front_vacuum_pa !== null) out += `, vacuum in front ${text("vacuum", frame.front_vacuum_pa)}, behind ${text("vacuum", frame.working_vacuum_pa)}`;
  return out.replaceAll("\u00a0", " ") + ".";
}

export const faultNames = {
  "check-valve-leak": "Check valve leaks", "hose-leak": "Hose leaks", "hose-restricted": "Hose pinched",
  "front-shell-leak": "Front shell leaks", "diaphragm-torn": "Diaphragm torn", "air-seat-leak": "Air seat leaks",
  "vacuum-seat-leak": "Vacuum seat leaks", "filter-blocked": "Air filter blocked", "low-source-vacuum": "Engine gives little vacuum",
  "booster-undersized": "Booster too small", "pedal-ratio-wrong": "Pedal ratio too small", "bore-oversize": "Bore too large",
  "pushrod-too-long": "Pushrod too long", "air-in-circuit": "Air in the front circuit",
  "check-valve-stuck": "Check valve stuck shut", "pedal-binds": "Pedal binds", "pushrod-too-short": "Pushrod too short",
  "master-bypass": "Master cylinder's cup leaks by", "return-port-covered": "Return port covered", "outside-leak": "Fluid leaks out",
  "fluid-boiled": "Fluid boiled", "hose-swollen": "Brake hose bulges", "hose-blocked": "Brake hose holds pressure back",
  "line-blocked": "Brake line blocked", "caliper-seized": "Caliper seized", "linings-glazed": "Linings glazed",
  "shoes-out-of-adjustment": "Shoes out of adjustment",
};
