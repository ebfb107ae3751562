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

	"vacuum": KeySourceVacuum, "idle_vacuum": KeySourceVacuum, "source.idle_vacuum": KeySourceVacuum, "engine_vacuum": KeySourceVacuum, "source.inhg": KeySourceVacuum, "source.vac": KeySourceVacuum,
	"source.vacuum_neutral": KeySourceVacuumInNeutral, "source.neutral": KeySourceVacuumInNeutral, "source.vacuum_in_gear": KeySourceVacuum,
	"source.size": KeySourceDisplacement, "source.cubic_inches": KeySourceDisplacement, "source.cid": KeySourceDisplacement, "source.ci": KeySourceDisplacement,
	"source.rpm": KeySourceIdleSpeed, "source.idle": KeySourceIdleSpeed, "source.idle_rpm": KeySourceIdleSpeed,
	"booster.size": KeyBoosterDiameter, "booster.dia": KeyBoosterDiameter, "booster_size": KeyBoosterDiameter, "booster.boost_ratio": KeyBoosterRatio,
	"pedal_ratio": KeyPedalRatio, "bore": KeyMasterBore, "master.diameter": KeyMasterBore, "master.size": KeyMasterBore, "master.bore_size": KeyMasterBore,
	"weight": KeyCarMass, "car.weight": KeyCarMass, "mass": KeyCarMass, "wheelbase": KeyCarWheelbase, "car.grip": KeyCarAdhesion, "car.friction": KeyCarAdhesion,
	"car.tire_radius": KeyCarTyreRadius, "car.tire_diameter": KeyCarTyreDiameter, "car.tire": KeyCarTyreRadius, "car.tires": KeyCarTyreRadius, "car.tyre": KeyCarTyreRadius, "car.tyres": KeyCarTyreRadius,
	"car.tire_size": KeyCarTyreRadius, "car.tyre_size": KeyCarTyreRadius, "tires": KeyCarTyreRadius, "tyres": KeyCarTyreRadius, "tire_size": KeyCarTyreRadius,
	"car.front_weight": KeyCarFrontShare, "car.weight_distribution": KeyCarFrontShare, "altitude": KeyAmbientAltitude, "elevation": KeyAmbientAltitude, "ambient.elevation": KeyAmbientAltitude,
	"reservoir.size": KeyReservoirVolume, "reservoir.capacity": KeyReservoirVolume, "pump.flow": KeyPumpFreeFlow,
	"pump.cut_in": KeyPumpOn, "pump.cut_out": KeyPumpOff, "ambient.temp": KeyAmbientTemperature, "cam.duration_at_050": KeyCamDuration, "cam.lsa": KeyCamLobeSeparation,
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
