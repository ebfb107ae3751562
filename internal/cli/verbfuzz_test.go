package cli

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"kneepoint/scenarios"
)

// Whatever document a page sends for one of the verbs it may ask for, the answer is JSON, or
// the document is refused by its line, or it could not be computed; and what is called off
// ends.
func FuzzVerb(f *testing.F) {
	f.Add("keys", "")
	f.Add("ask", "vacuum in gear = 11 inHg\ncam = don't know\n")
	f.Add("diagnose", "[[reading]]\ntest = \"booster-vacuum\"\nvalue = \"17-18 inHg\"\n")
	f.Add("run", "[source]\nvacuum = \"18 inHg\"\n[[press]]\nat = \"1 s\"\npedal = \"150 N\"\n")
	for _, verb := range []string{"curve", "reserve", "check", "balance", "failures", "choose"} {
		text, err := scenarios.Read("which-booster")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(verb, string(text))
	}
	f.Fuzz(func(t *testing.T, verb, document string) {
		if !slices.Contains(pageVerbs, verb) {
			t.Skip()
		}
		enough := errors.New("enough")
		ctx, cancel := context.WithCancelCause(context.Background())
		defer cancel(nil)
		time.AfterFunc(300*time.Millisecond, func() { cancel(enough) })
		begin := time.Now()
		status, out, trouble := Verb(ctx, verb, document)
		const late = 20 * time.Second
		if took := time.Since(begin); took > late {
			t.Errorf("called off after 0.3 s, it ended after %v", took)
		}
		switch {
		case status == done:
			if !json.Valid([]byte(out)) {
				t.Errorf("no JSON: %s", out)
			}
		case ctx.Err() != nil:
		case status == wrongInput:
			if verb != "ask" && !strings.HasPrefix(trouble, "stdin") {
				t.Errorf("refused without a place: %s", trouble)
			}
		default:
			t.Errorf("status %d: %s", status, trouble)
		}
	})
}
