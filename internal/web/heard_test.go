package web

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
)

// Whoever does not see the page, and has no mouse, goes through each door to its end: by
// Tab, Enter and arrows, and by what a screen reader has of the page alone.
func TestDoorsByKeyboardAndScreenReader(t *testing.T) {
	browsertest.Long(t)
	for _, door := range []struct {
		name    string
		through func(*testing.T, *browsertest.Tab)
	}{{"will it work", hearsWhetherItStops}, {"why is it hard", hearsWhatIsWrong}, {"how does it work", doesALessonsTask}} {
		t.Run(door.name, func(t *testing.T) {
			b := openPage(t, serving(t, nil).URL(), wide, tall)
			door.through(t, b)
			b.Clean()
		})
	}
}

// focusedOn waits until a heading has the focus, which has it read out.
func focusedOn(b *browsertest.Tab, heading string) {
	b.Hear("focus on the heading "+heading, func(h browsertest.Heard) bool {
		return h.Role == "heading" && h.Focused && strings.HasPrefix(h.Name, heading)
	})
}

// readOut waits until a live region says something.
func readOut(b *browsertest.Tab, words string) browsertest.Heard {
	return b.Hear("read out: "+words, func(h browsertest.Heard) bool { return h.Live && strings.Contains(h.Texts, words) })
}

// region is what stands in a part of the page that is named.
func region(b *browsertest.Tab, name string) browsertest.Heard {
	return b.Hear("the region "+name, func(h browsertest.Heard) bool { return h.Role == "region" && h.Name == name })
}

func hearsWhetherItStops(t *testing.T, b *browsertest.Tab) {
	b.TabTo("button", "Will it work?")
	b.Key("Enter")
	focusedOn(b, "Will it work?")
	b.TabTo("textbox", "What does a vacuum gauge read at idle")
	typed(b, "a lot")
	b.Key("Enter")
	b.Hear("the field is marked, and has the focus again", func(h browsertest.Heard) bool {
		return h.Focused && h.Invalid && strings.Contains(h.Description, `read "a lot"`)
	})
	for range len("a lot") {
		b.Key("Backspace")
	}
	typed(b, "11 inHg")
	b.Key("Enter")
	readOut(b, "Asking the model")
	focusedOn(b, "Will it stop, and what is worth buying")
	answer := region(b, "Will it stop, and what is worth buying")
	assert.Contains(t, answer.Texts, "11 inHg")
	assert.Regexp(t, `lbf`, answer.Texts)
	b.TabTo("button", "Print")
}

func hearsWhatIsWrong(t *testing.T, b *browsertest.Tab) {
	b.TabTo("button", "Why is it hard?")
	b.Key("Enter")
	focusedOn(b, "Why is it hard?")
	b.Hear("the complaint is asked", func(h browsertest.Heard) bool {
		return h.Role == "group" && strings.HasPrefix(h.Name, "What is wrong with the brakes?")
	})
	b.TabTo("radio", "")
	b.Key(" ")
	b.Key("Enter")
	readOut(b, "Simulating the car with every fault")
	b.Hear("the first test is asked for", func(h browsertest.Heard) bool {
		return h.Role == "group" && strings.Contains(h.Name, "gauge at the manifold")
	})
	b.Hear("its field has the focus", func(h browsertest.Heard) bool {
		return h.Role == "textbox" && h.Focused && h.Name == "What it reads (inHg)"
	})
	typed(b, "9")
	b.Key("Enter")
	readOut(b, "too little vacuum from the source")
	b.TabTo("button", "What is known so far")
	b.Key("Enter")
	focusedOn(b, "What the readings say")
	assert.Contains(t, region(b, "What the readings say").Texts, "too little vacuum from the source")
	b.TabTo("button", "Print")
}

func doesALessonsTask(t *testing.T, b *browsertest.Tab) {
	b.TabTo("button", "Lessons")
	b.Key("Enter")
	focusedOn(b, "Seven lessons")
	b.TabTo("button", "What a booster is")
	b.Key("Enter")
	focusedOn(b, "What a booster is, 1 of 5")
	b.TabTo("button", "Next")
	b.Key("Enter")
	focusedOn(b, "What a booster is, 2 of 5")
	lesson := region(b, "What a booster is, 2 of 5: Brake to half a g")
	assert.Contains(t, lesson.Texts, "Press until the car slows by 0.45 to 0.55 g")
	b.TabTo("button", "Hold to press the pedal")
	// Step by step, as far as what is read out says so.
	last := "Pedal 0 lbf"
	for range 40 {
		b.Key("ArrowDown")
		said := b.Hear("the force that the foot has come to", func(h browsertest.Heard) bool {
			f := pressedWith.FindString(h.Texts)
			return h.Live && f != "" && f != last
		})
		last = pressedWith.FindString(said.Texts)
		slowing := slowingBy.FindStringSubmatch(said.Texts)
		require.Len(t, slowing, 2, said.Texts)
		g, err := strconv.ParseFloat(slowing[1], 64)
		require.NoError(t, err)
		if g >= 0.46 {
			break
		}
	}
	readOut(b, "Done.")
}

var (
	pressedWith = regexp.MustCompile(`Pedal [0-9]+ lbf`)
	slowingBy   = regexp.MustCompile(`slowing by ([0-9.]+) g`)
)
