package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// run types one command line.
func run(t *testing.T, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, words bytes.Buffer
	status = Main(t.Context(), args, strings.NewReader(""), &out, &words)
	return status, out.String(), words.String()
}

func TestHelpWithoutArguments(t *testing.T) {
	t.Parallel()
	var out, words bytes.Buffer
	// Nil must not be taken for the arguments of the test.
	assert.Equal(t, done, Main(t.Context(), nil, nil, &out, &words))
	assert.Contains(t, out.String(), "Verbs:")
	assert.Empty(t, words.String())
}

// Two command lines in one process know nothing of each other.
func TestNoStateBetweenCommands(t *testing.T) {
	t.Parallel()
	_, plain, _ := run(t, "curve", "--format", "json")
	_, _, _ = run(t, "curve", "--format", "json", "--vacuum", "11 inHg", "--manual-ratio", "4", "--set", "booster.ratio=3")
	_, again, _ := run(t, "curve", "--format", "json")
	assert.Equal(t, plain, again)
}

// failing is a writer that always fails.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestBrokenPipeIsNoTrouble(t *testing.T) {
	t.Parallel()
	for _, verb := range []string{"curve", "check", "new"} {
		var words bytes.Buffer
		assert.Equal(t, done, Main(t.Context(), []string{verb}, nil, failing{syscall.EPIPE}, &words), verb)
		assert.Empty(t, words.String(), verb)
	}
}

func TestFailedWriteIsSaid(t *testing.T) {
	t.Parallel()
	for _, verb := range []string{"curve", "check", "new"} {
		var words bytes.Buffer
		assert.Equal(t, notComputed, Main(t.Context(), []string{verb}, nil, failing{syscall.ENOSPC}, &words), verb)
		assert.Contains(t, words.String(), syscall.ENOSPC.Error(), verb)
	}
}

func TestStopped(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	for _, verb := range []string{"curve", "reserve", "run"} {
		var out, words bytes.Buffer
		assert.Equal(t, notComputed, Main(ctx, []string{verb}, nil, &out, &words), verb)
		assert.Equal(t, "stopped\n", words.String(), verb)
		assert.Empty(t, out.String(), verb)
	}
}

// A command that waits for someone to type can be stopped too.
func TestStoppedWhileReading(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	in, typing := io.Pipe()
	defer typing.Close()
	var out, words bytes.Buffer
	status := make(chan int)
	go func() { status <- Main(ctx, []string{"curve", "-"}, in, &out, &words) }()
	_, err := typing.Write([]byte("[source]\n")) // returns when it was read
	require.NoError(t, err)
	stop()
	assert.Equal(t, notComputed, <-status)
	assert.Equal(t, "stopped\n", words.String())
}

func TestFailingStandardInputIsInput(t *testing.T) {
	t.Parallel()
	var out, words bytes.Buffer
	in := io.MultiReader(strings.NewReader("[source]\n"), failingReader{})
	assert.Equal(t, wrongInput, Main(t.Context(), []string{"curve", "-"}, in, &out, &words))
	assert.True(t, strings.HasPrefix(words.String(), "stdin:1: "), words.String())
}

type failingReader struct{}

func (failingReader) Read([]byte) (int, error) { return 0, errors.New("no such luck") }

// partial is what a study had found when it failed.
type partial struct{}

func (*partial) Words(si.System) []string { return []string{"As far as it went."} }
func (*partial) Tables() []answer.Table   { return nil }
func (*partial) Figures() []answer.Figure { return nil }
func (*partial) Document() any            { return map[string]int{"stops": 2} }

// What was computed before a failure is printed all the same.
func TestPartOfAnAnswerIsPrinted(t *testing.T) {
	t.Parallel()
	ask := func(result *partial, failure error) (status int, stdout, stderr string) {
		var out, words bytes.Buffer
		c := &console{out: &out, err: &words}
		cmd := c.study(studyVerb{
			command: cobra.Command{Use: "ask", SilenceErrors: true, SilenceUsage: true},
			ask: func(context.Context, *scenario.Scenario, batch.Progress) (answer.Answer, error) {
				return found(result, failure)
			},
		})
		cmd.SetArgs([]string{"--format", "json"})
		status = c.exitStatus(t.Context(), cmd.ExecuteContext(t.Context()))
		return status, out.String(), words.String()
	}

	status, stdout, stderr := ask(&partial{}, errors.New("the step became too small"))
	assert.Equal(t, notComputed, status)
	assert.Equal(t, `2 false "devel"`, stopsWholeVersion(t, stdout))
	assert.Equal(t, "could not be computed: the step became too small\n", stderr)

	status, stdout, stderr = ask(nil, errors.New("it never began"))
	assert.Equal(t, notComputed, status)
	assert.Empty(t, stdout)
	assert.Equal(t, "could not be computed: it never began\n", stderr)

	status, stdout, _ = ask(&partial{}, nil)
	assert.Equal(t, done, status)
	assert.Equal(t, `2  "devel"`, stopsWholeVersion(t, stdout))
}

// stopsWholeVersion reads of a partial's document what it counts, whether it says that it
// is whole, which only one that is not does, and the version below it.
func stopsWholeVersion(t *testing.T, document string) string {
	t.Helper()
	var got struct {
		Stops, Whole json.RawMessage
		Program      struct{ Version json.RawMessage }
	}
	require.NoError(t, json.Unmarshal([]byte(document), &got))
	return fmt.Sprintf("%s %s %s", got.Stops, got.Whole, got.Program.Version)
}
