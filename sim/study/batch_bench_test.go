package study

import (
	"context"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"testing"
	"time"

	"kneepoint/internal/batch"

	"github.com/stretchr/testify/require"
)

// aloneEnv tells a process of the test binary to do a share of a batch by itself.
const aloneEnv = "KNEEPOINT_TEST_ALONE"

// TestAlone is no test: it is what the processes of BenchmarkBatch do.
func TestAlone(t *testing.T) {
	jobs, err := strconv.Atoi(os.Getenv(aloneEnv))
	if err != nil {
		t.Skip("only within a benchmark")
	}
	for range jobs {
		answerOne(t)
	}
}

// answerOne is one job of a batch: what `reserve` asks.
func answerOne(tb testing.TB) {
	_, err := Reserve(context.Background(), garage(tb, "stock-ten-inch"), nil)
	require.NoError(tb, err)
}

// BenchmarkBatch answers as many questions on all cores of one process as it does
// in one process a core, each on one thread, at once. It reports the throughput of
// the first as a share of the second's. The processes' start is left out by taking
// the time of empty ones off.
func BenchmarkBatch(b *testing.B) {
	const each = 60 // jobs a core
	cores := runtime.GOMAXPROCS(0)
	apart := func(jobs int) time.Duration {
		start := time.Now()
		var running []*exec.Cmd
		for range cores {
			c := exec.Command(os.Args[0], "-test.run", "^TestAlone$")
			c.Env = append(os.Environ(), aloneEnv+"="+strconv.Itoa(jobs), "GOMAXPROCS=1")
			require.NoError(b, c.Start())
			running = append(running, c)
		}
		for _, c := range running {
			require.NoError(b, c.Wait())
		}
		return time.Since(start)
	}
	var together, separate time.Duration
	for b.Loop() {
		start := time.Now()
		_, err := batch.ForEach(context.Background(), each*cores, nil, func(context.Context, int) error {
			answerOne(b)
			return nil
		})
		together += time.Since(start)
		require.NoError(b, err)
		separate += apart(each) - apart(0)
	}
	b.ReportMetric(separate.Seconds()/together.Seconds(), "together/apart")
	b.ReportMetric(together.Seconds()*1e3/float64(b.N*each*cores), "ms/answer")
}
