package browsertest

import (
	"encoding/json"
	"strings"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/stretchr/testify/require"
)

// A Heard is one thing of a page as a screen reader has it.
type Heard struct {
	Role, Name, Description string
	// Focused says that keys go to it, Live that it is read out when it changes, Invalid
	// that what was typed is refused.
	Focused, Live, Invalid bool
	// Texts are all that stands in it, in order.
	Texts string
}

// Tree is all that a screen reader has of the page, in the order in which it reads.
func (b *Tab) Tree() []Heard {
	b.t.Helper()
	found := Command(b, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	nodes := map[accessibility.NodeID]*accessibility.Node{}
	for _, n := range found.Nodes {
		nodes[n.NodeID] = n
	}
	var out []Heard
	var walk func(n *accessibility.Node) (texts []string)
	walk = func(n *accessibility.Node) (texts []string) {
		h := Heard{Role: heardText(n.Role), Name: heardText(n.Name), Description: heardText(n.Description)}
		at := len(out)
		if !n.Ignored {
			out = append(out, h)
		}
		if h.Role == "StaticText" {
			return []string{h.Name} // its boxes repeat it
		}
		for _, id := range n.ChildIDs {
			if child := nodes[id]; child != nil {
				texts = append(texts, walk(child)...)
			}
		}
		if n.Ignored {
			return texts
		}
		for _, p := range n.Properties {
			switch said := heardText(p.Value); p.Name {
			case "focused":
				out[at].Focused = said == "true"
			case "invalid":
				out[at].Invalid = said == "true"
			case "live":
				out[at].Live = said == "polite" || said == "assertive"
			}
		}
		out[at].Texts = strings.Join(texts, " ")
		return texts
	}
	if len(found.Nodes) > 0 {
		walk(found.Nodes[0])
	}
	return out
}

// heardText is a value of the tree as text, empty where there is none.
func heardText(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var out any
	if err := json.Unmarshal(v.Value, &out); err != nil {
		return ""
	}
	switch out := out.(type) {
	case string:
		return out
	case bool:
		if out {
			return "true"
		}
	}
	return ""
}

// Focused is what has the focus.
func (b *Tab) Focused() Heard {
	b.t.Helper()
	var last Heard
	for _, h := range b.Tree() {
		// The page itself is focused too where something in it is.
		if h.Focused {
			last = h
		}
	}
	return last
}

// hearingTime is how long something may take to be heard.
const hearingTime = 90 * time.Second

// Hear waits until something in the tree is as wanted, and returns it; what says for what.
func (b *Tab) Hear(what string, wanted func(Heard) bool) Heard {
	b.t.Helper()
	for begin := time.Now(); ; time.Sleep(100 * time.Millisecond) {
		tree := b.Tree()
		for _, h := range tree {
			if wanted(h) {
				return h
			}
		}
		if time.Since(begin) > hearingTime {
			var names, live []string
			for _, h := range tree {
				if h.Live {
					live = append(live, h.Texts)
				}
				if h.Role != "InlineTextBox" && h.Role != "StaticText" {
					names = append(names, h.Role+" "+h.Name)
				}
			}
			require.Fail(b.t, "never heard", "%s; read out now: %q in:\n%s", what, live, strings.Join(names, "\n"))
		}
	}
}

// mostStops is how many stops of the Tab key a page may have.
const mostStops = 150

// TabTo goes on by the Tab key until what has the focus has that role, and a name that
// begins or ends so.
func (b *Tab) TabTo(role, name string) Heard {
	b.t.Helper()
	var passed []string
	for range mostStops {
		b.Key("Tab")
		h := b.Focused()
		if h.Role == role && (strings.HasPrefix(h.Name, name) || strings.HasSuffix(h.Name, name)) {
			return h
		}
		passed = append(passed, h.Role+" "+h.Name)
	}
	require.Fail(b.t, "not on the way of the Tab key", "%s %q; passed:\n%s", role, name, strings.Join(passed, "\n"))
	return Heard{}
}
