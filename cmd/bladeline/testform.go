package main

import (
	"context"
	"fmt"
	"io"
	"math"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/press"
	"bladeline/zones/testform"

	"github.com/spf13/cobra"
)

// testFormFlags are the flags of testform alone.
type testFormFlags struct {
	ink, unit, curve, sheet string
	openingPct              float64
	form                    testform.Options
	paperFlags
}

func newTestForm() *cobra.Command {
	var (
		in  inputFlags
		out outputFlags
		how testFormFlags
	)
	c := &cobra.Command{
		Use:   "testform PRESS -o test.tif",
		Short: "Draw a form for a press without history, to learn its first curve from",
		Long: `testform draws a form of one ink, made for the zones of a press, that brings it to
its first curve: run it with all keys alike, read one pulled sheet, and

  bladeline curve learn test.csv --densities densities.csv --press PRESS ...

The zones are covered in steps, from about 5 to 60 % of the length that the press
prints. A step is as many zones wide as it takes for its middle to lie 25 mm or more
from both ends, 3 at least: rollers that oscillate carry ink so far to either side,
and nearer to a step's end its neighbour blurs what is read. Where that leaves fewer
than 5 steps, the fewest that make a curve, they are narrower. Thin lines
across make up the coverage, one every 4 mm, so that ink is taken evenly all along
the sheet. The steps stand in an order that neither slopes from side to side nor
bows in the middle, so that a blade that is open wider at one end, or in the middle,
is not taken for a curve.

In every zone there is a solid strip, 8 mm long, for the densitometer, with the
zone's number and coverage before it. The grippers' margin, and 5 mm at the other
edges, are bare, as is 1 mm between zones. The gripper edge (lead edge) is the foot
of the form.

-o test.tif is a TIFF of 1 bit in Group 4, .png a PNG, .pdf a page as large as the
form that holds the same raster: image it at its own resolution, unscaled, with no
screening and no tone curve. -o test.csv or .json states the pull: the coverage of
each zone, exactly as measure finds it in the file, letters included, and all keys
alike at the reference sweep. PNG states whole pixels a metre, so that with a .png
all files have the nearest such resolution.

The keys are opened as far as the curve in use asks for the middle step, or
--opening. Run until the rollers have settled and the middle steps look right: move
all keys alike, or the sweep, until they do, and write down with ok where they stood.
The steps with little image will be far too dark, the steps with much image far too
light; that is what the form is for. A few hundred sheets do: a step that sets off or
piles up asks for less ink on all keys, not for a longer run. Read the strips in the
middle of each zone.

` + cautions,
		Example: `  bladeline testform hall.press.toml -o test.tif -o test.csv
  bladeline testform two-colour --ink Cyan --sheet 640x450 --gripper 10 --dpi 2400 -o test.pdf -o test.csv`,
		Args: exactly(1, "one press"),
		RunE: func(c *cobra.Command, args []string) error { return testForm(c, args[0], &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.ink, "ink", "Black", "the `INK` that it is printed in")
	flags.StringVar(&how.unit, "unit", "", "`UNIT` of the press that the ink runs in, instead of the one its file names")
	flags.StringVar(&how.curve, "curve", "", "`CURVE` that says how far to open the keys: a file, or the name of one that ships, instead of the press's own")
	decimalVar(flags, &how.openingPct, "opening", 0, "open all keys to `PCT` of travel, instead of by the curve")
	flags.StringVar(&how.sheet, "sheet", "", "the sheet is `WxL` mm large, W across the press; the default is the fountain's width and the print length")
	decimalVar(flags, &how.form.GripperMM, "gripper", testform.DefaultGripperMM, "leave `MM` bare at the gripper edge (lead edge)")
	decimalVar(flags, &how.form.DPI, "dpi", 600, "resolution of the raster, `N` pixels an inch")
	how.paperFlags.add(c)
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 if there are warnings")
	out.add(c, ".tif, .pdf or .png the form; .csv or .json the pull")
	return c
}

func testForm(c *cobra.Command, called string, in *inputFlags, out *outputFlags, how *testFormFlags) error {
	t, err := how.ticket(c, called, out)
	if err != nil {
		return err
	}
	var f *job.TestForm
	err = interruptible(c, func(ctx context.Context) error {
		f, err = t.TestForm(ctx)
		return err
	})
	if err != nil {
		return flagged(err, map[string][]string{job.OfUnit: {how.unit}})
	}
	if err := out.print(c, map[string]format{
		"table": func(w io.Writer) error { return writeTestForm(w, f) },
		"csv":   f.Pull.WriteCSV,
		"json":  f.Pull.WriteJSON,
	}); err != nil {
		return err
	}
	return in.warn(c, f.Pull.Warnings)
}

// ticket is what the flags ask for.
func (how *testFormFlags) ticket(c *cobra.Command, called string, out *outputFlags) (t job.TestFormTicket, err error) {
	t = job.TestFormTicket{Press: called, Ink: how.ink, Unit: how.unit, Curve: how.curve, Form: how.form}
	if err := out.check(job.TestFormFormats, []string{called}); err != nil {
		return t, err
	}
	switch changed := c.Flags().Changed; {
	case !settings.IsName(how.ink) || tooLong(how.ink):
		return t, usagef("--ink %s: not the name of an ink; give one on a single line", settings.Quoted(how.ink))
	case changed("opening") && !(how.openingPct > 0 && how.openingPct <= 100):
		return t, usagef("--opening %s: not an opening; give a number above 0, up to 100 %% of travel", settings.Plain(how.openingPct))
	case changed("opening"):
		t.OpeningPct = &how.openingPct
	}
	if how.sheet != "" {
		if t.Form.WidthMM, t.Form.LengthMM, err = sizeOf("--sheet", how.sheet); err != nil {
			return t, err
		}
	}
	if t.Run, err = how.run(c); err != nil {
		return t, err
	}
	t.Outputs = out.presets()
	return t, nil
}

// writeTestForm says what was drawn, and what each zone is covered with.
func writeTestForm(w io.Writer, f *job.TestForm) error {
	u := &f.Pull.Units[0]
	fmt.Fprintf(w, "press  %s: zone 1 at the %s of a pulled sheet, gripper edge (lead edge) nearest you\n", settings.Printable(f.Press.Name), f.Press.Fountain.FirstZone)
	fmt.Fprintf(w, "form   %s x %s mm at %s dpi; plate and sheet must be as large; %s mm at the gripper edge are bare\n",
		settings.Plain(f.WidthMM), settings.Plain(f.LengthMM), settings.Plain(hundredths(f.DPI)), settings.Plain(f.GripperMM))
	fmt.Fprintf(w, "steps  %s\n", stepWords(f.Form))
	fmt.Fprintf(w, "run    %s: all keys alike, sweep %s%s\n\n", settings.Printable(u.Ink+inUnit(u)), settings.Printable(press.Amount(u.Sweep, f.Pull.Press.SweepUnit)), openedBy(f))
	t := &table{align: "rrrrrl"}
	t.row("zone", "mm", "step", "coverage %", "key "+string(f.Press.Keys.Unit), "")
	for i, z := range f.Zones {
		step, note := "-", ""
		switch {
		case z.Step > 0:
			step = fmt.Sprint(z.Step)
		case z.OffSheet:
			note = "off the sheet"
		default:
			note = "bare: not wholly on the sheet"
		}
		t.row(fmt.Sprint(z.Number), fixed(1, z.LeftMM)+"-"+fixed(1, z.RightMM), step, fixed(3, z.CoveragePct), u.Keys[i].KeyText, note)
	}
	return t.write(w)
}

// stepWords say how wide the steps are, and whether that is wide enough.
func stepWords(f *testform.Form) string {
	wide := float64(f.PerStep) * f.Press.Fountain.ZoneWidthMM
	text := fmt.Sprintf("%d, each %s or more wide, %s mm: ", len(f.Steps), counted(f.PerStep, "zone"), settings.Plain(hundredths(wide)))
	if wide/2 >= testform.BlurMM && f.PerStep >= testform.LeastZones {
		return text + fmt.Sprintf("rollers carry ink some %g mm to either side, and the middle of a step is beyond that", testform.BlurMM)
	}
	return text + fmt.Sprintf("rollers carry ink some %g mm to either side, so that neighbours blur each other; the fountain has no room for wider ones", testform.BlurMM)
}

func openedBy(f *job.TestForm) string {
	if f.Curve == nil {
		return ", opened as you say"
	}
	return settings.Printable(fmt.Sprintf(", opened as %s asks for %g %%", f.Curve.Name, f.AtPct))
}

func hundredths(v float64) float64 { return math.Round(v*100) / 100 }
