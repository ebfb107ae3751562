package cli

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

const sweepLong = `How does a result change with one quantity, or two?

Takes any one or two quantities of the scenario over a range and maps a result
over them: a line for one, a contour map for two. A range is FROM..TO, with a
number of points behind a slash if it should not be 13: "8 inHg..20 inHg/7".`

// A range has this many points unless it says otherwise, and a map at most so many.
const (
	usualPoints = 13
	mostPoints  = 100_000
)

func (c *console) sweepCommand() *cobra.Command {
	var over []string
	var result string
	var axes []study.SweepAxis
	var measure study.Measure
	return c.study(studyVerb{
		command: cobra.Command{
			Use:   "sweep",
			Short: "How a result changes with one quantity, or two",
			Long:  sweepLong,
			Example: examples(`kneepoint sweep car.toml --over source.vacuum="8 inHg..20 inHg" --plot map.png`,
				`kneepoint sweep --over source.vacuum="8 inHg..20 inHg" --over reservoir.volume="0 L..4 L/9" --result needed_pedal`),
		},
		flags: func(cmd *cobra.Command) {
			cmd.Flags().StringArrayVar(&over, "over", nil, "`key=range` to go over, as in source.vacuum=\"8 inHg..20 inHg/7\"; once or twice")
			cmd.Flags().StringVar(&result, "result", "assisted_stops", "the `result` to map: "+oneOf(measureNames()))
			complete(cmd, "over", completeSetting)
			complete(cmd, "result", cobra.FixedCompletions(measureNames(), cobra.ShellCompDirectiveNoFileComp))
		},
		prepare: func(s *scenario.Scenario) (*scenario.Scenario, error) {
			var problems []error
			var ok bool
			if measure, ok = study.MeasureOf(result); !ok {
				problems = append(problems, wrong("--result", fmt.Sprintf("%q", result), oneOf(measureNames())))
			}
			if len(over) < 1 || len(over) > 2 {
				problems = append(problems, wrong("--over", fmt.Sprintf("%d ranges", len(over)), "one or two"))
			}
			points := 1
			for _, text := range over {
				a, err := sweepAxis(text)
				problems = append(problems, err)
				axes = append(axes, a)
				points *= max(1, len(a.Values))
			}
			if points > mostPoints {
				problems = append(problems, wrong("--over", fmt.Sprintf("%d points", points), fmt.Sprintf("at most %d", mostPoints)))
			}
			return s, errors.Join(problems...)
		},
		ask: func(ctx context.Context, s *scenario.Scenario, w batch.Progress) (answer.Answer, error) {
			return found(study.Sweep(ctx, s, axes, measure, w))
		},
	})
}

func measureNames() []string {
	var names []string
	for _, m := range study.Measures() {
		names = append(names, m.Name)
	}
	return names
}

const rangeWant = `a key and a range, as in source.vacuum="8 inHg..20 inHg/7"`

// sweepAxis reads "key=FROM..TO/POINTS".
func sweepAxis(text string) (study.SweepAxis, error) {
	path, span, ok := strings.Cut(text, "=")
	from, to, ranged := strings.Cut(span, "..")
	if !ok || !ranged {
		return study.SweepAxis{}, wrong("--over", fmt.Sprintf("%q", text), rangeWant)
	}
	path = strings.TrimSpace(path)
	dim, known := scenario.Dimension(path)
	if !known {
		return study.SweepAxis{}, wrong("--over", fmt.Sprintf("%q", path), "the key of a quantity, as check --verbose lists them")
	}
	n := usualPoints
	// A slash belongs to the points only where a whole number follows: "7/8 in" has one too.
	if i := strings.LastIndex(to, "/"); i >= 0 {
		if count, err := strconv.Atoi(strings.TrimSpace(to[i+1:])); err == nil {
			n, to = count, to[:i]
		}
	}
	if n < 2 || n > mostPoints {
		return study.SweepAxis{}, wrong("--over "+path, fmt.Sprintf("%d points", n), fmt.Sprintf("2 to %d", mostPoints))
	}
	low, err := si.Parse(dim, strings.TrimSpace(from))
	if err != nil {
		return study.SweepAxis{}, wrongQuantity("--over "+path, err)
	}
	high, err := si.Parse(dim, strings.TrimSpace(to))
	if err != nil {
		return study.SweepAxis{}, wrongQuantity("--over "+path, err)
	}
	if low >= high {
		return study.SweepAxis{}, wrong("--over "+path, fmt.Sprintf("%q", span), "a range that rises")
	}
	return study.SweepAxis{Path: path, Dim: dim, Values: study.Even(low, high, n)}, nil
}

// wrongQuantity names the flag whose quantity could not be read.
func wrongQuantity(flag string, err error) error {
	var parse *si.ParseError
	if errors.As(err, &parse) {
		return wrong(flag, fmt.Sprintf("%q %s", parse.Text, parse.Reason), parse.Want)
	}
	return wrong(flag, err.Error(), rangeWant)
}
