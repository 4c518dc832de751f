package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// presetFlags are the flags of preset alone.
type presetFlags struct {
	press  string
	curves []string
	sweeps []string
	job    string
	paper  string

	takeOffPct float64
	copies     int
}

func newPreset() *cobra.Command {
	var (
		in  inputFlags
		out outputFlags
		how presetFlags
	)
	c := &cobra.Command{
		Use:   "preset [INK=]FILE... --press PRESS",
		Short: "Work out the keys and the sweep of every unit for a form",
		Long: `preset measures the separations in the zones of a press and says where to set
each key and how far to sweep.

A zone's coverage becomes the key's opening by a curve, at the curve's own
sweep; a longer sweep needs smaller openings in proportion. Openings are then
held between the press's floor and ceiling, and within its limit between
neighbours where the blade is one piece. Each key says what held it:

  set        nothing, it stands where the curve asks
  floor      the least opening the press allows
  ceiling    the greatest opening the press allows
  neighbour  the blade is one piece, and a neighbour pulls this key open
  off-sheet  there is no form over this zone

--sweep auto takes, of the press's own settings, the one whose keys come
closest to what the curve asks, and of equals the one whose highest key stands
nearest 80 % of its travel. The result says what was weighed.

preset also looks at the form, and warns of what no key will cure. A warning
names the ink, the zones, a figure, and what one could do; --strict makes it the
exit status 3. One word in the JSON says of what it warns:

  low      zones that are covered less than --take-off; with how long a solid bar
           is to be, in the print direction, that brings them there
  high     zones that are covered more than 90 %
  ceiling  keys that the ceiling holds, and the sweep that frees them
  floor    keys that the floor holds, and the sweep that frees them
  steep    keys that neighbours on a one-piece blade hold open
  uneven   zones where one tenth of the length takes the ink: covered at least
           50 %, and at least 3 times as much as the zone; a take-off bar is
           such a band itself, and does no harm
  outside  ink beyond the length that the press prints
  empty    a separation without ink
  polarity a separation that looks as if ink and paper were exchanged

A zone prints that is covered 0.2 % or more; below that stand trim and register
marks, and only zones that print are warned of.

` + cautions,
		Example: `  bladeline preset --press two-colour job_*.tif
  bladeline preset --press my.press.toml --curve Black=dense --sweep 45 -o job.csv -o job.json job.cover`,
		Args: files,
		RunE: func(c *cobra.Command, args []string) error { return preset(c, args, &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS`: a file, or a name that press list shows")
	flags.StringArrayVar(&how.curves, "curve", nil, "`[INK=]CURVE`: a file, or the name of one that ships, instead of the press's own; may be repeated")
	flags.StringArrayVar(&how.sweeps, "sweep", nil, "`[INK=]SWEEP`: auto, or a setting of the press's own scale; may be repeated (default auto)")
	flags.StringVar(&how.job, "job", "", "`NAME` of the job; the default is what the files' names begin with")
	flags.Float64Var(&how.takeOffPct, "take-off", zones.LowPct, "warn of printing zones that are covered less than `PCT`, and say what bar brings them there; 0 never warns")
	flags.IntVar(&how.copies, "copies", 0, "write on the key sheet how much ink `N` sheets take, as estimate reckons it")
	flags.StringVar(&how.paper, "paper", string(sheet.A4), "`SIZE` of the key sheet's paper: a4 or letter")
	in.add(c)
	out.add(c, ".csv, .json, or .pdf or .svg for the key sheet")
	return c
}

func preset(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *presetFlags) error {
	if how.press == "" {
		return usagef("--press is missing; name a press file, or one of these: %s", strings.Join(shipped(pressEnding), ", "))
	}
	placement, err := in.placement()
	if err != nil {
		return err
	}
	if err := out.check([]string{"csv", "json", "pdf", "svg"}, paths(args)); err != nil {
		return err
	}
	if err := checkPaper(how.paper); err != nil {
		return err
	}
	if !(how.takeOffPct >= 0 && how.takeOffPct <= 100) {
		return usagef("--take-off %s: is no coverage; say 0 to 100 %%", curves.Plain(how.takeOffPct))
	}
	if err := checkSheetCopies(how.copies); err != nil {
		return err
	}
	p, drawn, err := newPresetOf(c, args, in, how, placement)
	if err != nil {
		return err
	}
	cureWarnings(p.Warnings)
	if err := out.addSheets(p, drawn); err != nil {
		return err
	}
	forms := map[string]form{
		"table": func(w io.Writer) error { return writePreset(w, p) },
		"csv":   p.WriteCSV,
		"json":  p.WriteJSON,
	}
	if err := out.write(c, forms); err != nil {
		return err
	}
	return in.warn(c, p.Warnings)
}

// addSheets adds the key sheet to the results, where it is asked for.
func (f *outputFlags) addSheets(p *zones.Preset, o sheet.Options) error {
	if !slices.ContainsFunc(f.files, func(path string) bool { return formOf(path) == "pdf" || formOf(path) == "svg" }) {
		return nil
	}
	pages, err := sheet.Pages(p, o)
	if err != nil {
		return err
	}
	files := func(path string) []outputFile { return sheetFiles(path, p, pages) }
	f.several = map[string]func(string) []outputFile{"pdf": files, "svg": files}
	return nil
}

// newPresetOf is the preset, and what its key sheet needs beside it.
func newPresetOf(c *cobra.Command, args []string, in *inputFlags, how *presetFlags, placement zones.Placement) (*zones.Preset, sheet.Options, error) {
	drawn := sheet.Options{Paper: sheet.Paper(how.paper), Plates: map[string]sheet.Plate{}}
	press, file, err := loadPress(how.press)
	if err != nil {
		return nil, drawn, err
	}
	maps, err := in.read(c, args)
	if err != nil {
		return nil, drawn, err
	}
	if err := zones.Distinct(maps); err != nil {
		return nil, drawn, err
	}
	byInk, err := perInk("--curve", how.curves, inksOf(maps))
	if err != nil {
		return nil, drawn, err
	}
	sweeps, err := perInk("--sweep", how.sweeps, inksOf(maps))
	if err != nil {
		return nil, drawn, err
	}
	var wanted []zones.Wanted
	for _, m := range maps {
		w := zones.Wanted{Map: m}
		if w.Curve, err = curveOf(m.Ink, byInk, press, file); err != nil {
			return nil, drawn, err
		}
		if w.Sweep, err = sweepOf(m.Ink, sweeps); err != nil {
			return nil, drawn, err
		}
		wanted = append(wanted, w)
		drawn.Plates[m.Ink] = sheet.Plate{Map: m, Placement: placement}
	}
	job := how.job
	if job == "" {
		job = coverage.JobName(maps)
	}
	p, err := zones.PresetForm(job, press, placement, wanted, how.takeOffPct)
	if err != nil {
		return nil, drawn, err
	}
	drawn.Inks, err = inkLines(p, job, press, how.copies)
	return p, drawn, err
}

// everyInk is the name under which perInk keeps what holds for all others.
const everyInk = ""

// perInk reads the values of a flag that may begin with INK=.
func perInk(flag string, values, inks []string) (map[string]string, error) {
	byInk := map[string]string{}
	for _, v := range values {
		ink := everyInk
		given := v
		if before, after, named := cutName(v); named {
			at := slices.IndexFunc(inks, func(ink string) bool { return strings.EqualFold(ink, before) })
			if at < 0 {
				return nil, usagef("%s %s: no separation is of the ink %q; there are %s", flag, v, before, strings.Join(inks, ", "))
			}
			ink, v = inks[at], after
		}
		if v == "" {
			return nil, usagef("%s %s: says nothing behind the ink; add a value or leave the flag out", flag, given)
		}
		if _, twice := byInk[ink]; twice {
			return nil, usagef("%s %s: another is given for the same ink; leave one out", flag, given)
		}
		byInk[ink] = v
	}
	return byInk, nil
}

func inksOf(maps []*coverage.Map) []string {
	var inks []string
	for _, m := range maps {
		inks = append(inks, m.Ink)
	}
	return inks
}

func forInk(ink string, byInk map[string]string) string {
	if v, ok := byInk[ink]; ok {
		return v
	}
	return byInk[everyInk]
}

// curveOf finds an ink's curve: from the command line, else from the press.
func curveOf(ink string, byInk map[string]string, press *zones.Press, file settingsFile) (*curves.Curve, error) {
	curve, err := curveFile(ink, forInk(ink, byInk), press, file)
	if err != nil {
		return nil, err
	}
	return curve.curveFor(press)
}

// curveFor is the file's curve, which the press must be able to use.
func (s settingsFile) curveFor(press *zones.Press) (*curves.Curve, error) {
	c, err := curves.ParseCurve(s.name, s.data)
	if err != nil {
		return nil, err
	}
	return c, curves.InFile(press.Sweep.Takes(c), s.name, "")
}

// curveFile is the file of the curve that is called for, else of the press's.
func curveFile(ink, called string, press *zones.Press, file settingsFile) (settingsFile, error) {
	if called != "" {
		return load(called, curveEnding, "curve")
	}
	name := press.CurveFile(ink)
	if name == "" {
		return settingsFile{}, fmt.Errorf("%s: names no curve for %s; add one under [curves], or say --curve", file.name, ink)
	}
	return file.beside(name)
}

// sweepOf reads an ink's sweep; nil is auto.
func sweepOf(ink string, byInk map[string]string) (*float64, error) {
	text := forInk(ink, byInk)
	if text == "" || text == "auto" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil, usagef("--sweep %s: is neither auto nor a number; say one of the press's own settings", text)
	}
	return &v, nil
}

// writePreset prints a table a unit.
func writePreset(w io.Writer, p *zones.Preset) error {
	fmt.Fprintf(w, "job    %s\npress  %s: %d zones of %s mm, zone 1 at the %s of a pulled sheet, lead edge nearest you\n",
		oneLine(p.Job), oneLine(p.Press.Name), p.Press.Zones, orUnknown(2, p.Press.ZoneWidthMM), *p.Press.FirstZone)
	for _, u := range p.Units {
		fmt.Fprintf(w, "\n%s: %.2f %% covered, sweep %s, curve %s\n%s\n",
			oneLine(u.Ink), *u.CoveragePct, oneLine(zones.Amount(u.Sweep, p.Press.SweepUnit)), oneLine(*u.Curve), oneLine(*u.SweepReason))
		t := &table{align: "rrrrrl"}
		t.row("zone", "mm", "coverage %", "opening %", "key "+string(p.Press.KeyUnit), "held by")
		for _, k := range u.Keys {
			t.row(fmt.Sprint(k.Zone), orUnknown(1, k.LeftMM)+"-"+orUnknown(1, k.RightMM),
				decimal(2, k.CoveragePct), decimal(1, k.OpeningPct), k.KeyText, heldBy(k.State))
		}
		if err := t.write(w); err != nil {
			return err
		}
	}
	return nil
}

// heldBy leaves the common case blank, so that the others are seen.
func heldBy(s curves.State) string {
	if s == curves.Set {
		return ""
	}
	return string(s)
}
