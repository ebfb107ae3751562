package ask

import "kneepoint/sim/scenario"

import "strings"

// A Question is one thing that is asked about a car.
type Question struct {
	// Name is what a file of answers calls it: "vacuum in gear".
	Name string `json:"question"`
	// Ask is the question, For what the answer is good for, Measure how to get it.
	Ask     string `json:"ask"`
	For     string `json:"for"`
	Measure string `json:"how_to_measure"`
	// Examples are answers that are understood.
	Examples []string `json:"examples"`
	// keys are those of a scenario that hold the answer.
	keys []string
	read func(text string) ([]entry, error)
}

// The names of the questions.
const (
	VacuumInGear    = "vacuum in gear"
	VacuumInNeutral = "vacuum in neutral"
	BoosterSize     = "booster"
	TankOrPump      = "tank or pump"
	PedalLengths    = "pedal"
	MasterBore      = "bore"
	FrontBrakes     = "front brakes"
	FrontDiscs      = "front discs"
	RearBrakes      = "rear brakes"
	RearDiscs       = "rear discs"
	Tyres           = "tyres"
	Weight          = "weight"
	HomeAltitude    = "altitude"
	PassAltitude    = "pass"
	Wish            = "wish"
)

// DontKnow is the answer that becomes a range.
const DontKnow = "don't know"

// Questions returns the table, in the order in which it is asked.
func Questions() []Question { return append([]Question(nil), questions...) }

// likeFront is how what is at the rear is measured.
const likeFront = "as in front"

// asFront are the questions about the front, by those about the rear.
var asFront = map[string]string{RearBrakes: FrontBrakes, RearDiscs: FrontDiscs}

var questions = []Question{
	{
		Name: VacuumInGear, Ask: "What does a vacuum gauge read at idle, warm, in gear?",
		For:      "it is what the booster lives on",
		Measure:  "tee a gauge into the booster's hose, on the engine's side of the check valve; warm, in drive, wheels chocked",
		Examples: []string{"11 inHg", "9-12", "same as in neutral"},
		keys:     []string{scenario.KeySourceVacuum, scenario.KeyCamDuration}, read: readVacuum,
	},
	{
		Name: VacuumInNeutral, Ask: "And in neutral?",
		For:      "where only this is known: an automatic in gear reads some 2 to 4 inHg less (common practice, no source)",
		Measure:  "the same gauge, out of gear",
		Examples: []string{"14 inHg", "17 to 18"},
		keys:     []string{scenario.KeySourceVacuum, scenario.KeyCamDuration}, read: readVacuum,
	},
	{
		Name: BoosterSize, Ask: "How large is the booster, and is it a single or a dual one?",
		For:      "its area is the help there is",
		Measure:  "a tape across the round shell; a dual one is deeper and has a second step",
		Examples: []string{"9 in", "8 in dual", "8 + 9", "none"},
		keys:     []string{scenario.KeyBoosterKind, scenario.KeyBoosterDiameter, scenario.KeyBoosterArea}, read: readBooster,
	},
	{
		Name: TankOrPump, Ask: "Is there a vacuum tank or an electric vacuum pump?",
		For:      "a tank keeps stops, a pump makes vacuum",
		Measure:  "look along the hose from the engine to the booster; a tank's volume stands on it, or is height times the area of its end",
		Examples: []string{"none", "2 L tank", "pump"},
		keys:     []string{scenario.KeyReservoirVolume, scenario.KeyPumpFreeFlow}, read: readTankOrPump,
	},
	{
		Name: PedalLengths, Ask: "How long is the pedal, from its pivot to the pad and from its pivot to the push rod?",
		For:      "the one over the other is the pedal ratio, which multiplies the foot",
		Measure:  "a tape from the middle of the pivot bolt to that of the pad, and to that of the push rod's pin",
		Examples: []string{"12 in and 3 in", "4:1"},
		keys:     []string{scenario.KeyPedalRatio}, read: readPedal,
	},
	{
		Name: MasterBore, Ask: "What is the bore of the master cylinder?",
		For:      "a smaller one gives more pressure and a longer pedal",
		Measure:  "it is often cast into the side; else a caliper on the old piston's seal land",
		Examples: []string{"1 in", "15/16 in", "24 mm"},
		keys:     []string{scenario.KeyMasterBore}, read: readBore,
	},
	{
		Name: FrontBrakes, Ask: "Discs or drums in front, and with which pistons?",
		For:      "what the line pressure is turned into",
		Measure:  "for a disc, pistons on one side of one caliper and the diameter of one, across its open end; for a drum, the diameter of the wheel cylinder",
		Examples: []string{"disc, 1 piston 2.75 in", "4 piston 1.75 in", "drum, 1 1/8 in"},
		keys:     brakeKeys("front"), read: brakesReader(frontAxle),
	},
	{
		Name: FrontDiscs, Ask: "How large are the front discs, or the drums inside?",
		For:      "the lever at which the brake grips",
		Measure:  "a tape across the disc; of a drum the inside, which is often cast into it",
		Examples: []string{"11 in", "280 mm"},
		keys:     []string{scenario.KeyBrakeFrontRadius}, read: readDiscs,
	},
	{
		Name: RearBrakes, Ask: "Discs or drums at the rear, and with which pistons?",
		For:      "which axle locks first",
		Measure:  likeFront,
		Examples: []string{"drum, 7/8 in", "drum", "disc, 1 piston 1 5/8 in"},
		keys:     brakeKeys("rear"), read: brakesReader(rearAxle),
	},
	{
		Name: RearDiscs, Ask: "How large are the rear discs, or the drums inside?",
		For:      "the lever at which the brake grips",
		Measure:  likeFront,
		Examples: []string{"10 in", "11 in"},
		keys:     []string{scenario.KeyBrakeRearRadius}, read: readDiscs,
	},
	{
		Name: Tyres, Ask: "Which tyres, or how tall are they?",
		For:      "a taller tyre works against the brake",
		Measure:  "the size on the sidewall, or a tape from the ground to the top",
		Examples: []string{"P205/70R14", "26 in tall"},
		keys:     []string{scenario.KeyCarTyreRadius}, read: readTyres,
	},
	{
		Name: Weight, Ask: "What does the car weigh with people in it, and how much of that on the front wheels?",
		For:      "what has to be stopped, and which axle locks first",
		Measure:  "a scrap yard's or a gravel pit's scale, once with all wheels on it and once with the front ones",
		Examples: []string{"3300 lb, 55 % front", "1900 lb front, 1500 lb rear", "3300 lb"},
		keys:     []string{scenario.KeyCarMass, scenario.KeyCarFrontShare}, read: readWeight,
	},
	{
		Name: HomeAltitude, Ask: "How high is the place where the vacuum was read?",
		For:      "an engine's vacuum falls with the air's pressure",
		Measure:  "any map or phone",
		Examples: []string{"sea level", "1200 ft"},
		keys:     []string{scenario.KeyAmbientAltitude, scenario.KeyAmbientPressure}, read: readAltitude(scenario.KeyAmbientAltitude),
	},
	{
		Name: PassAltitude, Ask: "How high is the highest road it is driven on?",
		For:      "what is left of the vacuum up there",
		Measure:  "any map or phone",
		Examples: []string{"8000 ft", "none"},
		read:     readPass,
	},
	{
		Name: Wish, Ask: "What is wished for, and how wide a booster has room?",
		For:      "what the purchases are held against",
		Measure:  "a tape from the push rod's hole to what is in the way, twice that",
		Examples: []string{"lighter pedal", "more stops with the engine dead", "no booster", "room for 9 in", "nothing"},
		keys:     []string{scenario.KeyChoosePedalLimit, scenario.KeyChooseStopsLeft, scenario.KeyChooseBoosters, scenario.KeyChooseMaxDiameter}, read: readWish,
	},
}

func brakeKeys(axle string) []string {
	prefix := "brake." + axle + "."
	return []string{prefix + "kind", prefix + "piston_area", prefix + "piston_diameter"}
}

// The two axles, as keys name them.
const (
	frontAxle = "front"
	rearAxle  = "rear"
)

// named finds a question by its name as people write it: in any case, with underscores
// or hyphens, and by other words for the same.
func named(name string) (*Question, bool) {
	name = plainName(name)
	if other, ok := alsoCalled[name]; ok {
		name = other
	}
	for i := range questions {
		if questions[i].Name == name {
			return &questions[i], true
		}
	}
	return nil, false
}

func plainName(name string) string {
	name = strings.ToLower(strings.TrimRight(strings.TrimSpace(name), "?"))
	return strings.Join(strings.Fields(strings.NewReplacer("_", " ", "-", " ").Replace(name)), " ")
}

// alsoCalled are other words for the questions.
var alsoCalled = map[string]string{
	"vacuum": VacuumInGear, "idle vacuum": VacuumInGear, "gear": VacuumInGear, "vacuum gear": VacuumInGear, "vacuum in drive": VacuumInGear,
	"neutral": VacuumInNeutral, "vacuum neutral": VacuumInNeutral, "vacuum in park": VacuumInNeutral,
	"booster size": BoosterSize, "booster diameter": BoosterSize,
	"tank": TankOrPump, "pump": TankOrPump, "reservoir": TankOrPump,
	"pedal ratio": PedalLengths, "pedal lengths": PedalLengths, "pedal length": PedalLengths,
	"master": MasterBore, "master cylinder": MasterBore, "master bore": MasterBore, "master cylinder bore": MasterBore,
	"front": FrontBrakes, "front brake": FrontBrakes, "front calipers": FrontBrakes, "brakes front": FrontBrakes, "calipers": FrontBrakes,
	"rear": RearBrakes, "rear brake": RearBrakes, "brakes rear": RearBrakes, "rear calipers": RearBrakes,
	"front disc": FrontDiscs, "front rotors": FrontDiscs, "front rotor": FrontDiscs, "front disks": FrontDiscs, "front drums": FrontDiscs, "rotors": FrontDiscs, "discs": FrontDiscs,
	"rear disc": RearDiscs, "rear rotors": RearDiscs, "rear rotor": RearDiscs, "rear drums": RearDiscs, "rear drum": RearDiscs,
	"tires": Tyres, "tire": Tyres, "tyre": Tyres, "tire size": Tyres, "tyre size": Tyres,
	"mass": Weight, "car weight": Weight,
	"elevation": HomeAltitude, "home altitude": HomeAltitude, "mountain": PassAltitude, "highest road": PassAltitude, "mountain pass": PassAltitude,
	"wishes": Wish, "wanted": Wish, "what is wished for": Wish,
}
