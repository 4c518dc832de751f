package main

import (
	"fmt"
	"io"

	"bladeline/cmd/bladeline/internal/job"
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

What the data do not hold is not called fitted: too few readings, too short a range of
coverage, an offset that cannot be told from none. Nothing is then written. Zeros of
keys that are wrong show as scatter: learn them first, with curve learn --zeros.`,
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
			fitted, err := how.Fit(c.Context())
			if err != nil {
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
	_, err := fmt.Fprintf(w, `film under a fully open key  %.3g um, standard error %.2g
strip of a ductor stroke     %.3g mm, standard error %.2g
fitted from %d readings of %s; they scatter by %.2g %%
a bare zone beside printing ones wants %.2g %% of opening, one of full coverage %.3g %%
wrote %s
`, f.FilmFullUM, f.FilmFullError, f.StripMM, f.StripError, f.Readings, from, f.SpreadPct,
		f.Straight.OffsetPct, f.Straight.OffsetPct+f.Straight.SlopePct, settings.Printable(f.Path))
	return err
}
