package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

type screened struct {
	answer.Answer
	screen answer.Screen
}

func (s screened) Screen(si.System) answer.Screen { return s.screen }

// What is good to know besides fills a first screen and no more, whatever stands above it;
// a command stands in a line of its own.
func TestScreenIsFilledAsFarAsThereIsRoom(t *testing.T) {
	t.Parallel()
	s := answer.Screen{
		Verdict: []string{"It will do."}, DependsOn: "the vacuum",
		Next: "count", Command: answer.Command{Verb: "reserve", Args: []string{"--all"}},
	}
	for i := range 20 {
		s.More = append(s.More, fmt.Sprintf("More %d.", i))
	}
	command := func(c answer.Command) string { return "kneepoint " + c.Verb + " car.toml " + strings.Join(c.Args, " ") }
	for _, above := range []int{0, 3, 7} {
		var out bytes.Buffer
		require.NoError(t, Text(&out, screened{screen: s}, TextOptions{Unset: 7, Above: above, Command: command}))
		lines := strings.Count(out.String(), "\n")
		assert.LessOrEqual(t, lines+above, screenLines)
		assert.Greater(t, lines+above+2, screenLines, "one more would not have fitted")
		assert.Contains(t, out.String(), "\nMore 0.\n")
		assert.Contains(t, out.String(), "\nDepends most on: the vacuum.\n\nNext: count:\n  kneepoint reserve car.toml --all\n\n7 values are assumed")
	}
	var out bytes.Buffer
	require.NoError(t, Text(&out, screened{screen: s}, TextOptions{Above: 30}))
	assert.NotContains(t, out.String(), "More")
	assert.Contains(t, out.String(), "\nNext: count.\n\n--all prints the rest.\nCaution: ")
}
