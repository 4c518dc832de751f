package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// presetFlags are the flags of preset alone.
type presetFlags struct {
	press  string
	curves []string
	sweeps []string
	units  []string
	by     string
	tables []string
	out    string
	as     string
	names  []string
	job    string
	size   string
	paperFlags
	chargeFlag

	takeOff string
	copies  int
}

func newPreset() *cobra.Command {
	var (
		in  inputFlags
		out outputFlags
		how presetFlags
	)
	c := &cobra.Command{
		Use:   "preset [INK=]FILE...|FOLDER... --press PRESS",
		Short: "Work out the keys and the sweep of every unit for a form",
		Long: `preset measures the separations in the zones of a press and says where to set
each key and how far to sweep.

A PDF or PostScript file is separated first, through Ghostscript, unscreened, at
--dpi (600 where none is given); bladeline separate --help says how.

A zone's coverage becomes the key's opening by a curve, at the curve's own
sweep; a longer sweep needs proportionally smaller openings. Openings are then
held between the press's floor and ceiling, and within its limit between
neighbours where the blade is one piece. Each key says what held it:

  set        nothing, it stands where the curve asks
  floor      the least opening the press allows
  ceiling    the most opening the press allows
  neighbour  the blade is one piece, and a neighbour pulls this key open
  off-sheet  there is no form over this zone

With --out, every set of separations among the files is a job by itself, and so is
each that a folder holds, or a folder within: job_C.tif and job(Black).tif are one
by what stands before the ink; Cyan.tif and K.tif in a folder are one that is called
as the folder; a PDF, a form file, saved coverage and any other raster are one each.
A composite beside its separations is left out; --names reads other names. Each job gets its files, job.csv and
so on, and what goes wrong with one does not keep the others from theirs; the exit
status is then 1. What is asked for an ink holds for the jobs that have it.

--sweep auto begins at the press's reference, as an operator does, and leaves it
only where that is to be seen on the sheet. At every setting of the press's
working range it adds up how far the keys, held by floor, ceiling and neighbours
and set on their own steps, would feed more or less ink than the curve asks for,
with the ink that goes to zones without image. It moves where that saves 5 % of
the ink of the zone that the ceiling cuts most, or 1 % of all ink, and no further
than each tenth of the sweep saves another 1 %. The result says why.

Where the press's file names units, each ink is preset with the zeros and the sweep
of the unit that the file names for it, or --unit. The other inks take the places
that are left, unit by unit; inks more than units make a second pass. The result
comes as the sheet meets the inks: pass by pass, from unit to unit.

--by train solves all keys together on the roller train that the press's file
describes, for one film in all zones that print: a zone takes ink from those beside
it, which no curve knows. The two keys next to the sheet at either side are solved as
well, since shut ones take ink back there; those further out stay shut, where the blade
is not of one piece. Floor, ceiling, steps and what a one-piece blade bends are
held; auto keeps the widest key free. A train that press fit tied to what this press
printed aims at the ink's film; of any other evenness alone is known, and the keys
feed as much ink as the curve's, spread evenly: a trend, not measured on this press.
compare holds both against each other.

On a press with a train the preset also says how washed rollers are best inked before
the run, where that saves enough sheets; --charge=false leaves it out.

--paper is the stock. Where the press's file has curves for it, a table
[curves.STOCK], they are taken. Paper, --run and --date go into the files and onto
the key sheet, so that an OK file says later on what it was run.

Where there is no separation, as the zones of a proof or a plate were measured by
planimeter or by eye, --coverage takes a table of them: the columns
zone,coverage_pct, a row for every key, and ink where there are several. 0 is a
bare zone, an empty cell one off the sheet. A zone's coverage is its ink over zone
width x the press's print length. What only a separation tells stays unknown: there
is no picture on the sheet, and no warning of how the ink stands in a zone.

preset also looks at the form, and warns of what no key will cure. A warning
names the ink, the zones, a figure, and what can be done; under --strict the exit
status is then 3. One word in the JSON says what it warns of:

  low      zones whose image takes less ink than a step of their keys feeds, or is
           covered less than --take-off, and how long a solid bar must be, in the
           print direction, to cure that
  high     zones that are covered more than 90 %
  ceiling  keys that the ceiling holds, and the sweep that frees them and holds
           no others
  floor    keys that the floor holds, and the sweep likewise
  steep    keys that neighbours on a one-piece blade hold open
  spill    the share of the ink, from 10 % on, that they feed where nothing prints
  uneven   zones where one tenth of the length takes the ink: covered at least
           50 %, and at least 3 times as much as the zone; a take-off bar is
           such a band itself, and does no harm
  shut     on a press whose train was fitted, zones that run 5 % light or more since
           keys beside the sheet are shut, and the opening that cures it
  uncured  with --by train, zones whose film no key brings within 5 %, and the worst
  outside  ink beyond the length that the press prints
  beyond   blank raster beyond an end of the fountain
  length   a raster longer than the press prints
  empty    a separation without ink
  paper    inks that the press's file has no curve for on this --paper
  apart    keys that by the press's file stand further apart than on any press
  scale    keys that their own zero takes off the press's scale
  jobs     separations that by their names are of several jobs
  unnamed  an ink that is called as its whole file, which tells none
  polarity a separation that looks as if ink and paper had been swapped

and of a form file's pieces

  beyond-sheet  blank parts beyond an edge of the sheet
  missing       inks that a piece lacks and others have

A zone that is covered 0.2 % or more prints; below that there are trim and
register marks. Only zones that print are warned of.

` + cautions,
		Example: `  bladeline preset --press two-colour job_*.tif
  bladeline preset --press two-colour pages.form.toml
  bladeline preset --press two-colour --at 'left_*=10,12' --at 'right_*=330,12' left_*.tif right_*.tif
  bladeline preset --press two-colour --pages 2 job.pdf
  bladeline preset --press my.press.toml --curve Black=dense --sweep 45 -o job.csv -o job.json job.cover
  bladeline preset --press two-colour --paper uncoated --run 5000 --unit Cyan=2 -o job.pdf job_*.tif
  bladeline preset --press two-colour --by train job_*.tif
  bladeline preset --press two-colour --coverage Black=by-eye.csv -o job.pdf
  bladeline preset --press two-colour --out presets --as csv,pdf plates/ 'more/4711_*.tif'`,
		Args: func(c *cobra.Command, args []string) error { return how.arguments(c, args) },
		RunE: matched(func(c *cobra.Command, args []string) error {
			if how.ofMany(args) {
				return makePresets(c, args, &in, &out, &how)
			}
			return makePreset(c, args, &in, &out, &how)
		}),
	}
	how.add(c)
	flags := c.Flags()
	flags.StringVar(&how.out, "out", "", "preset every job that the files and folders hold, into this `FOLDER`, which is made where it is missing")
	flags.StringVar(&how.as, "as", "csv,json,pdf", "the `KINDS` of files that --out gives of each job, of csv, json, pdf and svg")
	flags.StringArrayVar(&how.names, "names", nil, "with --out read files' names, without their folders, by `PATTERN`, as bladeline watch --names does; may be repeated")
	flags.StringArrayVar(&how.tables, "coverage", nil, "`[INK=]TABLE.csv` of zone,coverage_pct, in place of separations; may be repeated")
	flags.StringVar(&how.job, "job", "", "`NAME` of the job; the default is what the files' names begin with")
	wholeVar(flags, &how.copies, "copies", 0, "write on the key sheet how much ink `N` sheets take, as estimate works it out; the default is --run")
	in.add(c)
	in.lays.add(c)
	in.addPDF(c, true)
	out.add(c, ".csv, .json, or .pdf or .svg for the key sheet")
	return c
}

// add adds those flags that say what any form is preset with.
func (how *presetFlags) add(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS`: a file, or a name that press list shows")
	flags.StringVar(&how.by, "by", "curve", "`curve|train`: keys follow the curves, or are solved together on the press's roller train")
	flags.StringArrayVar(&how.curves, "curve", nil, "`[INK=]CURVE`: a file, or the name of one that ships, instead of the press's own; may be repeated")
	flags.StringArrayVar(&how.sweeps, "sweep", nil, "`[INK=]SWEEP`: auto, or a setting of the press's own scale; may be repeated (default auto)")
	flags.StringVar(&how.takeOff, "take-off", "", "warn of printing zones that are covered less than `PCT`, and say which bar brings them there; 0 never warns (default: less than their keys can be set by)")
	flags.StringArrayVar(&how.units, "unit", nil, "`[INK=]UNIT` of the press that the ink runs in, instead of the one its file names; may be repeated")
	how.paperFlags.add(c)
	how.chargeFlag.add(c)
	addPageSize(c, &how.size, "the key sheet's page")
}

func makePreset(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *presetFlags) error {
	t, err := how.ticket(c, args, in, out)
	if err != nil {
		return err
	}
	if t.Reading, err = in.reading(args); err != nil {
		return err
	}
	t.Outputs = out.presets()
	var blank []*coverage.Map
	t.Blank = func(m *coverage.Map) { blank = append(blank, m) }
	p, err := how.made(c, t)
	if err != nil {
		return how.flagged(err)
	}
	sayBlank(c, blank)
	if err := out.printPreset(c, p); err != nil {
		return err
	}
	return in.warn(c, p.Warnings)
}

// flagged puts before an error the flag that it is about.
func (how *presetFlags) flagged(err error) error {
	return flagged(err, map[string][]string{job.OfCurve: how.curves, job.OfSweep: how.sweeps, job.OfUnit: how.units})
}

// sayBlank says which separations get no unit, and how they would.
func sayBlank(c *cobra.Command, blank []*coverage.Map) {
	var files []string
	inks := map[string][]string{}
	for _, m := range blank {
		if len(inks[m.File]) == 0 {
			files = append(files, m.File)
		}
		inks[m.File] = append(inks[m.File], m.Ink)
	}
	for _, file := range files {
		text := fmt.Sprintf("%s: holds no ink of %s, so no unit is preset for it; to have one, name all inks of the file in their order, as INK=FILE or INK,INK,...=FILE", file, strings.Join(inks[file], ", "))
		if zones.IsForm(file) {
			text = fmt.Sprintf("%s: no piece holds ink of %s, so no unit is preset for it; to have one, name its separation in the form's file, as inks.%s = { file = … }",
				file, strings.Join(inks[file], ", "), settings.TOMLKey(inks[file][0]))
		}
		say(c, text)
	}
}

// A presetFormat is one way to write a preset.
type presetFormat = func(io.Writer, *preset.Preset) error

var presetFormats = map[string]presetFormat{"table": writePreset, "csv": writePresetCSV, "json": writePresetJSON}

// presets are the files that a preset goes to.
func (f *outputFlags) presets() []job.Output {
	var outputs []job.Output
	for _, path := range f.files {
		o := job.Output{Path: path}
		if unformatted(path) {
			o.Write = presetFormats[f.formatFor(path)]
		}
		outputs = append(outputs, o)
	}
	return outputs
}

// printPreset prints a preset, where it does not go to files alone.
func (f *outputFlags) printPreset(c *cobra.Command, p *preset.Preset) error {
	formats := map[string]format{}
	for name, write := range presetFormats {
		formats[name] = func(w io.Writer) error { return write(w, p) }
	}
	return f.print(c, formats)
}

func writePresetCSV(w io.Writer, p *preset.Preset) error  { return p.WriteCSV(w) }
func writePresetJSON(w io.Writer, p *preset.Preset) error { return p.WriteJSON(w) }

// ticket is what the flags ask for; separations and outputs it has none yet.
func (how *presetFlags) ticket(c *cobra.Command, args []string, in *inputFlags, out *outputFlags) (job.Ticket, error) {
	t := job.Ticket{Name: how.job, Press: how.press, TakeOffPct: preset.ByKeys, PageSize: sheet.PageSize(how.size), Copies: how.copies, Cure: cureWarnings}
	if how.press == "" {
		return t, pressMissing()
	}
	t.Charge = how.asked(c)
	var err error
	if t.ByTrain = how.by == "train"; how.by != "train" && how.by != "curve" {
		return t, usagef("--by %s: neither curve nor train; give one of them", how.by)
	}
	if t.Placement, err = in.placement(); err != nil {
		return t, err
	}
	if err := out.check(job.PresetFormats, allPaths(args)); err != nil {
		return t, err
	}
	if t.Run, err = how.run(c); err != nil {
		return t, err
	}
	if err := checkPageSize(how.size); err != nil {
		return t, err
	}
	if how.takeOff != "" {
		if t.TakeOffPct, err = strconv.ParseFloat(settings.Pointed(how.takeOff), 64); err != nil || !(t.TakeOffPct >= 0 && t.TakeOffPct <= 100) {
			return t, usagef("--take-off %s: not a coverage; give 0 to 100 %%", how.takeOff)
		}
	}
	if err := checkCopies(c, how.copies); err != nil {
		return t, err
	}
	if t.Curves, err = perInk("--curve", how.curves, asItIs); err != nil {
		return t, err
	}
	if t.Sweeps, err = perInk("--sweep", how.sweeps, parseSweep); err != nil {
		return t, err
	}
	t.Units, err = perInk("--unit", how.units, asItIs)
	return t, err
}

// parseSweep reads an ink's sweep; nil is auto.
func parseSweep(flag, text string) (*float64, error) {
	if text == "auto" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(settings.Pointed(text), 64)
	if err != nil {
		return nil, usagef("%s %s: neither auto nor a number; give one of the press's own settings", flag, text)
	}
	return &v, nil
}

// writePreset prints a table a unit.
func writePreset(w io.Writer, p *preset.Preset) error {
	fmt.Fprintf(w, "job    %s\npress  %s: %d zones of %s mm, zone 1 at the %s of a pulled sheet, gripper edge (lead edge) nearest you\n",
		settings.Printable(p.Job), settings.Printable(p.Press.Name), p.Press.Zones, orUnknown(2, p.Press.ZoneWidthMM), *p.Press.FirstZone)
	writeRun(w, p)
	for _, u := range p.Units {
		curve := ""
		if u.Curve != nil {
			curve = ", curve " + *u.Curve
		}
		if u.ByTrain != nil {
			curve = ", keys by the train"
			if u.Curve != nil {
				curve += ", their level by curve " + *u.Curve
			}
		}
		covered := ""
		if u.CoveragePct != nil {
			covered = fixed(2, *u.CoveragePct) + " % covered, "
		}
		fmt.Fprintf(w, "\n%s: %ssweep %s%s\n%s\n",
			settings.Printable(u.Ink+inUnit(&u)), covered, settings.Printable(press.Amount(u.Sweep, p.Press.SweepUnit)), settings.Printable(curve), settings.Printable(*u.SweepReason))
		if u.Charge != nil {
			fmt.Fprintln(w, settings.Printable(*u.Charge))
		}
		head := []string{"zone", "mm", "coverage %", "opening %", "key " + string(p.Press.KeyUnit)}
		if p.StatesShut() {
			head = append(head, "shut at")
		}
		t := &table{align: strings.Repeat("r", len(head)) + "l"}
		t.row(append(head, "held by")...)
		for _, k := range u.Keys {
			row := []string{
				fmt.Sprint(k.Zone), orUnknown(1, k.LeftMM) + "-" + orUnknown(1, k.RightMM),
				fixed(2, k.CoveragePct), fixed(1, k.OpeningPct), k.KeyText,
			}
			if p.StatesShut() {
				row = append(row, k.ShutText(p.Press.KeyUnit))
			}
			t.row(append(row, heldBy(k.State))...)
		}
		if err := t.write(w); err != nil {
			return err
		}
	}
	return nil
}

// writeRun prints what is known of a preset's run; its day is known to whoever
// makes it.
func writeRun(w io.Writer, p *preset.Preset) {
	if p.Paper != nil {
		fmt.Fprintf(w, "paper  %s\n", settings.Printable(*p.Paper))
	}
	if p.RunLength != nil {
		fmt.Fprintf(w, "run    %d sheets\n", *p.RunLength)
	}
}

// inUnit says where an ink is printed, where that is known: ", unit 2, pass 1".
func inUnit(u *preset.Unit) string {
	text := ""
	if u.Unit != nil {
		text += ", unit " + *u.Unit
	}
	if u.Pass != nil {
		text += fmt.Sprintf(", pass %d", *u.Pass)
	}
	return text
}

// heldBy leaves the common case blank, so that the others are seen.
func heldBy(s curves.State) string {
	if s == curves.Set {
		return ""
	}
	return string(s)
}
