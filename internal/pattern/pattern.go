// Package pattern has regular expressions that cost nothing before they are used: the
// program has some seventy, and an answer needs a few.
package pattern

import (
	"regexp"
	"sync"
)

// A Pattern gives a regular expression.
type Pattern func() *regexp.Regexp

// Lazy is a regular expression that is compiled when it is asked for the first time. It
// panics then if the expression is none, as [regexp.MustCompile] does.
func Lazy(expression string) Pattern {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
