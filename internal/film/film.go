// Package film makes a moving picture of a car at work. The page's own scripts draw it,
// run by an interpreter on a small tree of elements, which is painted here: there is
// one drawing and one model.
package film

import (
	"context"
	"fmt"
	"image"
	"math"

	"kneepoint/internal/web"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Subject is what a film is of.
type Subject string

// The subjects are the questions that have something moving to show.
const (
	Run     Subject = "run"
	Reserve Subject = "reserve"
	Curve   Subject = "curve"
)

// Subjects lists them.
func Subjects() []Subject { return []Subject{Run, Reserve, Curve} }

// Options say how a film is made.
type Options struct {
	Of Subject
	// Seconds is the length of the film. Zero: that of what happens, at most UsualMost.
	Seconds float64
	// Pace is simulated time over the film's. Zero: 1, or what Seconds asks for.
	Pace float64
	// Rate is pictures a second; of a GIF it must be a GIFRate.
	Rate float64
	// Width is that of the picture, in pixels.
	Width int
	Units si.System
	// Watch is told how many pictures of how many are done.
	Watch func(done, total int)
}

// UsualMost is the longest film that nobody asked for, in s.
const UsualMost = 15.0

// What a film can be.
const (
	UsualRate, LeastRate, MostRate    = 20.0, 1.0, 60.0
	MostGIFRate                       = 50.0
	UsualWidth, LeastWidth, MostWidth = 1280, 320, 2560
	LeastSeconds, MostSeconds         = 0.5, 120.0
	LeastPace, MostPace               = 0.01, 1000.0
)

// sheetWidth and sheetHeight are the sheet's, in its own units.
const sheetWidth, sheetHeight = 1600, 900

// endHolds is how long the last picture stands, in s.
const endHolds = 1.0

// A Film is ready to be shot.
type Film struct {
	// Frames is how many pictures are drawn, one every Step seconds; the last stands
	// until the film's end.
	Frames int
	Step   float64
	// Length is that of the whole film, in s.
	Length float64
	Size   image.Point

	options Options
	// Pace is in words: "speeded up 4 times".
	Pace string

	pace   float64
	plan   *plan
	car    *scenario.Scenario
	show   *web.Show
	script *script
}

// New has the studies done that a film is drawn over, and builds its first picture.
func New(ctx context.Context, s *scenario.Scenario, o Options) (*Film, error) {
	p, err := newPlan(ctx, s, o.Of, o.Units)
	if err != nil {
		return nil, err
	}
	f := &Film{options: o, plan: p, car: s, Step: 1 / o.Rate}
	// Most encoders of video want an even height.
	f.Size = image.Pt(o.Width, 2*int(math.Round(float64(o.Width)*sheetHeight/sheetWidth/2)))
	f.time(float64(p.schedule.Until))
	if f.show, err = p.open(ctx, s); err != nil {
		return nil, err
	}
	f.Pace = paceWords(f.pace)
	scene, err := p.scene(f.show, s, o.Units, f.Pace)
	if err != nil {
		return nil, err
	}
	f.script, err = newScript("sheet", scene)
	return f, err
}

// GIFRate is the rate that a GIF comes nearest to, whose delays are whole hundredths of
// a second; most viewers take one of less than two for ten.
func GIFRate(rate float64) float64 { return 100 / math.Max(2, math.Round(100/rate)) }

// time settles how long the film is and at which pace it runs, for what lasts until
// then.
func (f *Film) time(until float64) {
	o := f.options
	f.pace = o.Pace
	switch {
	case o.Seconds == 0 && o.Pace == 0:
		f.pace = 1
		if until > UsualMost-endHolds {
			f.pace = roundPace(until / (UsualMost - endHolds))
		}
		f.Length = until/f.pace + endHolds
	case o.Seconds == 0:
		f.Length = until/f.pace + endHolds
	case o.Pace == 0:
		f.pace = until / (o.Seconds - min(endHolds, o.Seconds/4))
		f.Length = o.Seconds
	default:
		f.Length = min(o.Seconds, until/f.pace+endHolds)
	}
	moving := min(f.Length, until/f.pace)
	f.Frames = max(1, int(math.Ceil(moving/f.Step-1e-9))+1)
	f.Frames = min(f.Frames, f.Pictures())
}

// Pictures is how many steps of time the film has.
func (f *Film) Pictures() int { return max(1, int(math.Round(f.Length/f.Step))) }

// delay is how long a picture stands, in hundredths of a second.
func (f *Film) delay(i int) int {
	step := math.Round(100 * f.Step)
	if i == f.Frames-1 {
		return int(step * float64(f.Pictures()-i))
	}
	return int(step)
}

// roundPace rounds up to a pace that is easy to say.
func roundPace(pace float64) float64 {
	step := 0.5
	if pace > 10 {
		step = 1
	}
	return math.Ceil(pace/step-1e-9) * step
}

func paceWords(pace float64) string {
	switch {
	case math.Abs(pace-1) < 0.005:
		return "in real time"
	case pace > 1:
		return fmt.Sprintf("speeded up %.3g times", pace)
	}
	return fmt.Sprintf("slowed down %.3g times", 1/pace)
}

// Between two pictures the curves take in a frame every seeingEvery of the simulation's
// time, but no more than mostSeen.
const (
	seeingEvery = 0.025 // s
	mostSeen    = 12
)

// next advances the car to a picture and draws it; marks are what to paint.
func (f *Film) next(ctx context.Context, i int) ([]mark, error) {
	if i == 0 {
		return f.picture(ctx, 0, 0)
	}
	span := f.Step * f.pace
	stages := min(max(int(math.Ceil(span/seeingEvery)), 1), mostSeen)
	for k := 1; k < stages; k++ {
		frame, err := f.advance(ctx, (float64(i-1)+float64(k)/float64(stages))*span)
		if err != nil {
			return nil, err
		}
		if err := f.script.see(frame); err != nil {
			return nil, err
		}
	}
	return f.picture(ctx, float64(i)*span, f.Step)
}

// advance plays on to a time, or to the end, and returns the frame there.
func (f *Film) advance(ctx context.Context, at float64) ([]byte, error) {
	if err := f.show.AdvanceTo(ctx, min(si.Time(at), f.plan.schedule.Until)); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return f.show.Frame()
}

// picture draws the car at a time, dt seconds of watching after the last picture.
func (f *Film) picture(ctx context.Context, at, dt float64) ([]mark, error) {
	frame, err := f.advance(ctx, at)
	if err != nil {
		return nil, err
	}
	if err := f.script.show(frame, dt); err != nil {
		return nil, err
	}
	return shoot(f.script.root, f.script.sheet, float64(f.Size.X)/sheetWidth)
}
