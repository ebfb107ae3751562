package film

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// brief keeps the tests' films short and small.
var brief = Options{Of: Run, Seconds: 1.6, Rate: 10, Width: 640}

func of(subject Subject) Options {
	o := brief
	o.Of = subject
	return o
}

func open(t testing.TB, name string, settings ...string) *scenario.Scenario {
	t.Helper()
	text, err := scenarios.Read(name)
	require.NoError(t, err)
	s, err := scenario.Read(bytes.NewReader(text), name+".toml")
	require.NoError(t, err)
	for _, set := range settings {
		path, value, _ := strings.Cut(set, "=")
		s, err = s.With(path, value)
		require.NoError(t, err)
	}
	return s
}

func made(t testing.TB, s *scenario.Scenario, o Options) *Film {
	t.Helper()
	f, err := New(t.Context(), s, o)
	require.NoError(t, err)
	return f
}

// played decodes a GIF and returns its pictures as a viewer shows them.
func played(t testing.TB, text []byte) (*gif.GIF, []*image.RGBA) {
	t.Helper()
	g, err := gif.DecodeAll(bytes.NewReader(text))
	require.NoError(t, err)
	screen := image.NewRGBA(image.Rect(0, 0, g.Config.Width, g.Config.Height))
	var out []*image.RGBA
	for _, shown := range g.Image {
		draw.Draw(screen, shown.Bounds(), shown, shown.Bounds().Min, draw.Over)
		kept := image.NewRGBA(screen.Rect)
		copy(kept.Pix, screen.Pix)
		out = append(out, kept)
	}
	return g, out
}

func written(t testing.TB, f *Film) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, f.WriteGIF(t.Context(), &out))
	return out.Bytes()
}

func TestFilmOfStopsWithoutAPauseBetweenThem(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "big-cam-reservoir", "reserve.pause=0 s"), of(Reserve))
	_, pictures := played(t, written(t, f))
	assert.Len(t, pictures, f.Frames)
}

func TestEveryFilmIsAsLongAndLargeAsAsked(t *testing.T) {
	t.Parallel()
	for _, subject := range Subjects() {
		t.Run(string(subject), func(t *testing.T) {
			t.Parallel()
			f := made(t, open(t, "big-cam-reservoir"), of(subject))
			g, pictures := played(t, written(t, f))
			assert.Equal(t, 640, g.Config.Width)
			assert.Equal(t, 360, g.Config.Height)
			assert.Len(t, pictures, f.Frames)
			hundredths := 0
			for _, d := range g.Delay {
				hundredths += d
			}
			assert.Equal(t, 160, hundredths)
			assert.Zero(t, g.LoopCount, "for ever")
			// The clock is a part of every state, so that none looks like the one before.
			for i := range pictures[1:] {
				assert.NotEqual(t, pictures[i].Pix, pictures[i+1].Pix, "picture %d", i+1)
			}
		})
	}
}

// Whoever asks for nothing gets at most 15 s and 10 MB; what lasts longer is speeded up.
func TestUsualFilmIsWithinItsLimits(t *testing.T) {
	t.Parallel()
	for name, long := range map[string]bool{"stock-ten-inch": true, "stop-and-go": false, "manual-pedal": false} {
		for _, subject := range Subjects() {
			f := made(t, open(t, name), Options{Of: subject, Rate: UsualRate, Width: UsualWidth})
			assert.LessOrEqual(t, f.Length, UsualMost+1e-9, "%s %s", name, subject)
			assert.Equal(t, 0., math.Mod(f.pace, 0.5), "%s %s", name, subject)
			if subject == Run && long {
				assert.Contains(t, f.Pace, "speeded up")
			}
			_, err := f.next(t.Context(), 0)
			require.NoError(t, err)
			f.assertWordsApart(t, fmt.Sprintf("%s %s", name, subject))
		}
	}
}

// Of a film as it is when nobody asks for anything, a few seconds tell its size: faster
// than the whole, they have more that changes.
func TestUsualFilmIsNoLargerThanItMayBe(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "big-cam-reservoir"), Options{Of: Curve, Seconds: 1.5, Rate: UsualRate, Width: UsualWidth})
	text := written(t, f)
	g, _ := played(t, text)
	assert.Len(t, g.Image, f.Frames)
	first := g.Image[0].Bounds().Size()
	assert.Equal(t, f.Size, first)
	whole := float64(len(text)) / float64(f.Frames) * UsualMost * UsualRate
	assert.Less(t, whole, 10e6, "bytes for %g s", UsualMost)
}

// Two pictures of one state, with no time between them, are the same, and no part of the
// second is written.
func TestPicturesAreEqualWhereTheStateIs(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "stock-ten-inch"), brief)
	paint := f.worker()
	look := newPalette(f.script.sheet)
	var out bytes.Buffer
	writer := newGIF(&out, look, f.Size)
	var sizes []int
	for _, at := range []float64{1.2, 1.2, 1.2, 1.25} {
		marks, err := f.picture(t.Context(), at, 0)
		require.NoError(t, err)
		before := out.Len()
		require.NoError(t, writer.add(look.mapper().indices(paint(marks)), 4))
		sizes = append(sizes, out.Len()-before)
	}
	require.NoError(t, writer.end())
	g, pictures := played(t, out.Bytes())
	for _, same := range []int{1, 2} {
		assert.Equal(t, pictures[0].Pix, pictures[same].Pix)
		assert.Equal(t, image.Rect(0, 0, 1, 1), g.Image[same].Bounds())
		assert.Less(t, sizes[same], 40)
	}
	assert.NotEqual(t, pictures[2].Pix, pictures[3].Pix)
}

// frame is what the tests read of a frame's data.
type frame struct {
	Time  float64  `json:"time_s"`
	Hub   float64  `json:"hub_m"`
	Front float64  `json:"front_vacuum_pa"`
	Line  float64  `json:"line_front_pa"`
	Made  int      `json:"stops_made"`
	Pedal float64  `json:"pedal_n"`
	Left  *lefting `json:"stops_left"`
}

type lefting struct {
	Stops int `json:"stops"`
}

func (f *Film) present(t testing.TB) frame {
	t.Helper()
	text, err := f.show.Frame()
	require.NoError(t, err)
	var out frame
	require.NoError(t, json.Unmarshal(text, &out))
	return out
}

// The hub is drawn where the state has it, times the drawing's scale, and the front
// chamber in the colour of its vacuum.
func TestPictureFollowsTheState(t *testing.T) {
	t.Parallel()
	s := open(t, "stock-ten-inch")
	f := made(t, s, brief)
	paint := f.worker()
	sheet := f.script.sheet
	air, mid, deep := sheet.colour("air"), sheet.colour("mid"), sheet.colour("deep")
	look := newPalette(sheet).mapper()
	stroke, master := float64(s.Config.Booster.Stroke), float64(s.Config.Master.Stroke)
	perMetre := 1e3 * min(4, 150/(1e3*stroke), 144/(1e3*master)) // cutaway.js
	farthest := 0.0
	colours := map[color.RGBA]bool{}
	for i := range 12 {
		marks, err := f.next(t.Context(), i)
		require.NoError(t, err)
		now := f.present(t)

		hub := f.script.root.find(func(n *node) bool {
			return n.name == "g" && len(n.children) > 0 && strings.HasPrefix(n.children[0].attributes["d"], "M-46-44H14")
		})
		require.NotNil(t, hub, "the hub in the drawing")
		const plateAtRest, axis = 652, 360
		var x, y float64
		_, err = fmt.Sscanf(hub.attributes["transform"], "translate(%f %f)", &x, &y)
		require.NoError(t, err)
		assert.InDelta(t, plateAtRest-now.Hub*perMetre, x, 0.006, "at %g s", now.Time)
		assert.InDelta(t, axis, y, 0)
		farthest = max(farthest, now.Hub*perMetre)

		// A place in the front chamber in which nothing else is.
		picture := paint(marks)
		at := f.inDrawing(point{440, 260})
		want := func(a, m, b uint8) float64 {
			const turn = 0.4 // colours.js
			share := now.Front / (0.8 * float64(s.Config.Ambient.Pressure))
			if share < turn {
				return float64(a) + share/turn*(float64(m)-float64(a))
			}
			return float64(m) + (share-turn)/(1-turn)*(float64(b)-float64(m))
		}
		got := picture.RGBAAt(at.X, at.Y)
		assert.InDelta(t, want(air.R, mid.R, deep.R), float64(got.R), 0.6)
		assert.InDelta(t, want(air.G, mid.G, deep.G), float64(got.G), 0.6)
		assert.InDelta(t, want(air.B, mid.B, deep.B), float64(got.B), 0.6)
		// The GIF has some 64 steps of it.
		c := look.indices(picture).At(at.X, at.Y).(color.RGBA)
		assert.InDelta(t, float64(got.R), float64(c.R), 2)
		colours[c] = true
	}
	assert.Greater(t, farthest, 20., "the hub moved in the pictures looked at")
	assert.Greater(t, len(colours), 2, "and the vacuum changed")
}

// inDrawing is the pixel of a place in the page's drawing.
func (f *Film) inDrawing(p point) image.Point {
	drawing := f.script.root.find(func(n *node) bool { return n.attributes["id"] == "cutaway" })
	m, err := parseTransform(drawing.attributes["transform"])
	if err != nil {
		panic(err)
	}
	q := scaling(float64(f.Size.X) / sheetWidth).times(m).apply(p)
	return image.Pt(int(q.x), int(q.y))
}

// A film of a series plays the study's own stops: as many are left, and each begins with
// the vacuum that the study has.
func TestFilmOfStopsPlaysTheStudy(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "stock-ten-inch"), of(Reserve))
	stops := f.plan.reserve.Stops
	set := open(t, "stock-ten-inch").Reserve
	for i := range f.plan.schedule.Presses {
		require.NoError(t, f.show.AdvanceTo(t.Context(), f.plan.schedule.Presses[i].At))
		now := f.present(t)
		assert.InDelta(t, float64(stops[i].VacuumBefore.Value()), now.Front, 20, "stop %d", i+1)
		assert.Equal(t, i, now.Made)
		assert.Equal(t, max(0, f.plan.reserve.HeavyStops-i), now.Left.Stops, "before stop %d", i+1)
		require.NoError(t, f.show.AdvanceTo(t.Context(), f.plan.schedule.Presses[i].At+set.Press+set.Hold))
		assert.InEpsilon(t, float64(stops[i].Line), f.present(t).Line, 1e-3)
	}
}

// The film's press is faster than the study's, by which the line falls behind a little
// while the rear chamber fills; beyond the knee they are the same.
func TestFilmOfTheCurveFollowsTheStudy(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "stock-ten-inch"), of(Curve))
	curve := f.plan.curve.Curves[0]
	press := f.plan.schedule.Presses[0]
	assert.Greater(t, float64(press.Pedal), 1.25*float64(curve.Knee.Pedal.Value()))
	looked := 0
	for _, p := range curve.Points {
		if p.Releasing || p.Pedal < 0.5*curve.Knee.Pedal.Value() {
			continue
		}
		require.NoError(t, f.show.AdvanceTo(t.Context(), press.At+press.Press*si.Time(p.Pedal/press.Pedal)))
		now := f.present(t)
		assert.InDelta(t, float64(p.Pedal), now.Pedal, 1e-3)
		lag := 0.03
		if p.Pedal > 1.15*curve.Knee.Pedal.Value() {
			lag = 0.006
		}
		assert.InEpsilon(t, float64(p.Line), now.Line, lag, "at %g N", now.Pedal)
		looked++
	}
	assert.Greater(t, looked, 100)
}

func TestCautionStandsInThePictureOnce(t *testing.T) {
	t.Parallel()
	f := made(t, open(t, "stock-ten-inch"), brief)
	count := 0
	f.script.root.find(func(n *node) bool {
		if strings.HasPrefix(n.TextContent, "Caution: ") {
			count++
		}
		return false
	})
	assert.Equal(t, 1, count)
}

func TestUnitsAreThoseAskedFor(t *testing.T) {
	t.Parallel()
	for units, want := range map[si.System]string{si.US: "psi", si.SI: "MPa"} {
		o := brief
		o.Units = units
		f := made(t, open(t, "stock-ten-inch"), o)
		_, err := f.next(t.Context(), 0)
		require.NoError(t, err)
		dial := f.script.root.find(func(n *node) bool { return n.ClassList.has("of-line") })
		require.NotNil(t, dial)
		assert.True(t, strings.HasSuffix(dial.TextContent, "\u00a0"+want), dial.TextContent)
	}
}

func TestStoppedFilmEnds(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	o := brief
	o.Watch = func(done, _ int) {
		if done == 3 {
			cancel()
		}
	}
	f, err := New(ctx, open(t, "stock-ten-inch"), o)
	require.NoError(t, err)
	var out bytes.Buffer
	require.ErrorIs(t, f.WriteGIF(ctx, &out), context.Canceled)
}

// assertWordsApart wants every word of the picture within it, and none over another.
func (f *Film) assertWordsApart(t testing.TB, which string) {
	t.Helper()
	type box struct {
		text string
		image.Rectangle
	}
	var boxes []box
	s := &shooter{sheet: f.script.sheet, clips: map[string]*clip{}}
	var walk func(n *node, above style, at matrix)
	walk = func(n *node, above style, at matrix) {
		s.chain = append(s.chain, n)
		look := s.styleOf(n, above)
		if text := n.attributes["transform"]; text != "" {
			m, err := parseTransform(text)
			require.NoError(t, err)
			at = at.times(m)
		}
		if n.name == "text" && n.TextContent != "" {
			b := box{text: n.TextContent}
			for _, c := range s.shape(n, look).contours(at) {
				for _, p := range c.points {
					b.Rectangle = b.Union(image.Rect(int(p.x), int(p.y), int(p.x)+1, int(p.y)+1))
				}
			}
			boxes = append(boxes, b)
		}
		for _, c := range n.children {
			walk(c, look, at)
		}
		s.chain = s.chain[:len(s.chain)-1]
	}
	walk(f.script.root, firstStyle(), scaling(1))
	require.Greater(t, len(boxes), 20, which)
	sheet := image.Rect(0, 0, sheetWidth, sheetHeight).Inset(10)
	for i, b := range boxes {
		assert.True(t, b.In(sheet), "%s: %q at %v reaches over the edge", which, b.text, b.Rectangle)
		for _, o := range boxes[i+1:] {
			assert.False(t, b.Overlaps(o.Rectangle), "%s: %q lies over %q", which, b.text, o.text)
		}
	}
}

// The words of every phase have room, and so has a long title.
func TestWordsHaveRoom(t *testing.T) {
	t.Parallel()
	s := open(t, "stock-ten-inch")
	s.Title = strings.Repeat("Wide car with a name ", 8)
	f := made(t, s, brief)
	text, err := f.show.Frame()
	require.NoError(t, err)
	require.Contains(t, string(text), `"phase":"rest"`)
	for _, phase := range []string{"rest", "applying", "holding", "run-out", "releasing", "no help", "unboosted"} {
		frame := strings.Replace(string(text), `"phase":"rest"`, `"phase":"`+phase+`"`, 1)
		for range 2 {
			require.NoError(t, f.script.show([]byte(frame), 0.1))
		}
		f.assertWordsApart(t, phase)
	}
}

// find returns the first element below n, or n, for which is holds.
func (n *node) find(is func(*node) bool) *node {
	if is(n) {
		return n
	}
	for _, c := range n.children {
		if found := c.find(is); found != nil {
			return found
		}
	}
	return nil
}
