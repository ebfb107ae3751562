package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"time"
)

// stepEvery is how often a page asks; on a screen of its own it asks up to once a frame.
const stepEvery = 40 * time.Millisecond

// drive opens a page's car and drives it until the context ends: it presses and lets go,
// stops the engine and starts it, and turns a control now and then.
func drive(ctx context.Context, address string, number int, seen *watch) error {
	var made struct{ ID string }
	if err := ask(ctx, address, "/api/drives", map[string]any{}, &made); err != nil {
		return err
	}
	ticker := time.NewTicker(stepEvery)
	defer ticker.Stop()
	for k := number; ; k++ {
		select {
		case <-ctx.Done():
			return nil
		case <-ticker.C:
		}
		const period = 100
		engine := "idle"
		if k/period%5 == 4 {
			engine = "off"
		}
		step := map[string]any{"dt_s": stepEvery.Seconds(), "pedal_n": 120 * (1 - math.Cos(2*math.Pi*float64(k%period)/period)), "engine": engine}
		began := time.Now()
		if err := ask(ctx, address, "/api/drives/"+made.ID+"/step", step, nil); err != nil {
			return err
		}
		seen.add(time.Since(began))
		if k%500 == 499 {
			change := map[string]any{"control": "vacuum", "value": fmt.Sprintf("%d inHg", 10+k/500%10)}
			if err := ask(ctx, address, "/api/drives/"+made.ID+"/change", change, nil); err != nil {
				return err
			}
		}
	}
}

// ask posts as the page does and decodes the reply.
func ask(ctx context.Context, address, path string, body any, out any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, address+path, bytes.NewReader(text))
	if err != nil {
		return err
	}
	r.Header.Set("Origin", address)
	r.Header.Set("Content-Type", "application/json")
	reply, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer reply.Body.Close()
	all, err := io.ReadAll(reply.Body)
	switch {
	case err != nil:
		return err
	case reply.StatusCode >= http.StatusBadRequest:
		return fmt.Errorf("%s: %s: %s", path, reply.Status, all)
	case out != nil:
		return json.Unmarshal(all, out)
	}
	return nil
}
