//go:build js

package pageworker

import (
	"context"
	"errors"
	"syscall/js"

	"kneepoint/internal/batch"
)

// A crew are the workers of one page that answer one request together. The page deals out
// what each does: see crew.js.
type crew struct{ batches int }

// Share works out what the page deals to this worker, and waits for the others' results.
func (c *crew) Share(ctx context.Context, n int, _ batch.Progress, do func(context.Context, int) ([]byte, error)) ([][]byte, error) {
	number := c.batches
	c.batches++
	page := js.Global().Get("kneepointCrew")
	for {
		dealt, err := await(page.Call("deal", number, n))
		if err != nil {
			return nil, err
		}
		i := dealt.Int()
		if i < 0 {
			break
		}
		text, err := do(ctx, i)
		if err != nil {
			page.Call("fail", err.Error())
			return nil, err
		}
		bytes := js.Global().Get("Uint8Array").New(len(text))
		js.CopyBytesToJS(bytes, text)
		page.Call("found", number, i, bytes)
	}
	all, err := await(page.Call("all", number, n))
	if err != nil {
		return nil, err
	}
	out := make([][]byte, n)
	for i := range out {
		bytes := all.Index(i)
		out[i] = make([]byte, bytes.Length())
		js.CopyBytesToGo(out[i], bytes)
	}
	return out, nil
}

// await waits for a promise, and lets the worker take messages meanwhile.
func await(promise js.Value) (js.Value, error) {
	type settled struct {
		value js.Value
		err   error
	}
	done := make(chan settled, 1)
	kept := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- settled{value: args[0]}
		return nil
	})
	broken := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- settled{err: errors.New(args[0].Get("message").String())}
		return nil
	})
	defer kept.Release()
	defer broken.Release()
	promise.Call("then", kept, broken)
	s := <-done
	return s.value, s.err
}
