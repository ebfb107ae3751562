package study

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Chance says how likely a criterion holds when the inputs lie anywhere
// within their tolerances.
type Chance struct {
	// Option says which one, where there are several, in SI units.
	Option    string  `json:"option,omitempty"`
	Criterion string  `json:"criterion"`
	Chance    float64 `json:"chance"`
	// Error is the standard error, from the spread of eight replicates.
	Error float64 `json:"error"`
	// option is Option in the units asked for; nil where there is none.
	option answer.Phrase
	// sums says that it holds where so many before it do; 0 of one by itself.
	sums int
}

// An Influence says how much an answer hangs on one input.
type Influence struct {
	Input string `json:"input"`
	// Total is the total-order index by Jansen's estimator.
	Total answer.Optional[si.Ratio] `json:"total_order_index"`
}

// Surety is how sure an answer is; empty where no input has a tolerance.
type Surety struct {
	Chances []Chance `json:"chances"`
	// Influences are those on Of, the largest first.
	Influences []Influence `json:"influences"`
	Of         string      `json:"influences_of"`
	// Simulated is how many cars were, for the chances and for the influences; quadratics
	// through their rooms and numbers answer for the others.
	Simulated int `json:"simulated_cars"`
	inputs    []scenario.Spread
}

// surety samples a set of named criteria, each sample a simulation, and ranks
// the inputs by their influence on one number.
func surety(ctx context.Context, s *scenario.Scenario, w Watch, criteria []Chance,
	judge func(context.Context, *scenario.Scenario) ([]judged, error),
	of string, number func(context.Context, *scenario.Scenario) (float64, error),
) (*Surety, error) {
	inputs := uncertain(s)
	simulate := func(ctx context.Context, u []float64) ([]judged, error) {
		car, err := drawn(s, inputs, u)
		if err != nil {
			return nil, err
		}
		return judge(ctx, car)
	}
	var rooms, numbers shortcut
	if len(inputs) > 0 {
		if _, err := rooms.train(ctx, len(inputs), w, func(ctx context.Context, u []float64) ([]float64, error) {
			found, err := simulate(ctx, u)
			values := make([]float64, len(found))
			for i := range found {
				values[i] = found[i].room
			}
			return values, err
		}); err != nil {
			return nil, err
		}
	}
	sums := make([]int, len(criteria))
	for i := range sums {
		sums[i] = criteria[i].sums
	}
	found, err := chances(ctx, len(inputs), len(criteria)+1, w, func(ctx context.Context, u []float64) ([]bool, error) {
		return rooms.holds(ctx, u, sums, simulate)
	})
	if err != nil {
		return nil, err
	}
	out := &Surety{Of: of, inputs: inputs, Simulated: rooms.trained + int(math.Round(found[len(criteria)].mean*replicates*eachReplicate))}
	for i, c := range criteria {
		c.Chance, c.Error = found[i].mean, found[i].err
		out.Chances = append(out.Chances, c)
	}
	if len(inputs) == 0 {
		out.Simulated = 1
		return out, nil
	}
	numberAt := func(ctx context.Context, u []float64) (float64, error) {
		car, err := drawn(s, inputs, u)
		if err != nil {
			return 0, err
		}
		return number(ctx, car)
	}
	if err := numbers.trainNumber(ctx, len(inputs), w, numberAt); err != nil {
		return nil, err
	}
	indices, err := totalOrder(ctx, len(inputs), influenceSample, w, func(ctx context.Context, u []float64) (float64, error) {
		return numbers.number(ctx, u, numberAt)
	})
	if err != nil {
		return nil, err
	}
	if out.Simulated += numbers.trained; numbers.fits == nil {
		out.Simulated += influenceSample * (len(inputs) + 1)
	}
	for k, in := range inputs {
		out.Influences = append(out.Influences, Influence{in.Path, answer.Of(si.Ratio(indices[k]))})
	}
	slices.SortStableFunc(out.Influences, func(a, b Influence) int { return compareNaN(float64(b.Total.Value()), float64(a.Total.Value())) })
	return out, nil
}

func compareNaN(a, b float64) int {
	switch {
	case math.IsNaN(a) || math.IsNaN(b) || a == b:
		return 0
	case a < b:
		return -1
	}
	return 1
}

func (s *Surety) words(u si.System) []string {
	if s == nil || len(s.inputs) == 0 {
		return nil
	}
	var given, parts []string
	for _, in := range s.inputs {
		given = append(given, spreadText(in, u))
	}
	for _, c := range s.Chances {
		name := c.Criterion
		if c.option != nil {
			name = c.option(u) + ", " + c.Criterion
		}
		parts = append(parts, fmt.Sprintf("%s: %.0f %% (± %.0f)", name, 100*c.Chance, math.Ceil(200*c.Error)))
	}
	words := []string{fmt.Sprintf("How sure, with %s, every value within taken as equally likely: %s. The ± is twice the spread of %d replicates of %d cars. Of those as many were simulated as it took to be sure of the others: %d in all, with those of what it hangs on.",
		strings.Join(given, " and "), strings.Join(parts, "; "), replicates, eachReplicate, s.Simulated)}
	if text := s.hangsWords(); text != "" {
		words = append(words, text)
	}
	return words
}

// hangsWords say which input decides most; empty where there is but one.
func (s *Surety) hangsWords() string {
	if s == nil || len(s.Influences) < 2 || !s.Influences[0].Total.Exists() {
		return ""
	}
	return fmt.Sprintf("It hangs most on %s: that alone accounts for %.0f %% of how %s varies (total-order index, Jansen's estimator).",
		s.Influences[0].Input, 100*min(1, float64(s.Influences[0].Total.Value())), s.Of)
}

func (s *Surety) tables() []answer.Table {
	if s == nil || len(s.inputs) == 0 {
		return nil
	}
	sure := answer.Table{Name: "how sure", Columns: []answer.Column{
		{Key: "option", Title: "option"}, {Key: "criterion", Title: "criterion"},
		{Key: "chance", Title: "chance", Dim: si.DimRatio}, {Key: "error", Title: "error", Dim: si.DimRatio},
	}}
	for _, c := range s.Chances {
		var option answer.Cell = ""
		if c.option != nil {
			option = c.option
		}
		sure.Rows = append(sure.Rows, []answer.Cell{option, c.Criterion, c.Chance, c.Error})
	}
	hangs := answer.Table{Name: "what it hangs on", Columns: []answer.Column{
		{Key: "input", Title: "input"}, {Key: "total_order_index", Title: "total-order index", Dim: si.DimRatio},
	}}
	for _, i := range s.Influences {
		hangs.Rows = append(hangs.Rows, []answer.Cell{i.Input, i.Total.Cell()})
	}
	return []answer.Table{sure, hangs}
}

func (s *Surety) figures(title string) []answer.Figure {
	if s == nil || len(s.Influences) == 0 {
		return nil
	}
	p := answer.Panel{X: answer.Axis{Label: "Total-order index (Jansen)", Dim: si.DimRatio, From: 0, To: 1}}
	for _, i := range s.Influences {
		v := float64(i.Total.Value())
		p.Bars = append(p.Bars, answer.Bar{Label: i.Input, Value: v, Low: v, High: v})
	}
	return []answer.Figure{{Name: "influence", Title: answer.Titled("What the answer hangs on: "+s.Of, title), Panels: []answer.Panel{p},
		Note: "Simulated. " + planningNote}}
}
