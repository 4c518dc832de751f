package main

import (
	"context"
	"fmt"
	"io"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

func newPressFit() *cobra.Command {
	var (
		how job.TrainFitting
		run runFlags
	)
	c := &cobra.Command{
		Use:   "fit PRESS OK.csv...|FOLDER...",
		Short: "Fit a press's roller train to what the press printed",
		Long: `fit finds the two numbers of a roller train that no caliper tells: the film on the
fountain roller under a fully open key, film_full_um, and the strip of it that the
ductor takes at a stroke at the reference sweep, strip_mm. Keys that printed evenly
on forms of different coverage hold them: how far a key must open for a bare zone, and
how much more for a covered one. It writes both into the press's file under
[train.feed], each with its standard error, and what they were fitted from; all else in
the file stays.

OK files are presets as CSV with ok_key, and ok_sweep where it changed, filled in, as
for curve learn. What zones take from each other is reckoned with, so all keys of a
job should have been read. The films that the sheets printed are taken to be those
that the file states of the inks, film_um, else 1 um: the film of a fully open key is
known no better than these. Keys at floor or ceiling count for nothing, nor do those
that a neighbour held. --curve fits to the line of a curve that was learned on this
press instead, which knows nothing of neighbours: give OK files where there are some.

What the data do not hold is not called fitted: fewer than three jobs (inks that were
run) or six readings, too short a range of coverage, an offset or a strip that is not
known to a third of itself. Errors are those between jobs. A train that, as fitted,
prints the very jobs it was fitted to off by more than 10 % contradicts them, and is
refused. Nothing is then written. Zeros of keys that are wrong show as scatter: learn
them first, with curve learn --zeros.`,
		Example: `  bladeline press fit hall.press.toml ok/
  bladeline press fit two-colour a-ok.csv b-ok.csv c-ok.csv -o fitted.press.toml
  bladeline press fit hall.press.toml --curve black.curve.toml --ink Black`,
		Args: from(1, 0, "press"),
		RunE: func(c *cobra.Command, args []string) error {
			how.Press, how.OKFiles, how.Rest = args[0], args[1:], run.rest
			switch {
			case how.Curve == "" && len(how.OKFiles) == 0:
				return usagef("nothing to fit to; name OK files, or a curve with --curve")
			case how.Curve != "" && len(how.OKFiles) > 0:
				return usagef("--curve %s: beside OK files; give one or the other", how.Curve)
			}
			var fitted *job.FittedTrain
			if err := interruptible(c, func(ctx context.Context) (err error) {
				fitted, err = how.Fit(ctx)
				return err
			}); err != nil {
				return err
			}
			for _, err := range fitted.Skipped {
				say(c, "skipped: "+err.Error())
			}
			return writeFitted(c.OutOrStdout(), fitted)
		},
	}
	c.Flags().StringVar(&how.Curve, "curve", "", "fit to the line of this learned `CURVE`, a file, in place of OK files")
	c.Flags().StringVar(&how.Ink, "ink", "", "fit to this `INK` alone")
	c.Flags().StringVarP(&how.Path, "output", "o", "", "write a new press file, `FILE`, with the curves it names beside it, instead of the press's own")
	run.add(c)
	return c
}

// writeFitted says what was fitted, how sure it is, and from what.
func writeFitted(w io.Writer, f *job.FittedTrain) error {
	from := counted(len(f.From), "OK file")
	if f.Curve {
		from = "curve " + settings.Printable(f.From[0])
	}
	scatter := fmt.Sprintf("they scatter by %.2g %%", f.SpreadPct)
	if !f.Curve {
		scatter = fmt.Sprintf("held against its own jobs it prints their films off by %.2g %%", f.SpreadPct)
	}
	_, err := fmt.Fprintf(w, `film under a fully open key  %.3g um, standard error %.2g
strip of a ductor stroke     %.3g mm, standard error %.2g
fitted from %d readings of %s; %s
a bare zone beside printing ones wants %.2g %% of opening, one of full coverage %.3g %%
%swrote %s
`, f.FilmFullUM, f.FilmFullError, f.StripMM, f.StripError, f.Readings, from, scatter,
		f.Straight.OffsetPct, f.Straight.OffsetPct+f.Straight.SlopePct, starving(f.Straight), settings.Printable(f.Path))
	return err
}

// starving is a line that says which zones a key cannot feed at the reference sweep;
// empty where it feeds all.
func starving(s rollers.Straight) string {
	if s.OffsetPct+s.SlopePct <= 100 {
		return ""
	}
	return fmt.Sprintf("a key is fully open at %.0f %% of coverage: zones above it are starved at the reference sweep, and want a longer one\n", 100*(100-s.OffsetPct)/s.SlopePct)
}
