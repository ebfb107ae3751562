// How fast the particles of a flow move: in proportion to the simulated mass
// flow, so that twice the flow is twice the speed. Nothing else is done to it.

// Drawing units a second for one kg/s.
export const scale = 100e3;

// Below this flow, in kg/s, a particle would seem to stand still: none is drawn.
export const least = 0.1e-3;

const flows = { air: "air_flow_kgps", inner: "inner_flow_kgps", check: "check_flow_kgps", hose: "hose_flow_kgps", pump: "pump_flow_kgps" };

// speeds returns the speed of each flow of a frame; 0 draws no particle.
export function speeds(frame) {
  const out = {};
  for (const [name, key] of Object.entries(flows)) {
    const flow = frame[key] ?? 0;
    out[name] = Math.abs(flow) < least ? 0 : flow * scale;
  }
  return out;
}
