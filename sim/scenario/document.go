package scenario

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"kneepoint/internal/pattern"
)

// maxDocument is the largest document that is read.
const maxDocument = 1 << 20

const leastText = `at least one table or key, such as [source] and below it vacuum = "18 inHg"`

// parseDocument takes a TOML document apart into settings with their lines. What
// the keys mean does not matter here.
func parseDocument(name string, data []byte) (*input, []Problem) {
	in := newInput(name)
	top := place{file: name, line: 1}
	if len(data) > maxDocument {
		return in, []Problem{top.problem("document", "more than 1 MiB", "a scenario of at most 1 MiB")}
	}
	d := &document{in: in, data: slices.Clip(bytes.Clone(data)), elements: map[string]int{}, first: map[string]int{}}
	d.parse()
	if len(d.problems) == 0 && !d.any {
		return in, []Problem{top.problem("document", "an empty document", leastText)}
	}
	return in, d.problems
}

// crossCheck has a document that is otherwise right decoded as TOML in full, which
// refuses what a parser alone lets pass, such as tables defined over keys. It
// comes last because its time grows with the square of the number of keys.
func crossCheck(name string, data []byte) []Problem {
	d := &document{in: newInput(name), data: data}
	var all map[string]any
	err := toml.Unmarshal(data, &all)
	if err == nil {
		return nil
	}
	line := 1
	var wrong *toml.DecodeError
	if errors.As(err, &wrong) {
		line, _ = wrong.Position()
	}
	d.problemTOML(line, err)
	return d.problems
}

// problemTOML reports that a line is not what TOML allows.
func (d *document) problemTOML(line int, err error) {
	text := d.line(line)
	if s, ok := slipIn(text); ok {
		d.problem(line, cmp.Or(s.key, "line"), shorten(s.read), s.want)
		return
	}
	d.problem(line, "TOML", strconv.Quote(shorten(strings.TrimSpace(text))), "what TOML allows here ("+strings.TrimPrefix(err.Error(), "toml: ")+")")
}

// document is a TOML document being taken apart.
type document struct {
	in       *input
	data     []byte
	parser   unstable.Parser
	any      bool
	lines    []int          // where each line begins
	elements map[string]int // of arrays of tables, how many so far
	first    map[string]int // the line that first set a path
	problems []Problem
}

func (d *document) parse() {
	d.parser.Reset(d.data)
	prefix := ""
	for d.parser.NextExpression() {
		d.any = true
		switch e := d.parser.Expression(); e.Kind {
		case unstable.Table:
			path, line := d.path(e.Key())
			prefix = d.table(path, line)
		case unstable.ArrayTable:
			path, line := d.path(e.Key())
			prefix = d.element(path, line)
		case unstable.KeyValue:
			d.keyValue(prefix, e)
		}
	}
	if err := d.parser.Error(); err != nil {
		d.syntax(prefix, err)
	}
}

func (d *document) problem(line int, key, read, want string) {
	d.problems = append(d.problems, place{d.in.name, line}.problem(key, read, want))
}

// path joins the parts of a key and returns the line of its last part.
func (d *document) path(key unstable.Iterator) (path string, line int) {
	var parts []string
	for key.Next() {
		n := key.Node()
		part := string(n.Data)
		if !bareKey().MatchString(part) {
			part = strconv.Quote(part)
		}
		parts = append(parts, part)
		line = d.lineAt(int(n.Raw.Offset))
	}
	return strings.Join(parts, "."), line
}

var bareKey = pattern.Lazy(`^[A-Za-z0-9_-]+$`)

func (d *document) lineAt(offset int) int {
	if d.lines == nil {
		d.lines = append(d.lines, 0)
		for i, c := range d.data {
			if c == '\n' {
				d.lines = append(d.lines, i+1)
			}
		}
	}
	line, found := slices.BinarySearch(d.lines, offset)
	if found {
		line++
	}
	return line
}

func (d *document) table(path string, line int) (prefix string) {
	switch {
	case repeated(path):
		d.problem(line, path, "["+path+"]", "[["+path+"]], since there can be several")
	case !isTable(path):
		d.problem(line, path, "an unknown table", d.suggestTable(path))
	case d.first["["+path] > 0:
		d.problem(line, path, "["+path+"] again", fmt.Sprintf("each table once; the first is in line %d", d.first["["+path]))
	default:
		d.first["["+path] = line
		d.in.tables[path] = place{d.in.name, line}
		return path
	}
	return skipped
}

// skipped is the prefix of what stands below a header that was refused: one
// problem is enough.
const skipped = "\x00"

func (d *document) element(path string, line int) (prefix string) {
	if !repeated(path) {
		if isTable(path) {
			d.problem(line, path, "[["+path+"]]", "["+path+"], since there can be only one")
		} else {
			d.problem(line, path, "an unknown table", d.suggestTable(path))
		}
		return skipped
	}
	return d.addElement(path, line)
}

// suggestTable is nearestTable as long as its answer will be shown.
func (d *document) suggestTable(path string) string {
	if len(d.problems) >= mostProblems {
		return "a known table"
	}
	return nearestTable(path)
}

// mostElements is how many of a table there can be.
const mostElements = 1000

func (d *document) addElement(path string, line int) (prefix string) {
	n := d.elements[path]
	d.elements[path] = n + 1
	if n >= mostElements {
		if n == mostElements {
			d.problem(line, path, "one more [["+path+"]]", fmt.Sprintf("at most %d", mostElements))
		}
		return skipped
	}
	prefix = fmt.Sprintf("%s[%d]", path, n)
	d.in.tables[prefix] = place{d.in.name, line}
	return prefix
}

func (d *document) keyValue(prefix string, e *unstable.Node) {
	path, line := d.path(e.Key())
	if prefix == skipped {
		return
	}
	if prefix != "" {
		path = prefix + "." + path
	}
	d.add(path, line, e.Value())
}

// add files the value under the path; inline tables and lists of them are spread out.
func (d *document) add(path string, line int, n *unstable.Node) {
	switch {
	case n.Kind == unstable.InlineTable && repeated(path):
		d.problem(line, path, "a table", "a list of tables, since there can be several")
	case n.Kind == unstable.InlineTable:
		if !isTable(path) {
			d.unknown(path, line)
			return
		}
		d.in.tables[path] = place{d.in.name, line}
		d.inline(path, n)
	case n.Kind == unstable.Array && repeated(path):
		for it := n.Children(); it.Next(); {
			item := it.Node()
			if item.Kind != unstable.InlineTable {
				d.problem(line, path, d.value(item).read(), "a list of tables")
				continue
			}
			d.inline(d.addElement(path, line), item)
		}
	default:
		if before := d.first[path]; before > 0 {
			d.problem(line, path, d.value(n).read()+" again", fmt.Sprintf("each key once; the first is in line %d", before))
			return
		}
		d.first[path] = line
		d.in.settings = append(d.in.settings, setting{path: path, value: d.value(n), place: place{d.in.name, line}})
	}
}

func (d *document) unknown(path string, line int) {
	d.problem(line, path, "an unknown key", suggestKey(path, len(d.problems)))
}

func (d *document) inline(path string, n *unstable.Node) {
	for it := n.Children(); it.Next(); {
		if it.Node().Kind == unstable.KeyValue {
			d.keyValue(path, it.Node())
		}
	}
}

func (d *document) value(n *unstable.Node) value {
	switch n.Kind {
	case unstable.String:
		return value{kind: textValue, text: string(n.Data)}
	case unstable.Integer, unstable.Float:
		return value{kind: numberValue, text: string(n.Data)}
	case unstable.Bool:
		return value{kind: boolValue, text: string(n.Data)}
	case unstable.Array:
		v := value{kind: listValue}
		for it := n.Children(); it.Next(); {
			v.items = append(v.items, d.value(it.Node()))
		}
		return v
	case unstable.InlineTable:
		return value{kind: otherValue, text: "a table"}
	default:
		return value{kind: otherValue, text: "the date or time " + shorten(string(n.Data))}
	}
}

// unquoted matches a quantity without its quotes, or a word without them.
var unquoted = pattern.Lazy(`^\s*([A-Za-z0-9_.-]+)\s*=\s*([^"'\[{#]*[^"'\[{#\s])\s*(#.*)?$`)

// syntax reports where the document stops being TOML.
func (d *document) syntax(prefix string, err error) {
	offset := len(d.data)
	var wrong *unstable.ParserError
	if errors.As(err, &wrong) {
		if o := cap(d.data) - cap(wrong.Highlight); wrong.Highlight != nil && o >= 0 && o <= len(d.data) {
			offset = o
		}
	}
	line := d.lineAt(offset)
	text := d.line(line)
	if m := unquoted().FindStringSubmatch(text); m != nil && curly.Replace(text) == text {
		path := m[1]
		if prefix != "" && prefix != skipped {
			path = prefix + "." + path
		}
		d.problem(line, path, shorten(m[2])+" without quotes", fmt.Sprintf("%s = %s", m[1], tomlText(m[2])))
		return
	}
	if s, ok := slipIn(text); ok {
		path := s.key
		if path != "" && prefix != "" && prefix != skipped {
			path = prefix + "." + path
		}
		d.problem(line, cmp.Or(path, "line"), shorten(s.read), s.want)
		return
	}
	d.problemTOML(line, err)
}

// line returns the text of a line, counted from 1.
func (d *document) line(n int) string {
	lines := bytes.SplitN(d.data, []byte{'\n'}, n+1)
	if n > len(lines) {
		return ""
	}
	return strings.TrimSuffix(string(lines[n-1]), "\r")
}
