package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/report"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

const compareLong = `Two cars or more side by side: what differs, and what comes of it.

Each FILE is a car, and so is each --with: the first car with one value changed,
and further ones by an --and behind it. Every car is asked what "curve" and
"reserve" ask.`

func (c *console) compareCommand() *cobra.Command {
	var f commonFlags
	var variants variants
	cmd := &cobra.Command{
		Use:                   "compare [FILE]... [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "Cars side by side: what differs, and what comes of it",
		Long:                  compareLong,
		Example: examples(`kneepoint compare before.toml after.toml`,
			`kneepoint compare car.toml --with booster.diameter="8 in" --with booster.diameter="7 in + 8 in" --and booster.ratio=6`),
		Args: noEmptyName,
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(cmd *cobra.Command, args []string) error { return c.compare(cmd, args, &f, &variants) },
	}
	cmd.Flags().Var(withFlag{&variants}, "with", "one more car: the first with `path=value`; can be repeated")
	cmd.Flags().Var(andFlag{&variants}, "and", "one more `path=value` for the car of the --with before it")
	complete(cmd, "with", completeSetting)
	complete(cmd, "and", completeSetting)
	f.add(cmd)
	f.addPlot(cmd)
	return cmd
}

func noEmptyName(_ *cobra.Command, args []string) error {
	if slices.Contains(args, "") {
		return wrong("FILE", "an empty name", "a scenario file, or - for standard input")
	}
	return nil
}

// variants are the settings of each --with, with those of the --and behind it.
type variants struct {
	sets [][]string
	// early says that an --and came before any --with.
	early bool
}

type withFlag struct{ v *variants }

func (f withFlag) Type() string { return "path=value" }
func (f withFlag) Set(text string) error {
	f.v.sets = append(f.v.sets, []string{text})
	return nil
}

// String is not empty once the flag was given.
func (f withFlag) String() string {
	if f.v == nil || len(f.v.sets) == 0 {
		return ""
	}
	return f.v.sets[len(f.v.sets)-1][0]
}

type andFlag struct{ v *variants }

func (f andFlag) Type() string { return "path=value" }
func (f andFlag) Set(text string) error {
	if len(f.v.sets) == 0 {
		f.v.early = true
		return nil
	}
	last := &f.v.sets[len(f.v.sets)-1]
	*last = append(*last, text)
	return nil
}

func (f andFlag) String() string {
	switch {
	case f.v == nil:
		return ""
	case f.v.early:
		return "early"
	case len(f.v.sets) == 0:
		return ""
	}
	last := f.v.sets[len(f.v.sets)-1]
	return last[len(last)-1]
}

func (c *console) compare(cmd *cobra.Command, files []string, f *commonFlags, v *variants) error {
	cars, err := c.compared(cmd, files, f, v)
	problems := []error{err, f.check(cmd, fileOf(files))}
	if v.early {
		problems = append(problems, wrong("--and", "no --with before it", "--with path=value first"))
	}
	if len(files)+len(v.sets) < 2 && (len(files) == 1 || len(v.sets) == 0) {
		problems = append(problems, wrong("FILE", "fewer than two cars", `two files or more, or one and --with such as --with booster.diameter="8 in"`))
	}
	if err := errors.Join(problems...); err != nil {
		return err
	}
	for _, car := range cars {
		c.warn(car.Scenario)
	}
	progress := c.watch(cmd.Name())
	result, err := study.Compare(cmd.Context(), cars, progress.tell)
	progress.end()
	if err != nil {
		return fmt.Errorf("could not be computed: %w", err)
	}
	result.Completes = func(s *scenario.Scenario, document any) any {
		full, err := basis(s.Hash(), s.Assumed(true)).Under(document)
		if err != nil {
			return document // and writing it says what is wrong with it
		}
		return full
	}
	var plotted error
	if f.plot != "" {
		plotted = c.plot(f.plot, result, f.textSystem())
	}
	written := c.put(f.output, func(w io.Writer) error {
		return writeOn(w, result, f, hashOf(cars), func(all bool) []scenario.Entry { return assumedByAll(cars, all) }, report.TextOptions{})
	})
	return errors.Join(plotted, written)
}

// compared reads the cars: those of the files, or the built-in one, then the variants of
// the first.
func (c *console) compared(cmd *cobra.Command, files []string, f *commonFlags, v *variants) ([]study.ComparedCar, error) {
	if len(files) == 0 {
		files = []string{""}
	}
	var cars []study.ComparedCar
	var problems []error
	for _, file := range files {
		s, err := c.open(cmd.Context(), file, f)
		problems = append(problems, err)
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		switch file {
		case "":
			name = "typical car"
		case "-":
			name = "stdin"
		}
		cars = append(cars, study.ComparedCar{Name: name, Scenario: s})
	}
	if problems[0] == nil {
		for _, sets := range v.sets {
			s, err := variant(cars[0].Scenario, sets)
			problems = append(problems, err)
			cars = append(cars, study.ComparedCar{Name: strings.Join(sets, ", "), Scenario: s})
		}
	}
	if err := errors.Join(problems...); err != nil {
		return nil, err
	}
	names := map[string]int{}
	for i := range cars {
		names[cars[i].Name]++
		if n := names[cars[i].Name]; n > 1 {
			cars[i].Name = fmt.Sprintf("%s (%d)", cars[i].Name, n)
		}
	}
	return cars, nil
}

// variant changes the car; what is wrong is named with the flag.
func variant(s *scenario.Scenario, sets []string) (*scenario.Scenario, error) {
	var settings []scenario.Setting
	for _, text := range sets {
		setting, err := scenario.ParseSetting(text)
		if err != nil {
			return nil, underFlag(err)
		}
		settings = append(settings, setting)
	}
	changed, err := s.Edit(settings)
	return changed, underFlag(err)
}

// underFlag names --with in place of --set, which such settings come from as a rule.
func underFlag(err error) error {
	var input *scenario.InputError
	if !errors.As(err, &input) {
		return err
	}
	var problems []error
	for _, p := range input.Problems {
		problems = append(problems, wrong("--with "+p.Key, p.Read, p.Want))
	}
	return errors.Join(problems...)
}

// hashOf is a hash of the inputs of all cars, in their order.
func hashOf(cars []study.ComparedCar) string {
	h := sha256.New()
	for _, car := range cars {
		fmt.Fprintln(h, car.Scenario.Hash())
	}
	return hex.EncodeToString(h.Sum(nil))
}

// assumedByAll is what every one of the cars has the same value assumed for.
func assumedByAll(cars []study.ComparedCar, all bool) []scenario.Entry {
	common := cars[0].Scenario.Assumed(all)
	for _, car := range cars[1:] {
		others := car.Scenario.Assumed(all)
		common = slices.DeleteFunc(common, func(e scenario.Entry) bool {
			return !slices.ContainsFunc(others, func(o scenario.Entry) bool { return o.Path == e.Path && o.TOML == e.TOML })
		})
	}
	return common
}
