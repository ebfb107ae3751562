package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/report"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const keysLong = `What can stand in a scenario?

Lists every key with its meaning, what it takes, its limits, its default and where
that is from, how far the default may be off, and how to find the value out. A WORD
picks the keys that have it in their name, or else in their meaning. As JSON it is a
JSON Schema (2020-12) of a scenario, by which an editor of TOML completes keys and
marks slips.`

func (c *console) keysCommand() *cobra.Command {
	var format, units, output string
	var all bool
	cmd := &cobra.Command{
		Use:                   "keys [WORD]... [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "What can stand in a scenario",
		Long:                  keysLong,
		Example:               examples("kneepoint keys vacuum", "kneepoint keys --format json -o "+scenario.SchemaFile),
		ValidArgsFunction:     cobra.NoFileCompletions,
		RunE: func(cmd *cobra.Command, args []string) error {
			word := strings.TrimSpace(strings.Join(args, " "))
			problems := []error{noEmptyFlag(cmd), checkChoice("--format", format, formats)}
			if units != "" {
				problems = append(problems, checkChoice("--units", units, systems))
			}
			if toFile(output) {
				problems = append(problems, checkWritable("-o", output, ""))
			}
			if format == "json" && word != "" {
				problems = append(problems, wrong("WORD", fmt.Sprintf("%q with --format json", word), "no word, since a schema is of all keys"))
			}
			list := keyList(scenario.ListOf(word))
			if len(list) == 0 {
				problems = append(problems, wrong("WORD", fmt.Sprintf("%q", word), `a part of a key's name or meaning, such as "vacuum" or "pedal"; without a word all are listed`))
			}
			if err := errors.Join(problems...); err != nil {
				return err
			}
			f := commonFlags{units: units}
			return c.put(output, func(w io.Writer) error {
				switch format {
				case "json":
					return report.JSON(w, list)
				case "csv":
					return report.CSV(w, list, f.dataSystem(), "")
				}
				if word == "" && !all && !toFile(output) {
					return list.overview(w)
				}
				return list.write(w, f.textSystem())
			})
		},
	}
	cmd.Flags().SortFlags = false
	addFormat(cmd, &format)
	cmd.Flags().StringVar(&units, "units", "", "print in `us|si` units (text: us, csv: si)")
	complete(cmd, "units", cobra.FixedCompletions(systems, cobra.ShellCompDirectiveNoFileComp))
	addOutput(cmd, &output)
	cmd.Flags().BoolVar(&all, "all", false, "all keys in a text, not only the first screen")
	return cmd
}

// keyList is a list of keys as an answer, for its CSV, and for its JSON that is the schema
// of all. It says nothing about any car, so it carries no caution.
type keyList []scenario.Key

func (l keyList) Words(si.System) []string { return nil }
func (l keyList) Figures() []answer.Figure { return nil }
func (l keyList) Document() any            { return scenario.Schema() }

func (l keyList) Tables() []answer.Table {
	t := answer.Table{Name: "keys"}
	for _, name := range []string{"key", "meaning", "takes", "limits", "default", "default_from", "estimate", "low", "high", "si_unit", "how_to_measure"} {
		t.Columns = append(t.Columns, answer.Column{Key: name, Title: name})
	}
	for _, k := range l {
		var low, high answer.Cell
		if k.Range != nil {
			low, high = k.Range.Low, k.Range.High
		}
		t.Rows = append(t.Rows, []answer.Cell{
			written(k), k.Doc, k.Kind, answer.Phrase(k.Limits), answer.Phrase(k.DefaultText), k.From, k.Estimate, low, high,
			strings.TrimPrefix(k.Dim.Unit(si.SI).KeySuffix, "_"), k.HowToMeasure,
		})
	}
	return []answer.Table{t}
}

// written is the key as it stands in a scenario or after --set.
func written(k scenario.Key) string {
	if !k.Repeated {
		return k.Path
	}
	table, rest, _ := strings.Cut(k.Path, ".")
	return table + "[0]." + rest
}

// overview names the tables, and the keys that are worth most.
func (l keyList) overview(w io.Writer) error {
	var tables, main []string
	count := map[string]int{}
	for _, k := range l {
		table, _, in := strings.Cut(k.Path, ".")
		if !in {
			continue
		}
		if count[table]++; count[table] == 1 {
			tables = append(tables, table)
		}
		if k.Main() {
			main = append(main, k.Path)
		}
	}
	for i, t := range tables {
		tables[i] = fmt.Sprintf("%s %d", t, count[t])
	}
	var b bytes.Buffer
	for _, text := range []string{
		fmt.Sprintf("A scenario has %d keys. None of them is required: each that is left out has a default, and every answer says what it assumed.", len(l)),
		"Tables, with how many keys each has: " + strings.Join(tables, ", ") + ".",
		"Answers depend most on: " + strings.Join(main, ", ") + ".",
		"Next: a word finds the keys that have it in their name or meaning, as in",
	} {
		fmt.Fprintln(&b, strings.Join(report.Wrap(text, 80), "\n")+"\n")
	}
	b.Truncate(b.Len() - 1)
	fmt.Fprint(&b, "  kneepoint keys vacuum\n\n--all prints every key, with its limits, its default and how to find it out.\n")
	_, err := w.Write(b.Bytes())
	return err
}

// write prints each key in a few lines.
func (l keyList) write(w io.Writer, units si.System) error {
	var b bytes.Buffer
	for i, k := range l {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s\n", written(k))
		for _, line := range keyLines(k, units) {
			for j, part := range report.Wrap(line, 76) {
				if j > 0 {
					part = "  " + part
				}
				fmt.Fprintf(&b, "  %s\n", part)
			}
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

func keyLines(k scenario.Key, units si.System) []string {
	takes := "takes " + k.Kind
	if limits := k.Limits(units); limits != "" && !strings.Contains(k.Kind, " from ") {
		takes += ", " + limits
	}
	lines := []string{k.Doc, takes}
	text := ""
	switch {
	case k.Default != "" && k.From != "":
		text = fmt.Sprintf("default %s (%s)", k.DefaultText(units), k.From)
	case k.Default != "":
		text = "default " + k.DefaultText(units)
	case k.From != "" && k.From != "none":
		text = "default: " + k.From
	case k.Repeated:
		text = "no default: each [[" + strings.SplitN(k.Path, ".", 2)[0] + "]] says it where it has a meaning"
	default:
		text = "no default: it is another way to say something, or absent"
	}
	switch {
	case k.Range != nil:
		text += ", an estimate; elsewhere " + rangeText(k.Dim, *k.Range, units)
	case k.Estimate && k.Default != "":
		text += ", an estimate"
	}
	lines = append(lines, text)
	switch {
	case k.Measured():
		lines = append(lines, "to know it: "+k.HowToMeasure)
	case k.HowToMeasure != "":
		lines = append(lines, k.HowToMeasure)
	}
	return lines
}
