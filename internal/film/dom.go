package film

import (
	"strings"

	"github.com/grafana/sobek"
)

// A node is an element of the picture, with as much of the document's interface as the
// page's scripts use. Its exported names are what scripts see, uncapitalised.
type node struct {
	TextContent string
	ClassList   *classes
	Dataset     map[string]any

	// ClientWidth and ClientHeight are a canvas's size on the sheet; Width and Height,
	// in a browser that of its pixels, are only written to.
	ClientWidth, ClientHeight float64
	Width, Height             float64

	name       string
	attributes map[string]string
	children   []*node
	context    *context2d

	// What was worked out of the attributes, while they stay the same.
	parsed   map[string]any
	ruled    []declaration
	ruledBy  string
	shaped   *outline
	shapedOf shapeOf
}

func newNode(name string) *node {
	return &node{
		name: name, attributes: map[string]string{}, parsed: map[string]any{},
		ClassList: &classes{}, Dataset: map[string]any{},
	}
}

// SetAttribute takes numbers as they print in JavaScript.
func (n *node) SetAttribute(name string, value sobek.Value) {
	text := value.String()
	if name == "class" {
		n.ClassList.set(text)
	}
	if n.attributes[name] != text {
		n.attributes[name] = text
		delete(n.parsed, name)
	}
}

// RemoveAttribute forgets one.
func (n *node) RemoveAttribute(name string) {
	delete(n.attributes, name)
	delete(n.parsed, name)
}

// Append takes elements, and strings for the text of an element.
func (n *node) Append(children ...sobek.Value) {
	for _, c := range children {
		if child, ok := c.Export().(*node); ok {
			n.children = append(n.children, child)
		} else {
			n.TextContent += c.String()
		}
	}
}

// ReplaceChildren puts others in the place of all.
func (n *node) ReplaceChildren(children ...sobek.Value) {
	n.children, n.TextContent = nil, ""
	n.Append(children...)
}

// GetContext is for canvases; there is one kind.
func (n *node) GetContext(string) sobek.Value { return n.context.object }

// classes are an element's, in the order in which they came.
type classes struct{ names []string }

func (c *classes) set(text string) { c.names = strings.Fields(text) }

// Toggle adds a class or takes it away.
func (c *classes) Toggle(name string, on bool) {
	kept := c.names[:0:0]
	for _, have := range c.names {
		if have != name {
			kept = append(kept, have)
		}
	}
	if on {
		kept = append(kept, name)
	}
	c.names = kept
}

func (c *classes) has(name string) bool {
	for _, have := range c.names {
		if have == name {
			return true
		}
	}
	return false
}
