package film

import (
	"fmt"
	"image/color"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A stylesheet is what the picture needs of the page's: plain rules with classes,
// names and the drawing's identifier. Rules within @media are for screens and left out.
type stylesheet struct {
	rules     []rule
	variables map[string]string
}

type rule struct {
	// selector's parts, outermost first; each must match an element above the next.
	selector     []compound
	weight       int
	declarations []declaration
}

type declaration struct{ property, value string }

// A compound selects by name, identifier and classes at once.
type compound struct {
	name, id string
	classes  []string
}

var comments = regexp.MustCompile(`(?s)/\*.*?\*/`)

// parseStyles reads style sheets, the later over the earlier ones.
func parseStyles(texts ...string) *stylesheet {
	out := &stylesheet{variables: map[string]string{}}
	text := comments.ReplaceAllString(strings.Join(texts, "\n"), "")
	for text != "" {
		selectors, rest, ok := strings.Cut(text, "{")
		if !ok {
			break
		}
		body, rest := braced(rest)
		text = rest
		selectors = strings.TrimSpace(selectors)
		if strings.HasPrefix(selectors, "@") {
			continue
		}
		declarations := parseDeclarations(body)
		for s := range strings.SplitSeq(selectors, ",") {
			s = strings.TrimSpace(s)
			if s == ":root" {
				for _, d := range declarations {
					out.variables[d.property] = d.value
				}
				continue
			}
			if parts, weight, ok := parseSelector(s); ok {
				out.rules = append(out.rules, rule{parts, weight, declarations})
			}
		}
	}
	slices.SortStableFunc(out.rules, func(a, b rule) int { return a.weight - b.weight })
	return out
}

// braced splits a text behind the brace that ends what was opened before it.
func braced(text string) (body, rest string) {
	depth := 1
	for i := range len(text) {
		switch text[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return text[:i], text[i+1:]
			}
		}
	}
	return text, ""
}

func parseDeclarations(body string) []declaration {
	var out []declaration
	for d := range strings.SplitSeq(body, ";") {
		property, value, ok := strings.Cut(d, ":")
		if ok {
			out = append(out, declaration{strings.TrimSpace(property), strings.TrimSpace(value)})
		}
	}
	return out
}

var compoundForm = regexp.MustCompile(`^([a-z]*)((?:[.#][A-Za-z][\w-]*)*)$`)

// parseSelector reads names, classes and identifiers below one another; ok is false
// for everything else, which no picture has.
func parseSelector(text string) (parts []compound, weight int, ok bool) {
	for word := range strings.FieldsSeq(text) {
		form := compoundForm.FindStringSubmatch(word)
		if form == nil {
			return nil, 0, false
		}
		c := compound{name: form[1]}
		if c.name != "" {
			weight++
		}
		for _, more := range regexp.MustCompile(`[.#][^.#]+`).FindAllString(form[2], -1) {
			if more[0] == '#' {
				c.id = more[1:]
				weight += 10000
			} else {
				c.classes = append(c.classes, more[1:])
				weight += 100
			}
		}
		parts = append(parts, c)
	}
	return parts, weight, len(parts) > 0
}

func (c compound) matches(n *node) bool {
	if c.name != "" && c.name != n.name || c.id != "" && c.id != n.attributes["id"] {
		return false
	}
	for _, name := range c.classes {
		if !n.ClassList.has(name) {
			return false
		}
	}
	return true
}

// declarations returns what the sheet says of the last of a chain of elements.
func (s *stylesheet) declarations(chain []*node) []declaration {
	var out []declaration
	n := chain[len(chain)-1]
	for _, r := range s.rules {
		last := len(r.selector) - 1
		if !r.selector[last].matches(n) {
			continue
		}
		k := last - 1
		for i := len(chain) - 2; i >= 0 && k >= 0; i-- {
			if r.selector[k].matches(chain[i]) {
				k--
			}
		}
		if k < 0 {
			out = append(out, r.declarations...)
		}
	}
	return out
}

// resolve puts the value of a variable in the place of var(--name).
func (s *stylesheet) resolve(value string) string {
	for {
		before, rest, ok := strings.Cut(value, "var(")
		if !ok {
			return value
		}
		name, after, _ := strings.Cut(rest, ")")
		value = before + s.variables[strings.TrimSpace(name)] + after
	}
}

// colours returns the colours that the sheet has names for.
func (s *stylesheet) colour(name string) color.RGBA {
	c, ok := parseColour(s.variables["--"+name])
	if !ok {
		panic(fmt.Sprintf("the look has no colour %q", name))
	}
	return c
}

// parseColour reads #rrggbb and rgb(r,g,b); ok is false for none.
func parseColour(text string) (c color.RGBA, ok bool) {
	text = strings.TrimSpace(text)
	if hex, is := strings.CutPrefix(text, "#"); is {
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		v, err := strconv.ParseUint(hex, 16, 32)
		return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}, err == nil && len(hex) == 6
	}
	if inner, is := strings.CutPrefix(text, "rgb("); is {
		v, err := parseNumbers(strings.TrimSuffix(inner, ")"))
		if err != nil || len(v) != 3 {
			return c, false
		}
		return color.RGBA{uint8(v[0]), uint8(v[1]), uint8(v[2]), 255}, true
	}
	return c, false
}
