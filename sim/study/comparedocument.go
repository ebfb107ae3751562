package study

// compareDocument is the JSON of a comparison.
type compareDocument struct {
	Cars        []comparedDocument   `json:"cars"`
	Differences []differenceDocument `json:"differences"`
}

type comparedDocument struct {
	Name string `json:"name"`
	// Curve and Reserve are the documents of those verbs.
	Curve   any             `json:"curve"`
	Reserve any             `json:"reserve"`
	Inputs  []inputDocument `json:"inputs"`
}

// inputDocument is one value of a car: a number in SI, a list, a word, true or false.
type inputDocument struct {
	Key    string `json:"key"`
	Value  any    `json:"value"`
	Unit   string `json:"si_unit"`
	Origin string `json:"origin"`
}

// differenceDocument has a value for each car, null where the key has no meaning.
type differenceDocument struct {
	Key    string `json:"key"`
	Values []any  `json:"values"`
	Unit   string `json:"si_unit"`
	Given  bool   `json:"given"`
}

// Document is every car with its inputs and answers, and what differs.
func (r *CompareResult) Document() any {
	d := compareDocument{Cars: []comparedDocument{}, Differences: []differenceDocument{}}
	for _, car := range r.Cars {
		out := comparedDocument{Name: car.Name, Curve: car.Curve.Document(), Reserve: car.Reserve.Document(), Inputs: []inputDocument{}}
		if r.Completes != nil {
			out.Curve, out.Reserve = r.Completes(car.Scenario, out.Curve), r.Completes(car.Scenario, out.Reserve)
		}
		for _, e := range car.Scenario.Entries() {
			out.Inputs = append(out.Inputs, inputDocument{e.Path, e.Plain(), e.SIUnit(), string(e.Origin)})
		}
		d.Cars = append(d.Cars, out)
	}
	for _, diff := range r.Differences {
		out := differenceDocument{Key: diff.Key, Given: diff.Given}
		for _, e := range diff.Entries {
			if e == nil {
				out.Values = append(out.Values, nil)
				continue
			}
			out.Values, out.Unit = append(out.Values, e.Plain()), e.SIUnit()
		}
		d.Differences = append(d.Differences, out)
	}
	return d
}
