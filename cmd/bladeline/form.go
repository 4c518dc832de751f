package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

func newForm() *cobra.Command {
	c := &cobra.Command{
		Use:   "form",
		Short: "Lay several pieces on one sheet: pages side by side, cards ten up, front and back",
		Long: `A form file lays several pieces on one sheet, each with its separations, its place,
turn, crop, resolution and repeats. measure, preset, estimate and serve take it
wherever they take separations: its name ends in .form.toml. Zones, keys, warnings,
pictures and saved coverage are then those of the whole form, and every raster is
read once, however often it stands there.

Places are those of the printed sheet in bench view: face up, gripper edge (lead edge)
nearest you. x_mm counts from the sheet's left edge, y_mm from its gripper edge, to
the corner of the piece that is nearest both. turn is clockwise as you look at the
sheet. The sheet's middle lies on the fountain's; --lead-edge, --mirrored and --shift
turn and move the whole of it.

Work-and-turn and work-and-tumble print front and back from one plate. form new
--turn lays them side by side, each the same distance from the middle, so that they
back each other when the pile is turned left to right and the gripper edge stays.
--tumble lays the back behind the front, heads together, so that they back each
other when the pile is tumbled, tail edge to grippers; both edges then need a gripper
margin. Either way one preset serves both sides. Two up of front and back without
turning over is form new without either. Where the back has plates of its own
(sheetwise), give it a form file of its own, as it lies when it is printed, and
preset it by itself.`,
	}
	c.AddCommand(newFormNew(), newFormShow(), newFormCheck())
	return c
}

func newFormNew() *cobra.Command {
	var (
		in           inputFlags
		out, size    string
		turn, tumble bool
		gap, gripper float64
	)
	c := &cobra.Command{
		Use:   "new FILE... -o FILE.form.toml",
		Short: "Start a form file from the separations at hand",
		Long: `new measures separations for their sizes and writes a form file to edit. Files that
are one job to preset --out are one piece: page1_C.tif, page1_K.tif and page1_Gold.tif,
or page1/C.tif and page1/K.tif. Pieces stand side by side behind a gripper margin, in
the middle of the sheet.

--turn and --tumble lay a front and a back for work-and-turn and work-and-tumble;
bladeline form --help says how.`,
		Example: `  bladeline form new page1_*.tif page2_*.tif --size 660x480 -o pages.form.toml
  bladeline form new front_*.tif back_*.tif --turn -o leaflet.form.toml`,
		Args: files,
		RunE: matched(func(c *cobra.Command, args []string) error {
			n := job.NewForm{Path: out, GapMM: gap, GripperMM: gripper}
			switch {
			case out == "":
				return usagef("-o is missing; name the form file to write, which ends in %s", zones.FormEnding)
			case turn && tumble:
				return usagef("--turn and --tumble: a sheet is turned over one way; leave one out")
			case !(gap >= 0 && gap <= coverage.MaxSheetMM):
				return usagef("--gap %s: not a distance; give mm", settings.Plain(gap))
			case !(gripper >= 0 && gripper <= coverage.MaxSheetMM):
				return usagef("--gripper %s: not a margin; give mm", settings.Plain(gripper))
			case turn:
				n.Over = job.Turn
			case tumble:
				n.Over = job.Tumble
			}
			var err error
			if size != "" {
				if n.WidthMM, n.LengthMM, err = sizeOf("--size", size); err != nil {
					return err
				}
			}
			if n.DPIX, n.DPIY, err = parseDPIs(in.dpi); err != nil {
				return err
			}
			reading, err := in.reading(args)
			if err != nil {
				return err
			}
			var leftOut []string
			err = watched(c, "reading", reading, func(ctx context.Context, r job.Reading) (err error) {
				n.Reading = r
				n.Separating = &job.Separating{DPIX: n.DPIX, DPIY: n.DPIY}
				if slices.ContainsFunc(r.Inputs, func(in coverage.Input) bool { return ghostscript.IsJob(in.Path) }) {
					n.DPIX, n.DPIY = 0, 0 // they are made at it
				}
				leftOut, err = n.Write(ctx)
				return err
			})
			if err != nil {
				return err
			}
			for _, path := range leftOut {
				say(c, path+": is left out, as the composite of others by its name")
			}
			return wrote(c, out)
		}),
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write, whose name ends in .form.toml")
	c.Flags().StringVar(&size, "size", "", "of the sheet, `WxL` in mm: across, and from the gripper edge (lead edge); the default is what the pieces take")
	decimalVar(c.Flags(), &gap, "gap", 0, "leave `MM` between pieces")
	decimalVar(c.Flags(), &gripper, "gripper", 10, "leave `MM` bare at the gripper edge (lead edge)")
	c.Flags().BoolVar(&turn, "turn", false, "work-and-turn: front and back side by side")
	c.Flags().BoolVar(&tumble, "tumble", false, "work-and-tumble: front and back behind each other, heads together")
	c.Flags().StringVar(&in.dpi, "dpi", "", "resolution of the rasters, `N` or XxY, instead of the one they state")
	in.inkIs = "dark"
	return c
}

// lookFlags are those of commands that look at a form.
type lookFlags struct {
	in     inputFlags
	called string
}

func (f *lookFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.called, "press", "", "lay the form on this `PRESS`: a file, or a name that press list shows")
	c.Flags().StringVar(&f.in.inkIs, "ink-is", "dark", "which `SHADE` of the rasters is ink: dark or light")
}

// look reads the form, and the press where one is named.
func (f *lookFlags) look(c *cobra.Command, path string) (l *job.LookedAt, on *press.Press, err error) {
	if !zones.IsForm(path) {
		return nil, nil, fmt.Errorf("%s: not a form file, whose name ends in %s; name one, or start one with bladeline form new", path, zones.FormEnding)
	}
	if _, err := f.in.placement(); f.in.inkIs != "dark" && f.in.inkIs != "light" {
		return nil, nil, err
	}
	if c.Flags().Changed("press") {
		if on, _, err = job.LoadPress(f.called); err != nil {
			return nil, nil, err
		}
	}
	err = watched(c, "reading", job.Reading{InkIsLight: f.in.inkIs == "light", Separating: &job.Separating{}}, func(ctx context.Context, r job.Reading) error {
		l, err = r.Look(ctx, path)
		return err
	})
	return l, on, err
}

func newFormShow() *cobra.Command {
	var (
		look lookFlags
		out  []string
		size string
	)
	c := &cobra.Command{
		Use:   "show FILE.form.toml",
		Short: "Show a form in words and, with -o, as a picture",
		Long: `show prints where each piece of a form stands and, with --press, which zones it
lies over. -o draws the form, with the pieces' numbers and the press's zones.`,
		Example: `  bladeline form show pages.form.toml --press two-colour -o pages.pdf`,
		Args:    exactly(1, "one form file"),
		RunE: func(c *cobra.Command, args []string) error {
			o := outputFlags{files: out}
			if err := o.check([]string{"pdf", "svg", "png"}, allPaths(args)); err != nil {
				return err
			}
			if err := checkPageSize(size); err != nil {
				return err
			}
			l, on, err := look.look(c, args[0])
			if err != nil {
				return err
			}
			forms, err := l.Lay(on)
			if err != nil {
				return err
			}
			page, err := sheet.FormPage(forms, sheet.FormOptions{PageSize: sheet.PageSize(size), Press: on, Title: args[0]})
			if err != nil {
				return err
			}
			return o.write(c, map[string]format{
				"table": func(w io.Writer) error { return writeForm(w, l, forms, on) },
				"pdf":   func(w io.Writer) error { return sheet.WritePDF(w, []*sheet.Page{page}) },
				"svg":   func(w io.Writer) error { return sheet.WriteSVG(w, page) },
				"png":   func(w io.Writer) error { return sheet.WritePNG(w, page, 150) },
			})
		},
	}
	look.add(c)
	c.Flags().StringArrayVarP(&out, "output", "o", nil, "draw to `FILE`, as its ending says: .pdf, .svg or .png; may be repeated")
	c.Flags().StringVar(&size, "page-size", string(sheet.A4), "`SIZE` of the picture's page: a4 or letter")
	return c
}

// writeForm says where the pieces of a form stand.
func writeForm(w io.Writer, l *job.LookedAt, forms []*zones.Form, on *press.Press) error {
	fmt.Fprintf(w, "sheet %s x %s mm, face up, gripper edge (lead edge) nearest you\n", settings.Plain(l.WidthMM), settings.Plain(l.LengthMM))
	t := &table{align: "rrrllll"}
	headings := []string{"piece", "x mm", "y mm", "mm", "turn", "copies", "inks"}
	if on != nil {
		t.align += "l"
		headings = append(headings, "zones")
	}
	t.row(headings...)
	for _, p := range l.Pieces {
		turn := fmt.Sprint(p.Turn)
		if p.Mirrored {
			turn += " mirrored"
		}
		cells := []string{
			fmt.Sprint(p.Number), fixed(1, p.XMM), fixed(1, p.YMM), fixed(1, p.WidthMM) + " x " + fixed(1, p.LengthMM),
			turn, fmt.Sprintf("%d x %d", p.Across, p.Along), strings.Join(p.Inks, ", "),
		}
		if on != nil {
			cells = append(cells, runs(p.Zones))
		}
		t.row(cells...)
	}
	if err := t.write(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	inks := &table{align: "lr"}
	inks.row("ink", "coverage %")
	for _, f := range forms {
		inks.row(f.Ink(), fixed(2, f.CoveragePct()))
	}
	return inks.write(w)
}

// runs are numbers in order, those that follow each other taken together.
func runs(numbers []int) string {
	var parts []string
	for from := 0; from < len(numbers); {
		to := from
		for to+1 < len(numbers) && numbers[to+1] == numbers[to]+1 {
			to++
		}
		if to == from {
			parts = append(parts, fmt.Sprint(numbers[from]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", numbers[from], numbers[to]))
		}
		from = to + 1
	}
	return strings.Join(parts, ", ")
}

func newFormCheck() *cobra.Command {
	var (
		look   lookFlags
		strict bool
	)
	c := &cobra.Command{
		Use:   "check FILE.form.toml",
		Short: "Check a form: what overlaps, stands beyond the sheet or fountain, or is missing",
		Long: `check reads a form and prints one line for each thing that it finds, in every ink:

  refused  pieces over each other that are not said to overprint, ink beyond the
           sheet and, with --press, beyond the fountain: such a form is not preset
  warning  blank parts beyond the sheet or fountain, inks that a piece lacks and
           others have, rasters that may be inverted
  note     rasters measured at different resolutions, or of different sizes

The exit status is 3 where anything is refused, and under --strict where there are
warnings.`,
		Example: `  bladeline form check pages.form.toml --press two-colour`,
		Args:    exactly(1, "one form file"),
		RunE: func(c *cobra.Command, args []string) error {
			l, on, err := look.look(c, args[0])
			if err != nil {
				return err
			}
			return writeFindings(c, args[0], l, l.Check(on), strict)
		},
	}
	look.add(c)
	c.Flags().BoolVar(&strict, "strict", false, "exit with status 3 if there are warnings")
	return c
}

// writeFindings prints what a check found, worst first, and ends the command so.
func writeFindings(c *cobra.Command, path string, l *job.LookedAt, found []job.Finding, strict bool) error {
	var refused, doubted, noted []string
	for _, f := range found {
		switch {
		case f.Refused:
			refused = append(refused, "refused  "+cures.Cured(f.Err).Error())
		case f.Warning != nil:
			w := []zones.Warning{*f.Warning}
			cureWarnings(w)
			doubted = append(doubted, fmt.Sprintf("warning  ink %s: %s", w[0].Ink, w[0].Text))
		default:
			noted = append(noted, "note     "+f.Note)
		}
	}
	w := c.OutOrStdout()
	for _, line := range slices.Concat(refused, doubted, noted) {
		fmt.Fprintln(w, settings.Printable(line))
	}
	if len(refused)+len(doubted) == 0 {
		fmt.Fprintf(w, "%s: nothing wrong with it: pieces %d, inks %d\n", settings.Printable(path), len(l.Pieces), len(l.Maps))
	}
	if len(refused) > 0 || strict && len(doubted) > 0 {
		return errWarnings
	}
	return nil
}
