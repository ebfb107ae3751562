//go:build unix

package cli

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kneepoint/internal/ask"
)

// BenchmarkCost measures what each verb costs against the size of its question, in time of
// the processors, since all of them may be at work. SOLVER.md has the table.
func BenchmarkCost(b *testing.B) {
	dir := b.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(b, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	example := func(name string) string {
		text, err := os.ReadFile(filepath.Join("..", "..", "scenarios", name))
		require.NoError(b, err)
		return string(text)
	}
	measure := func(verb, of string, size int, args ...string) {
		b.Run(fmt.Sprintf("%s/%s=%d", verb, of, size), func(b *testing.B) {
			begin := processorTime(b)
			for b.Loop() {
				var out, words bytes.Buffer
				if status := Main(b.Context(), append([]string{verb}, args...), strings.NewReader(""), &out, &words); status != done {
					b.Fatal(words.String())
				}
			}
			b.ReportMetric((processorTime(b)-begin).Seconds()*1e3/float64(b.N), "cpu-ms/op")
		})
	}
	boosters := []string{"7 in", "8 in", "9 in", "10 in", "11 in", "7 in + 8 in", "8 in + 8 in", "8 in + 9 in"}
	options := func(n int) []string { // with a tank and without, with a pump and without, of two bores
		return []string{"--set", "choose.max_diameter=12 in", "--set", "choose.max_depth=14 in", "--set", "choose.reservoirs=[\"0 L\", \"2 L\"]",
			"--set", "choose.boosters=[\"" + strings.Join(boosters[:n/8], "\", \"") + "\"]"}
	}
	for _, n := range []int{8, 16, 32, 64} {
		measure("choose", "options", n, append(options(n), "which-booster")...)
	}
	tolerances := []string{"source.vacuum=11 inHg ± 1", "booster.ratio=4 ± 0.3", "pedal.ratio=4 ± 0.2", "brake.front.friction=0.38 ± 0.03"}
	for n := range len(tolerances) + 1 {
		args := append(options(8), "which-booster")
		for _, t := range tolerances[:n] {
			args = append(args, "--set", t)
		}
		measure("choose", "tolerances", n, args...)
	}
	for _, n := range []int{4, 8, 16} {
		measure("sweep", "points", n*n, "big-cam-nine", "--set", "reserve.deceleration=0.4 g",
			"--over", fmt.Sprintf("source.vacuum=8 inHg..20 inHg/%d", n), "--over", fmt.Sprintf("reservoir.volume=0 L..4 L/%d", n))
	}
	for _, n := range []int{5, 10, 20, 40} {
		measure("reserve", "stops", n, "stock-ten-inch", "--set", fmt.Sprintf("reserve.stops=%d", n))
	}
	for _, n := range []int{1, 2, 4, 8} {
		args := []string{"stock-ten-inch"}
		for i := range n {
			args = append(args, "--vacuum", fmt.Sprintf("%d inHg", 12+i))
		}
		measure("curve", "vacua", n, args...)
	}
	for _, n := range []int{2, 4, 8} {
		args := []string{"stock-ten-inch"}
		for i := range n - 1 {
			args = append(args, "--with", fmt.Sprintf("source.vacuum=%d inHg", 10+i))
		}
		measure("compare", "cars", n, args...)
	}
	for _, n := range []int{10, 100, 1000} {
		presses := ""
		for i := range n {
			presses += fmt.Sprintf("[[press]]\nat = \"%d s\"\npedal = \"150 N\"\n", 10*i+1)
		}
		measure("run", "seconds", 10*n, file(fmt.Sprintf("run%d.toml", n), "[source]\nvacuum = \"18 inHg\"\n"+presses))
	}
	head, readings, _ := strings.Cut(example("hard-pedal.toml"), "[[reading]]")
	each := strings.Split(readings, "[[reading]]")
	for n := range len(each) + 1 {
		if n > 0 {
			head += "[[reading]]" + each[n-1]
		}
		measure("diagnose", "readings", n, file(fmt.Sprintf("diagnose%d.toml", n), head))
	}
	car := file("log.toml", example("gauge-log.toml"))
	lines := strings.SplitAfter(example("gauge-log.csv"), "\n")
	for _, n := range []int{10, 100, 1000} {
		// The same minute, logged so many times as finely.
		var log strings.Builder
		for _, line := range lines {
			at, rest, _ := strings.Cut(line, ",")
			var t float64
			if _, err := fmt.Sscan(at, &t); err != nil {
				log.WriteString(line)
				continue
			}
			for i := range n {
				fmt.Fprintf(&log, "%.5f,%s", t+0.2*float64(i)/float64(n), rest)
			}
		}
		measure("fit", "repeated rows", n*len(lines), car, file(fmt.Sprintf("log%d.csv", n), log.String()))
	}
	driven := "[[fault]]\nname = \"front-shell-leak\"\narea = \"0.1 mm2\"\n[[event]]\nat = \"0 s\"\nengine = \"off\"\n"
	for i := range 4 {
		driven += fmt.Sprintf("[[press]]\nat = \"%d s\"\npedal = \"%d N\"\npress = \"0.5 s\"\nhold = \"2 s\"\nrelease = \"0.5 s\"\n", 6+12*i, 80+30*i)
	}
	driven = file("driven.toml", example("gauge-log.toml")+driven)
	for _, every := range []int{200, 20, 2} { // ms: the car itself, read as finely, with scatter
		log, rows := scattered(b, driven, every)
		measure("fit", "rows", rows, car, file(fmt.Sprintf("driven%d.csv", every), log))
	}
	for _, n := range []int{1, 2, 4} {
		measure("film", "seconds", n, "stock-ten-inch", "--of", "reserve", "--seconds", fmt.Sprint(n), "-o", filepath.Join(dir, fmt.Sprintf("film%d.gif", n)))
	}
	for _, verb := range []string{"balance", "failures"} {
		measure(verb, "cars", 1, "stock-ten-inch")
	}
	for _, name := range []string{"metric", "half-known", "nothing-known", "pump-and-tank"} {
		path := filepath.Join("..", "..", "testdata", "answers", name+".txt")
		answers, err := ask.Blank()
		require.NoError(b, err)
		f, err := os.Open(path)
		require.NoError(b, err)
		defer f.Close()
		require.NoError(b, answers.Read(f, path))
		car, err := answers.Car()
		require.NoError(b, err)
		measure("ask", name+" unknown", len(car.Unknown), "--answers", path)
	}
}

// scattered is a log of a scenario's run whose gauges scatter as those of gauge-log.csv do.
func scattered(b *testing.B, path string, every int) (log string, rows int) {
	b.Helper()
	var out, words bytes.Buffer
	status := Main(b.Context(), []string{"run", path, "--format", "csv", "--every", fmt.Sprintf("%d ms", every)}, strings.NewReader(""), &out, &words)
	require.Equal(b, done, status, words.String())
	records, err := csv.NewReader(&out).ReadAll()
	require.NoError(b, err)
	rng := rand.New(rand.NewPCG(1, uint64(every)))
	var text strings.Builder
	text.WriteString("time_s,front_vacuum_pa,pedal_n,line_pa")
	for _, r := range records[1:] {
		fmt.Fprintf(&text, "\n%s", r[0])
		for _, gauge := range []struct {
			name    string
			scatter float64
		}{{"front_vacuum_pa", 340}, {"pedal_n", 1.3}, {"line_front_pa", 55e3}} {
			v, err := strconv.ParseFloat(r[slices.Index(records[0], gauge.name)], 64)
			require.NoError(b, err)
			fmt.Fprintf(&text, ",%.1f", v+gauge.scatter*rng.NormFloat64())
		}
	}
	return text.String(), len(records) - 1
}

// processorTime is what this process has used of all processors.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
