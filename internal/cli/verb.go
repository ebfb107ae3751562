package cli

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
)

// pageVerbs are those that a page may ask for: they read one document and write nothing.
var pageVerbs = []string{"curve", "reserve", "run", "choose", "balance", "failures", "diagnose", "check", "keys", "ask"}

// Verb runs one verb on a document, for a page: what it writes is what
// "kneepoint VERB - --format json" prints, and the exit status is that of the process.
func Verb(ctx context.Context, verb, document string) (status int, out, trouble string) {
	if !slices.Contains(pageVerbs, verb) {
		return wrongInput, "", fmt.Sprintf("verb: read %q, want %s", verb, oneOf(pageVerbs))
	}
	args := []string{verb, "-", "--format", "json"}
	if verb == "keys" {
		args = []string{verb, "--format", "json"}
	}
	var found, said bytes.Buffer
	status = Main(ctx, args, strings.NewReader(document), &found, &said)
	return status, found.String(), said.String()
}
