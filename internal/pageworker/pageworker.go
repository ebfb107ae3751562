//go:build js

// Package pageworker answers, in a worker of a browser, what a page asks: a verb with a
// document, as the command line does, and the calls that the server of a page has.
package pageworker

import (
	"context"
	"runtime/debug"
	"sync"
	"syscall/js"

	"kneepoint/internal/batch"
	"kneepoint/internal/cli"
	"kneepoint/internal/web"
	"kneepoint/sim/scenario"
)

// mostMemory is from where on a worker collects its garbage more often, in bytes: memory that
// a program in WebAssembly has taken once it never gives back, and a page has several.
const mostMemory = 48 << 20

// Run hands its functions to the worker's script and stays.
func Run() {
	debug.SetMemoryLimit(mostMemory)
	start, err := scenario.Builtin()
	if err != nil {
		panic(err) // nothing was read that could be wrong
	}
	worker := web.NewWorker(start, cli.Verb)
	js.Global().Set("kneepointCall", js.FuncOf(func(_ js.Value, args []js.Value) any {
		ctx := context.Background()
		if args[3].Truthy() {
			ctx = batch.WithCrew(ctx, &crew{})
		}
		return promise(func() any { return call(ctx, worker, args[0].String(), args[1].String(), args[2].String()) })
	}))
	if ready := js.Global().Get("kneepointReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}

// call is one request that a page would make of its server.
func call(ctx context.Context, worker *web.Worker, method, path, body string) any {
	status, answer := worker.Answer(ctx, method, path, body)
	return map[string]any{"status": status, "body": string(answer)}
}

// one keeps the requests in order: a model belongs to one goroutine at a time.
var one sync.Mutex

// promise does something once it is its turn, without holding the worker's events up.
func promise(do func() any) js.Value {
	var executor js.Func
	executor = js.FuncOf(func(_ js.Value, args []js.Value) any {
		resolve := args[0]
		go func() {
			defer executor.Release()
			one.Lock()
			defer one.Unlock()
			resolve.Invoke(js.ValueOf(do()))
		}()
		return nil
	})
	return js.Global().Get("Promise").New(executor)
}
