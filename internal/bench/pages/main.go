// Command pages holds many pages open on one server at once, each driving a car of its own
// in real time, and tells of the server's memory and of how long its answers take.
//
//	go build -o /tmp/kneepoint ./cmd/kneepoint
//	go -C internal/bench run ./pages -program /tmp/kneepoint -n 100 -for 10m
package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"slices"
	"strings"
	"sync"
	"time"
)

func main() {
	program := flag.String("program", "kneepoint", "the `file` to serve with")
	n := flag.Int("n", 100, "how many pages")
	lasts := flag.Duration("for", 10*time.Minute, "how long they are held")
	every := flag.Duration("every", time.Minute, "how often the server is looked at")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := hold(ctx, *program, *n, *lasts, *every); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// hold serves n pages for a while and prints a row every so often.
func hold(ctx context.Context, program string, n int, lasts, every time.Duration) error {
	ctx, cancel := context.WithTimeout(ctx, lasts)
	defer cancel()
	server := exec.Command(program, "serve", "--no-open")
	out, err := server.StdoutPipe()
	if err != nil {
		return err
	}
	if err := server.Start(); err != nil {
		return err
	}
	defer func() {
		server.Process.Kill()
		server.Wait()
	}()
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		return fmt.Errorf("the server's address: %w", err)
	}
	address := strings.TrimSuffix(strings.TrimSpace(line), "/")
	var seen watch
	var group sync.WaitGroup
	failed := make(chan error, n)
	for i := range n {
		group.Go(func() {
			if err := drive(ctx, address, i, &seen); err != nil && ctx.Err() == nil {
				failed <- fmt.Errorf("page %d: %w", i, err)
				cancel()
			}
		})
	}
	fmt.Printf("%d pages, %d steps a second each\n\n| s | resident, MB | steps | median, ms | 99 %%, ms |\n|---|---|---|---|---|\n", n, int(time.Second/stepEvery))
	began := time.Now()
	ticker := time.NewTicker(every)
	defer ticker.Stop()
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
		case <-ticker.C:
		}
		memory, err := resident(server.Process.Pid)
		if err != nil {
			return err
		}
		took := seen.take()
		fmt.Printf("| %.0f | %.1f | %d | %.1f | %.1f |\n", time.Since(began).Seconds(), memory, len(took), quantile(took, 0.5), quantile(took, 0.99))
	}
	group.Wait()
	close(failed)
	var all []error
	for err := range failed {
		all = append(all, err)
	}
	return errors.Join(all...)
}

// resident is how much memory a process holds, in MB.
func resident(pid int) (float64, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	for line := range strings.Lines(string(text)) {
		var kB float64
		if _, err := fmt.Sscanf(line, "VmRSS: %f kB", &kB); err == nil {
			return kB / 1024, nil
		}
	}
	return 0, errors.New("no VmRSS")
}

// A watch has what answers took, in ms.
type watch struct {
	mu   sync.Mutex
	took []float64
}

func (w *watch) add(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.took = append(w.took, float64(d)/float64(time.Millisecond))
}

// take returns what was added since it was last asked.
func (w *watch) take() []float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	took := w.took
	w.took = nil
	slices.Sort(took)
	return took
}

// quantile is that of sorted figures, 0 of none.
func quantile(sorted []float64, share float64) float64 {
	if len(sorted) == 0 {
		return 0
	}
	return sorted[int(share*float64(len(sorted)-1))]
}
