//go:build js

// Package pageworker answers, in a worker of a browser, what a page asks: a verb with a
// document, as the command line does, and the calls that the server of a page has.
package pageworker

import (
	"bytes"
	"context"
	"strings"
	"sync"
	"syscall/js"

	"kneepoint/internal/cli"
	"kneepoint/internal/web"
	"kneepoint/sim/scenario"
)

// Run hands its functions to the worker's script and stays.
func Run() {
	start, err := scenario.Builtin()
	if err != nil {
		panic(err) // nothing was read that could be wrong
	}
	worker := web.NewWorker(start)
	js.Global().Set("kneepointVerb", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return promise(func() any { return verb(args[0], args[1].String()) })
	}))
	js.Global().Set("kneepointCall", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return promise(func() any { return call(worker, args[0].String(), args[1].String(), args[2].String()) })
	}))
	if ready := js.Global().Get("kneepointReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}

// verb runs a command line: words, and a document for its standard input. It returns the
// exit status with both outputs.
func verb(words js.Value, document string) any {
	args := make([]string, words.Length())
	for i := range args {
		args[i] = words.Index(i).String()
	}
	var out, trouble bytes.Buffer
	status := cli.Main(context.Background(), args, strings.NewReader(document), &out, &trouble)
	return map[string]any{"status": status, "out": out.String(), "err": trouble.String()}
}

// call is one request that a page would make of its server.
func call(worker *web.Worker, method, path, body string) any {
	status, answer := worker.Answer(context.Background(), method, path, body)
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
