package film

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"

	"github.com/grafana/sobek"

	"kneepoint/internal/web"
)

// The sheet is the film's own part of the picture: where the page's drawing and curves
// stand, and the words around them. The still is a report's.
//
//go:embed sheet.js sheet.css still.js still.css
var own embed.FS

// A script is the page's modules running without a browser: frames go in, the tree of
// elements changes.
type script struct {
	vm    *sobek.Runtime
	sheet *stylesheet
	root  *node
	// sees and shows are the sheet's functions for a frame.
	sees, shows sobek.Callable
}

// newScript loads a script of the film's own with what it imports and the looks of its
// name, and builds the picture.
func newScript(name string, scene map[string]any) (*script, error) {
	s := &script{vm: sobek.New(), root: newNode("svg")}
	s.vm.SetFieldNameMapper(sobek.UncapFieldNameMapper())
	look, err := fs.ReadFile(web.Files(), "look.css")
	if err != nil {
		return nil, err
	}
	more, err := own.ReadFile(name + ".css")
	if err != nil {
		return nil, err
	}
	s.sheet = parseStyles(string(look), string(more))
	if err := s.document(); err != nil {
		return nil, err
	}
	module, err := s.load(name + ".js")
	if err != nil {
		return nil, err
	}
	exported := s.vm.NamespaceObjectFor(module)
	var build sobek.Callable
	for name, to := range map[string]*sobek.Callable{"build": &build, "see": &s.sees, "show": &s.shows} {
		var ok bool
		if *to, ok = sobek.AssertFunction(exported.Get(name)); !ok {
			return nil, fmt.Errorf("the script exports no %s", name)
		}
	}
	if _, err := build(sobek.Undefined(), s.vm.ToValue(s.root), s.vm.ToValue(scene)); err != nil {
		return nil, fmt.Errorf("the picture cannot be built: %w", err)
	}
	return s, nil
}

// load links and runs a module. One of the film's own is looked for first.
func (s *script) load(name string) (*sobek.SourceTextModuleRecord, error) {
	modules := map[string]*sobek.SourceTextModuleRecord{}
	var resolve sobek.HostResolveImportedModuleFunc
	resolve = func(_ any, specifier string) (sobek.ModuleRecord, error) {
		name := path.Clean(specifier)
		if m, ok := modules[name]; ok {
			return m, nil
		}
		text, err := own.ReadFile(name)
		if errors.Is(err, fs.ErrNotExist) {
			text, err = fs.ReadFile(web.Files(), name)
		}
		if err != nil {
			return nil, err
		}
		m, err := sobek.ParseModule(name, string(text), resolve)
		if err == nil {
			modules[name] = m
		}
		return m, err
	}
	record, err := resolve(nil, name)
	if err != nil {
		return nil, err
	}
	module := record.(*sobek.SourceTextModuleRecord)
	if err := module.Link(); err != nil {
		return nil, err
	}
	promise := s.vm.CyclicModuleRecordEvaluate(module, resolve)
	switch promise.State() {
	case sobek.PromiseStateFulfilled:
		return module, nil
	case sobek.PromiseStateRejected:
		return nil, fmt.Errorf("%s: %s", name, promise.Result())
	}
	return nil, fmt.Errorf("%s waits for something", name)
}

// document gives the page's modules what they ask of a browser.
func (s *script) document() error {
	root := s.vm.NewObject()
	document := s.vm.NewObject()
	steps := []error{
		document.Set("documentElement", root),
		document.Set("createElementNS", s.element),
		s.vm.Set("document", document),
		s.vm.Set("window", s.vm.NewObject()),
		s.vm.Set("getComputedStyle", func(sobek.Value) *computed { return &computed{s.sheet} }),
		s.vm.Set("matchMedia", func(string) map[string]any { return map[string]any{"matches": false} }),
	}
	_, err := s.vm.RunString(`class ResizeObserver { observe() {} }`)
	return errors.Join(append(steps, err)...)
}

func (s *script) element(_, name string) *node {
	n := newNode(name)
	if name == "canvas" {
		n.context = newContext2d(s.vm)
	}
	return n
}

// computed answers for the colours of the look.
type computed struct{ sheet *stylesheet }

func (c *computed) GetPropertyValue(name string) string { return c.sheet.variables[name] }

// see has the curves take in a frame between two pictures.
func (s *script) see(frame []byte) error { return s.call(s.sees, string(frame)) }

// show has the scripts draw a frame, dt seconds of watching after the last one.
func (s *script) show(frame []byte, dt float64) error { return s.call(s.shows, string(frame), dt) }

func (s *script) call(f sobek.Callable, args ...any) error {
	values := make([]sobek.Value, len(args))
	for i, a := range args {
		values[i] = s.vm.ToValue(a)
	}
	if _, err := f(sobek.Undefined(), values...); err != nil {
		return fmt.Errorf("the picture cannot be drawn: %w", err)
	}
	return nil
}
