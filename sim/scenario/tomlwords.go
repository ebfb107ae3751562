package scenario

import (
	"strings"

	"kneepoint/internal/pattern"
)

// A slip is a line that TOML does not take, told to someone who has never heard of TOML.
type slip struct {
	// key is bare; empty where the line has none.
	key, read, want string
}

var (
	equalsLine = pattern.Lazy(`^\s*([A-Za-z0-9_.-]+)\s*=\s*(.*?)\s*$`)
	wordsLine  = pattern.Lazy(`^\s*([A-Za-z][A-Za-z0-9_]*(?: +[A-Za-z0-9_]+)+)\s*=\s*(.*?)\s*$`)
	behindText = pattern.Lazy(`^("[^"\\]*"|'[^']*')\s*[;,]+\s*(.*)$`)
	colonLine  = pattern.Lazy(`^\s*([A-Za-z0-9_.-]+)\s*:\s*(\S.*?)\s*$`)
	spaceLine  = pattern.Lazy(`^\s*([A-Za-z_][A-Za-z0-9_.-]*)\s+("?[0-9].*?)\s*$`)
	headerLine = pattern.Lazy(`^\s*(\[{1,2})\s*([A-Za-z0-9_. -]+?)\s*(\]{0,2})\s*$`)
	inchMark   = pattern.Lazy(`([0-9])\s*(?:''|"|″|”)`)
	curly      = strings.NewReplacer("“", `"`, "”", `"`, "„", `"`, "’", "'", "‘", "'")
)

// slipIn says what is wrong with a line, if it is one of the usual slips.
func slipIn(line string) (s slip, ok bool) {
	if m := headerLine().FindStringSubmatch(line); m != nil && len(m[1]) != len(m[3]) {
		name := strings.ReplaceAll(m[2], " ", "")
		return slip{"", strings.TrimSpace(line), m[1] + name + strings.Repeat("]", len(m[1]))}, true
	}
	text := strings.TrimSpace(line)
	for _, mark := range []string{"//", ";", "*", "--", "!"} {
		if strings.HasPrefix(text, mark) {
			return slip{"", text, "a # before a note"}, true
		}
	}
	if m := headerLine().FindStringSubmatch(line); m != nil && strings.Contains(m[2], " ") {
		name := strings.ReplaceAll(m[2], " ", "_")
		if known := synonymOf(name); isTable(known) {
			name = known
		}
		return slip{"", text, m[1] + name + m[3]}, true
	}
	if strings.HasPrefix(text, "{") {
		return slip{"", text, "no braces: a [heading], and below it lines such as diameter = \"10 in\""}, true
	}
	if m := equalsLine().FindStringSubmatch(line); m != nil {
		return slipInValue(m[1], m[2])
	}
	if m := wordsLine().FindStringSubmatch(line); m != nil {
		return slip{"", text, strings.ReplaceAll(m[1], " ", "_") + " = " + m[2] + ", in one word"}, true
	}
	if m := colonLine().FindStringSubmatch(line); m != nil {
		return slip{m[1], text, m[1] + " = " + inQuotes(m[2]) + ", with = in place of the colon"}, true
	}
	if m := spaceLine().FindStringSubmatch(line); m != nil {
		return slip{m[1], text, m[1] + " = " + inQuotes(m[2]) + ", with = between the two"}, true
	}
	if text != "" && !strings.ContainsAny(text, "=[]{}") {
		return slip{"", text, "a line such as diameter = \"10 in\", a [heading], or a note behind a #"}, true
	}
	return slip{}, false
}

func slipInValue(key, value string) (s slip, ok bool) {
	if i := strings.IndexByte(value, '#'); i >= 0 && (!strings.ContainsAny(value[i:], `"'`) || value[0] != '"' && value[0] != '\'') {
		value = strings.TrimSpace(value[:i])
	}
	if twice, ok := strings.CutPrefix(value, "="); ok {
		return slip{key, "= twice", key + " = " + strings.TrimSpace(twice)}, true
	}
	if m := behindText().FindStringSubmatch(value); m != nil && m[2] == "" {
		return slip{key, value, key + " = " + m[1] + ", with nothing behind it"}, true
	} else if m != nil {
		return slip{key, value, key + " = " + m[1] + ", and the rest in a line of its own"}, true
	}
	right := key + " = " + inQuotes(value)
	switch {
	case value == "":
		return slip{key, "nothing behind the =", "a value, or the line left out"}, true
	case curly.Replace(value) != value:
		return slip{key, value + ", with curly quotes", right + ", with straight ones"}, true
	case value[0] == '[':
		if strings.Count(value, "[") > strings.Count(value, "]") {
			return slip{key, value, "a ] at the end of the list"}, true
		}
	case cantTell(value):
		return slip{key, value, "a value, or the line left out: what is usual is taken then"}, true
	case strings.HasPrefix(value, "'") && strings.Count(value, "'") == 1:
		return slip{key, value, key + " = " + tomlText(value[1:]) + ", with a quote at both ends"}, true
	case strings.HasPrefix(value, `"`) && strings.Count(value, `"`) == 1:
		return slip{key, value, right + ", with a quote at its end too"}, true
	case strings.HasPrefix(value, `"`) && inchMark().MatchString(value[1:]) && strings.Count(value, `"`) > 2:
		return slip{key, value + ", where the sign for inches ends the text", right}, true
	case !strings.HasPrefix(value, `"`) && strings.Contains(value, `"`):
		return slip{key, value, right + ": in between quotes, with in for inches"}, true
	case strings.Contains(value, "'") && value[0] != '\'' && value[0] != '"':
		return slip{key, value + " without quotes", key + " = " + tomlText(value)}, true
	}
	return slip{}, false
}

// inQuotes writes a value as a text of TOML, with inches as a unit.
func inQuotes(value string) string {
	value = strings.TrimSuffix(strings.TrimSpace(curly.Replace(value)), ",")
	bare := strings.TrimPrefix(value, `"`)
	if strings.Count(value, `"`) != 1 || bare == value {
		bare = inchMark().ReplaceAllString(bare, "$1 in")
	}
	bare = strings.Join(strings.Fields(strings.ReplaceAll(bare, `"`, " ")), " ")
	return tomlText(bare)
}
