//go:build !js

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"github.com/spf13/cobra"

	"kneepoint/internal/film"
	"kneepoint/internal/report"
	"kneepoint/sim"
)

const filmLong = `See it move.

Makes a moving picture, for a lesson or a video: the booster cut open and its
curves, drawn as "kneepoint serve" draws them, while the scenario's presses and
events happen (run), stop follows stop until no help is left (reserve), or the
pedal is pressed slowly past the knee (curve).

-o out.gif makes one GIF. -o frames/ or -o frames/%04d.png makes a folder of
single pictures for a video editor. What lasts longer than 15 s is speeded up,
and the picture says so.`

// filmFlags are those of film alone.
type filmFlags struct {
	of                         string
	seconds, speed, rate, size number
}

func (c *console) filmCommand() *cobra.Command {
	var f commonFlags
	own := filmFlags{rate: film.UsualRate, size: film.UsualWidth}
	cmd := &cobra.Command{
		Use:                   "film [FILE] -o OUT [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "A moving picture of a run, of stops or of the curve",
		Long:                  filmLong,
		Example: examples(`kneepoint film car.toml -o car.gif`,
			`kneepoint film car.toml --of reserve --seconds 10 -o stops.gif`,
			`kneepoint film car.toml --of curve --fps 30 --width 1920 -o frames/`),
		Args:              oneFile,
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.film(cmd, fileOf(args), &f, &own)
		},
	}
	flags := cmd.Flags()
	flags.SortFlags = false
	flags.StringVarP(&f.output, "output", "o", "", "make `OUT`: a .gif, or a folder for single pictures")
	flags.StringVar(&own.of, "of", string(film.Run), "what to show: `run|reserve|curve`")
	flags.Var(&own.seconds, "seconds", "how long the film is, in `s` (as long as what happens, and at most 15)")
	flags.Var(&own.speed, "speed", "`times` as fast as it happens, such as 4 or 0.5")
	flags.Var(&own.rate, "fps", "pictures a second, a `number`")
	flags.Var(&own.size, "width", "the picture's width in `pixels`; it is 16 wide and 9 high")
	flags.StringVar(&f.units, "units", "us", "print in `us|si` units")
	flags.StringArrayVar(&f.sets, "set", nil, "change one value, `path=value`; can be repeated")
	complete(cmd, "output", endings("gif"))
	complete(cmd, "of", cobra.FixedCompletions(subjects(), cobra.ShellCompDirectiveNoFileComp))
	for _, name := range []string{"seconds", "speed", "fps", "width"} {
		complete(cmd, name, cobra.NoFileCompletions)
	}
	complete(cmd, "units", cobra.FixedCompletions(systems, cobra.ShellCompDirectiveNoFileComp))
	complete(cmd, "set", completeSetting)
	return cmd
}

func subjects() []string {
	var out []string
	for _, s := range film.Subjects() {
		out = append(out, string(s))
	}
	return out
}

// film makes the film. All that is wrong with the input is reported at once, before
// anything is computed.
func (c *console) film(cmd *cobra.Command, file string, f *commonFlags, own *filmFlags) error {
	ctx := cmd.Context()
	s, err := c.open(ctx, file, f)
	target, notThere := targetOf(f.output, file)
	if target.kind == gifStream && isTerminal(c.out) {
		notThere = wrong("-o", `"-", and standard output is a terminal`, "a file that ends in .gif")
	}
	if err := errors.Join(err, notThere, noEmptyFlag(cmd), checkChoice("--units", f.units, systems), own.check(cmd, target)); err != nil {
		return err
	}
	c.warn(s)

	progress := c.watch(cmd.Name())
	defer progress.end()
	options := film.Options{
		Of: film.Subject(own.of), Seconds: float64(own.seconds), Pace: float64(own.speed),
		Rate: float64(own.rate), Width: int(own.size), Units: f.textSystem(), Watch: progress.tell,
	}
	if target.kind != pictures {
		options.Rate = film.GIFRate(options.Rate)
	}
	made, err := film.New(ctx, s, options)
	if err != nil {
		return fmt.Errorf("could not be computed: %w", err)
	}
	if made.Length > film.MostSeconds {
		return wrong("--speed", own.speed.String(), fmt.Sprintf("more, or --seconds with it: the film would last %.0f s, and %.0f s is the most", made.Length, film.MostSeconds))
	}
	if err := c.shoot(ctx, made, target); err != nil {
		return err
	}
	progress.end()
	if target.kind != gifStream {
		c.say("wrote %s: %.1f s, %d pictures of %d × %d, %s", target.path, made.Length, made.Pictures(), made.Size.X, made.Size.Y, made.Pace)
	}
	return nil
}

func (c *console) shoot(ctx context.Context, made *film.Film, to target) error {
	var err error
	if to.kind == pictures {
		err = report.WriteFolder(to.path, film.IsFrame, func(dir string) error {
			return made.WriteFrames(ctx, func(number int, picture []byte) error {
				return os.WriteFile(filepath.Join(dir, fmt.Sprintf(to.pattern, number)), picture, 0o666)
			})
		})
	} else {
		err = c.put(to.path, func(w io.Writer) error { return made.WriteGIF(ctx, w) })
	}
	var stopped *sim.StepError
	if errors.As(err, &stopped) {
		return fmt.Errorf("could not be computed: %w", stopped)
	}
	if to.kind == pictures {
		return unwritten("-o", err)
	}
	return err
}

// check refuses what no film can be.
func (own *filmFlags) check(cmd *cobra.Command, to target) error {
	problems := []error{checkChoice("--of", own.of, subjects())}
	within := func(flag string, v number, least, most float64, what string) {
		if cmd.Flags().Changed(flag) && !(float64(v) >= least && float64(v) <= most) {
			problems = append(problems, wrong("--"+flag, v.String(), fmt.Sprintf("%g to %g %s", least, most, what)))
		}
	}
	within("seconds", own.seconds, film.LeastSeconds, film.MostSeconds, "s")
	within("speed", own.speed, film.LeastPace, film.MostPace, "times")
	fastest, kind := film.MostRate, "pictures a second"
	if to.kind != pictures {
		fastest, kind = film.MostGIFRate, "pictures a second in a GIF"
	}
	within("fps", own.rate, film.LeastRate, fastest, kind)
	within("width", own.size, film.LeastWidth, film.MostWidth, "pixels")
	if own.size != number(int(own.size)) {
		problems = append(problems, wrong("--width", own.size.String(), "a whole number of pixels"))
	}
	return errors.Join(problems...)
}

// number is the value of a flag that says so when it is no number.
type number float64

func (n *number) String() string { return strconv.FormatFloat(float64(*n), 'g', -1, 64) }
func (n *number) Type() string   { return "number" }
func (n *number) Set(text string) error {
	v, err := strconv.ParseFloat(text, 64)
	*n = number(v)
	return err
}
