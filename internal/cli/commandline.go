package cli

import (
	"strings"

	"kneepoint/internal/pattern"
)

// commandLine prints a command as it can be typed again in a shell.
func commandLine(args []string) string {
	words := []string{"kneepoint"}
	for _, a := range args {
		words = append(words, shellWord(a))
	}
	return strings.Join(words, " ")
}

var (
	plainWord  = pattern.Lazy(`^[A-Za-z0-9_./:=@%+,-]+$`)
	activeSign = pattern.Lazy("[\"$`\\\\!\x00-\x1f]")
)

// shellWord quotes an argument where a shell would take it apart: in double quotes,
// which all shells know, unless something in it has a meaning within them.
func shellWord(arg string) string {
	switch {
	case plainWord().MatchString(arg):
		return arg
	case !activeSign().MatchString(arg):
		return `"` + arg + `"`
	}
	return "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
}
