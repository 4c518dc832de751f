package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newPress() *cobra.Command {
	c := &cobra.Command{
		Use:   "press",
		Short: "List, show and start press descriptions; chart rollers, and fit them to what was printed",
	}
	c.AddCommand(newPressList(), newPressShow(), newPressNew(), newPressRollers(), newPressFit())
	return c
}

func newPressList() *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "List the presses that ship with bladeline",
		Args:  noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			t := &table{align: "llrrlr"}
			t.row("name", "press", "zones", "mm each", "key scale", "units")
			for _, name := range job.Shipped(job.PressKind) {
				p, _, err := job.LoadPress(name)
				if err != nil {
					return err
				}
				t.row(name, p.Name, fmt.Sprint(p.Fountain.Zones), fixed(2, p.Fountain.ZoneWidthMM), string(p.Keys.Unit), unitCount(p))
			}
			return t.write(c.OutOrStdout())
		},
	}
}

func newPressShow() *cobra.Command {
	var raw bool
	c := &cobra.Command{
		Use:     "show PRESS",
		Short:   "Show a press in words, or its file",
		Long:    "show describes a press in words. PRESS is a file, or a name that press list shows.",
		Example: "  bladeline press show duplicator",
		Args:    exactly(1, "one press"),
		RunE: func(c *cobra.Command, args []string) error {
			p, file, err := job.LoadPress(args[0])
			if err != nil {
				return err
			}
			if raw {
				_, err = c.OutOrStdout().Write(file.Data)
				return err
			}
			if err := writePress(c.OutOrStdout(), p, ownSweeps(p, file)); err != nil {
				return err
			}
			if doubt := p.Fountain.Doubt(); doubt != "" {
				fmt.Fprintf(c.ErrOrStderr(), "bladeline: warning: %s\n", doubt)
			}
			for _, err := range job.UnusableCurves(p, file) {
				fmt.Fprintf(c.ErrOrStderr(), "bladeline: warning: %s\n", settings.Printable(err.Error()))
			}
			return nil
		},
	}
	c.Flags().BoolVar(&raw, "file", false, "print the press's file as it is")
	return c
}

// writePress describes a press; own are the curves that hold at sweeps of their own.
func writePress(w io.Writer, p *press.Press, own []string) error {
	t := &table{align: "ll"}
	f, k, s := p.Fountain, p.Keys, p.Sweep
	t.row("press", p.Name)
	t.row("fountain", fmt.Sprintf("%d zones of %g mm, %s mm in all; zone 1 at the %s of a pulled sheet, gripper edge (lead edge) nearest you",
		f.Zones, f.ZoneWidthMM, settings.Number(f.WidthMM()), f.FirstZone))
	blade := "segmented: every key moves a piece of its own"
	if f.Blade == press.OnePiece {
		blade = fmt.Sprintf("one piece: neighbouring keys differ by at most %g %% of travel", p.Limits.NeighbourPct)
	}
	t.row("blade", blade)
	length := "the form's own"
	if p.PrintLengthMM > 0 {
		length = fmt.Sprintf("%g mm", p.PrintLengthMM)
	}
	t.row("print length", length)
	t.row("keys", k.Words())
	if len(k.Zero) > 0 {
		t.row("shut at", zeroWords(k))
	}
	t.row("limits", fmt.Sprintf("%g to %g %% of travel; %g %% off the sheet", p.Limits.FloorPct, p.Limits.CeilingPct, p.Limits.OffSheetPct))
	from, to := s.Working()
	t.row("sweep", fmt.Sprintf("%g to %g %s in steps of %g, worked from %g to %g; auto begins at %g, where curves that name no sweep hold",
		s.From, s.To, sweepUnitWords(s.Unit), s.Step, from, to, s.Reference))
	for _, u := range p.Units {
		t.row("unit "+u.Name, unitWords(p, u))
	}
	t.row("curves", curveWords(p.DefaultCurve, p.Curves))
	for _, curve := range own {
		t.row("", curve)
	}
	for _, paper := range p.Papers() {
		t.row("  on "+paper, curveWords(p.ByPaper[paper].Default, p.ByPaper[paper].Own))
	}
	t.row("rollers", trainWords(p.Train))
	return t.write(w)
}

// trainWords say what roller train a press has, or what it takes to describe one.
func trainWords(t *rollers.Train) string {
	if t == nil {
		return "no train described, so there is no chart of its rollers: write one under [train], as press show --file two-colour has it"
	}
	count := map[rollers.Kind]int{}
	for _, r := range t.Rollers {
		count[r.Kind]++
	}
	var words []string
	for _, kind := range []struct {
		of   rollers.Kind
		word string
	}{{rollers.FormRoller, "form roller"}, {rollers.Oscillator, "oscillator"}, {rollers.Distributor, "distributor"}, {rollers.Rider, "rider"}} {
		if n := count[kind.of]; n > 0 {
			words = append(words, counted(n, kind.word))
		}
	}
	from := "its feed is not fitted to this press"
	if len(t.Feed.FittedFrom) > 0 {
		from = "its feed is fitted from " + strings.Join(t.Feed.FittedFrom, ", ")
	}
	return fmt.Sprintf("%d and a ductor: %s; plate %s mm; %s", len(t.Rollers), strings.Join(words, ", "), settings.Plain(t.PlateMM), from)
}

// unitCount is how many units a press's file names; where it names none, the press is
// preset as one.
func unitCount(p *press.Press) string { return fmt.Sprint(max(1, len(p.Units))) }

// unitWords say which inks run in a unit, and what differs there from the press.
func unitWords(p *press.Press, u press.Unit) string {
	words := []string{"inks as they come"}
	if len(u.Inks) > 0 {
		words[0] = strings.Join(u.Inks, ", then ")
	}
	if len(u.Zero) > 0 {
		words = append(words, "zeros "+zeroWords(p.InUnit(u.Name).Keys))
	}
	if s := u.Sweep; s != p.Sweep {
		words = append(words, fmt.Sprintf("sweep %g to %g %s in steps of %g, curves hold at %g", s.From, s.To, sweepUnitWords(s.Unit), s.Step, s.Reference))
	}
	return strings.Join(words, "; ")
}

// ownSweeps say which of a press's curves, as far as they can be read, hold at
// another sweep than its reference: changing that does not change them.
func ownSweeps(p *press.Press, file job.Settings) []string {
	var own []string
	for _, name := range p.CurveFileNames() {
		read, err := file.Beside(name)
		if err != nil {
			continue
		}
		curve, err := read.CurveFor(p)
		if err != nil || p.ReferenceSweep(curve) == p.Sweep.Reference {
			continue
		}
		own = append(own, fmt.Sprintf("%s holds at a sweep of its own, %s, not at the press's %g; its reference_sweep says so",
			name, press.Amount(curve.ReferenceSweep, p.Sweep.Unit), p.Sweep.Reference))
	}
	return own
}

// zeroWords are what the keys show when closed, from zone 1.
func zeroWords(k press.KeyScale) string {
	var words []string
	for _, z := range k.Zero {
		words = append(words, k.Text(z))
	}
	return strings.Join(words, ", ")
}

func sweepUnitWords(unit string) string {
	if unit == string(press.Notch) {
		return "notches"
	}
	return unit
}

func curveWords(common string, own map[string]string) string {
	words := []string{}
	if common != "" {
		words = append(words, common)
	}
	for _, ink := range slices.Sorted(maps.Keys(own)) {
		words = append(words, ink+": "+own[ink])
	}
	if len(words) == 0 {
		return "none named"
	}
	return strings.Join(words, ", ")
}
