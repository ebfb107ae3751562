package scenario

import "strings"

// synonyms are words of the counter for tables and keys of a scenario.
var synonyms = map[string]string{
	"tank": "reservoir", "vacuum_tank": "reservoir", "canister": "reservoir", "vacuum_canister": "reservoir",
	"engine": "source", "motor": "source", "vacuum_source": "source", "manifold": "source",
	"mc": "master", "master_cylinder": "master", "mastercylinder": "master", "cylinder": "master",
	"vacuum_pump": "pump", "brake_pedal": "pedal", "vehicle": "car", "camshaft": "cam", "vacuum_hose": "hose",
	"front": "brake.front", "rear": "brake.rear", "front_brake": "brake.front", "rear_brake": "brake.rear", "front_brakes": "brake.front", "rear_brakes": "brake.rear",
	"brakes": "brake.front", "brake": "brake.front", "tire": "car", "tyre": "car",
	"brakes.front": "brake.front", "brakes.rear": "brake.rear", "valve": "valves", "proportioning_valve": "valves",

	"vacuum": "source.vacuum", "idle_vacuum": "source.vacuum", "source.idle_vacuum": "source.vacuum", "engine_vacuum": "source.vacuum", "source.inhg": "source.vacuum", "source.vac": "source.vacuum",
	"source.vacuum_neutral": "source.vacuum_in_neutral", "source.neutral": "source.vacuum_in_neutral", "source.vacuum_in_gear": "source.vacuum",
	"source.size": "source.displacement", "source.cubic_inches": "source.displacement", "source.cid": "source.displacement", "source.ci": "source.displacement",
	"source.rpm": "source.idle_speed", "source.idle": "source.idle_speed", "source.idle_rpm": "source.idle_speed",
	"booster.size": "booster.diameter", "booster.dia": "booster.diameter", "booster_size": "booster.diameter", "booster.boost_ratio": "booster.ratio",
	"pedal_ratio": "pedal.ratio", "bore": "master.bore", "master.diameter": "master.bore", "master.size": "master.bore", "master.bore_size": "master.bore",
	"weight": "car.mass", "car.weight": "car.mass", "mass": "car.mass", "wheelbase": "car.wheelbase", "car.grip": "car.adhesion", "car.friction": "car.adhesion",
	"car.tire_radius": "car.tyre_radius", "car.tire_diameter": "car.tyre_diameter", "car.tire": "car.tyre_radius", "car.tires": "car.tyre_radius", "car.tyre": "car.tyre_radius", "car.tyres": "car.tyre_radius",
	"car.tire_size": "car.tyre_radius", "car.tyre_size": "car.tyre_radius", "tires": "car.tyre_radius", "tyres": "car.tyre_radius", "tire_size": "car.tyre_radius",
	"car.front_weight": "car.front_share", "car.weight_distribution": "car.front_share", "altitude": "ambient.altitude", "elevation": "ambient.altitude", "ambient.elevation": "ambient.altitude",
	"reservoir.size": "reservoir.volume", "reservoir.capacity": "reservoir.volume", "pump.flow": "pump.free_flow",
	"pump.cut_in": "pump.on", "pump.cut_out": "pump.off", "ambient.temp": "ambient.temperature", "cam.duration_at_050": "cam.duration", "cam.lsa": "cam.lobe_separation",
}

// brakeSynonyms are those of a key of one axle's brakes.
var brakeSynonyms = map[string]string{
	"rotor": "rotor_diameter", "rotors": "rotor_diameter", "disc": "rotor_diameter", "disk": "rotor_diameter", "disc_diameter": "rotor_diameter", "diameter": "rotor_diameter",
	"rotor_size": "rotor_diameter", "disc_size": "rotor_diameter", "disk_diameter": "rotor_diameter", "effective_radius": "radius", "rotor_radius": "radius",
	"drum": "drum_diameter", "drum_size": "drum_diameter", "type": "kind", "calipers": "piston_diameter", "caliper_bore": "piston_diameter", "caliper_piston": "piston_diameter",
	"piston": "piston_diameter", "piston_size": "piston_diameter", "wheel_cylinder": "piston_diameter", "wheel_cylinder_bore": "piston_diameter", "pad_friction": "friction", "mu": "friction",
}

// synonymOf returns the key or table that a word of the counter stands for, "" for none.
// The table of a key may be such a word too.
func synonymOf(path string) string {
	written := path
	path = strings.ToLower(strings.ReplaceAll(path, "-", "_"))
	if _, ok := keyIndex[path]; ok && path != written || path != written && isTable(path) {
		return path
	}
	if known, ok := synonyms[path]; ok {
		return known
	}
	table, name := strings.TrimSuffix(stem(path), "."), leaf(path)
	if known, ok := synonyms[table]; ok && table != "" {
		table = known
	}
	whole := table + "." + name
	if known, ok := synonyms[whole]; ok {
		return known
	}
	if strings.HasPrefix(table, "brake.") {
		if known, ok := brakeSynonyms[name]; ok {
			whole = table + "." + known
		}
	}
	if _, ok := keyIndex[whole]; ok && whole != path {
		return whole
	}
	return ""
}
