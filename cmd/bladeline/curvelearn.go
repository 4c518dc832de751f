package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

// learnFlags are the flags of curve learn alone.
type learnFlags struct {
	press, ink, curve, name string
	paper, unit             string
	readingPct              float64
	zeros                   bool
	run                     runFlags
	pull                    pullFlags
}

func newCurveLearn() *cobra.Command {
	var (
		out outputFlags
		in  inputFlags
		how learnFlags
	)
	c := &cobra.Command{
		Use:   "learn OK.csv... --press PRESS --ink INK -o NEW.curve.toml",
		Short: "Learn a curve from the keys that were finally run",
		Long: `learn makes a new curve of an ink from OK files: presets as CSV in which the
operator has filled in ok_key, and ok_sweep where it changed, with what was run
when the sheet was right. A folder stands for all .csv files in it; those that
are no presets, are without the ink, do not say what was run of it, or are for another
press are skipped.

A key whose ok_key is empty, or a dash, was not read. Where a cell of the ink's
rows says "rest as preset", in ok_key or in a column of remarks, it ran as preset;
so did all keys where ok_sweep alone is filled in.

Each key that was read gives a coverage and an opening. Zones off the sheet are
left out, and so are keys that their neighbours held. A key at the floor
says only that so much or less was wanted, one at the ceiling so much or more.
The new curve never falls, follows the readings where there are some, and keeps
the shape of the old one where there are none. A single misread key does not bend
it. The old curve is the press's own for the ink, or --curve.

What the keys of a zone have in common over all jobs is a zero that has drifted.
--zeros writes that to the press's file: each unit's into its own table, so that
no other unit's keys move. Where the file names no units its zeros are those of all
inks, and where the jobs have several you are warned. It takes 3 jobs of a unit. The
zeros from before any were learned stay in the file as zero_by_hand, and --zeros
always starts from those: the same jobs give the same zeros. Remove zero_by_hand
when you set zero by hand once more.

A curve is for one paper: jobs on several are refused, and --paper chooses. Those
that do not say on what they were run are then skipped, unless they are named one
by one; without --paper they count as the others. --unit learns from one unit alone.

The new file says what it was learned from. Learning again, from all those jobs
and more, starts from where the first began: keep the OK files in one folder,
and learn from the folder. -o may then be the learned curve itself.

--densities learns from one pulled sheet, best of a testform, printed with all keys
alike. The first file is then the preset that it was printed with; keys that stood
otherwise are its ok_key. OK files of jobs may follow: learn from both while there
are few. DENSITIES.csv has the columns ink,zone,density, as for correct. The film
follows the feed, and by the law of density, with --target and --limit, a density
says how many times the right film its zone carried: the opening over that is what
the zone wanted. From 98 % of the limit on all films measure alike, and a zone says
only that it wanted so much or less. Beside each coverage stands how sure the curve
is there, as one standard error. It is of one ink on one paper. A key whose zero is
off is taken for what its zone wants, and rollers carry ink from thick films to thin
ones, which makes the curve flatter than it is. Keep the pull out of the folder of
OK files: its sheet was not right.

learn warns of fewer than 3 jobs, of jobs that count twice, of copies of one
job, and of readings that follow no curve. It refuses fewer than 5 distinct
coverages, keys beyond the scale, and jobs of another press.

A job does not agree with the rest if the median of its zones' feed lies more
than 10 % off that of the other jobs, and more than three standard errors of that
median. It was run on another paper, perhaps, or with another ink, and the curve
lies between them: learn these apart.`,
		Example: `  bladeline curve learn ok/ --press hall.press.toml --ink Black -o black.curve.toml
  bladeline curve learn a-ok.csv b-ok.csv c-ok.csv --press hall.press.toml --ink Black --zeros -o black.curve.toml -o black.svg
  bladeline curve learn test.csv --densities densities.csv --press hall.press.toml --ink Black --target 1.5 --limit 2 -o black.curve.toml`,
		Args: from(1, 0, "OK file"),
		RunE: func(c *cobra.Command, args []string) error { return learnCurve(c, args, &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` that the jobs were run on: a file, or a name that press list shows")
	flags.StringVar(&how.ink, "ink", "", "the `INK` to learn the curve of")
	flags.StringVar(&how.paper, "paper", "", "learn from jobs on this `STOCK` alone")
	flags.StringVar(&how.unit, "unit", "", "learn from jobs in this `UNIT` of the press alone")
	flags.StringVar(&how.curve, "curve", "", "the old `CURVE`: a file, or the name of one that ships, instead of the press's own")
	flags.StringVar(&how.name, "name", "", "`NAME` of the new curve; the default is the ink and the press")
	decimalVar(flags, &how.readingPct, "reading", 1, "how well a key is read, as a standard deviation in `PCT` of travel")
	flags.BoolVar(&how.zeros, "zeros", false, "write to the press's file how far each key's zero is off")
	how.run.add(c)
	how.pull.add(c)
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 if there are warnings")
	flags.StringArrayVarP(&out.files, "output", "o", nil, "write to `FILE`: .toml the new curve, .svg a plot with the readings; may be repeated")
	return c
}

// A lesson is what a curve is learned from, and where the result goes.
type lesson struct {
	*job.Lesson
	toml string
}

func learnCurve(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *learnFlags) error {
	l, err := how.lesson(c, args, out)
	if err != nil {
		return err
	}
	learned, err := l.Learn(how.name, how.readingPct)
	if err != nil {
		return err
	}
	files, err := l.files(learned, out, how)
	if err != nil {
		return err
	}
	if err := job.WriteFiles(files); err != nil {
		return err
	}
	if err := writeLearned(c.OutOrStdout(), l, learned, how); err != nil {
		return job.Unwritten("standard output", err)
	}
	for _, f := range files {
		if err := wrote(c, f.Path); err != nil {
			return err
		}
	}
	fmt.Fprint(c.OutOrStdout(), l.hint())
	warnings := append(l.Skipped, l.Doubts...)
	for _, text := range learned.Warnings {
		warnings = append(warnings, zones.Warning{Ink: l.Ink, Text: text})
	}
	return in.warn(c, warnings)
}

// learnFormats are the endings that the result is written by.
var learnFormats = []string{"toml", "svg"}

// check refuses wrong flags before anything is read.
func (how *learnFlags) check(out *outputFlags) (toml string, err error) {
	for _, path := range out.files {
		if job.FormatOf(path) == "toml" {
			if toml != "" {
				return "", usagef("-o %s: a second curve; name one .toml", path)
			}
			toml = path
		}
	}
	if err := out.check(learnFormats, nil); err != nil {
		return "", err
	}
	switch {
	case how.press == "":
		return "", pressMissing()
	case strings.TrimSpace(how.ink) == "":
		return "", usagef("--ink is missing; name the ink to learn the curve of")
	case toml == "":
		return "", usagef("-o is missing for the curve; name the .curve.toml to write")
	case !(how.readingPct > 0 && how.readingPct <= 50):
		return "", usagef("--reading %s: not a reading error; give how far off a key may be read, above 0 and up to 50 %% of travel", settings.Plain(how.readingPct))
	case how.name != settings.Printable(how.name), how.name != "" && strings.TrimSpace(how.name) == "":
		return "", usagef("--name %q: not a name; give one on a single line", how.name)
	}
	return toml, how.pull.check()
}

// lesson reads all that is learned from.
func (how *learnFlags) lesson(c *cobra.Command, args []string, out *outputFlags) (*lesson, error) {
	toml, err := how.check(out)
	if err == nil {
		err = checkStock(c, how.paper)
	}
	if err != nil {
		return nil, err
	}
	var l *job.Lesson
	err = interruptible(c, func(ctx context.Context) error {
		l, err = job.Learning{
			Press: how.press, Ink: how.ink, Paper: how.paper, Unit: how.unit, Curve: how.curve, Zeros: how.zeros, Rest: how.run.rest, OKFiles: args, Pull: how.pull.pull(),
		}.Lesson(ctx)
		return err
	})
	if err != nil {
		return nil, flagged(err, map[string][]string{job.OfUnit: {how.unit}})
	}
	return &lesson{l, toml}, out.check(learnFormats, append(l.Read, how.press))
}

// files are all that is written.
func (l *lesson) files(learned *learn.Result, out *outputFlags, how *learnFlags) ([]job.File, error) {
	var files []job.File
	for _, path := range out.files {
		if path != l.toml {
			files = append(files, job.File{Path: path, Write: func(w io.Writer) error { return writePlotSVG(w, l.Old, learned) }})
			continue
		}
		curve, err := l.CurveIn(path, learned)
		if err != nil {
			return nil, err
		}
		files = append(files, curve)
	}
	if !how.zeros {
		return files, nil
	}
	press, err := l.PressWith(learned.Offsets)
	return append(files, press), err
}

// hint says how presets come to use the new curve; nothing where they do.
func (l *lesson) hint() string {
	if l.PressFile.Shipped {
		return fmt.Sprintf("use it with: bladeline preset --curve %s\n", settings.Printable(l.Ink+"="+l.toml))
	}
	name, err := filepath.Rel(filepath.Dir(l.PressFile.Name), l.toml)
	named, _ := l.Press.CurveFileOn(l.Paper, l.Ink)
	if err != nil || filepath.Clean(named) == name {
		return ""
	}
	table := "curves"
	if l.Paper != "" {
		table += "." + settings.TOMLKey(l.Paper)
	}
	return fmt.Sprintf("to use it, write under [%s] of %s: %s = %s\n", settings.Printable(table), settings.Printable(l.PressFile.Name), settings.TOMLString(l.Ink), settings.TOMLString(filepath.ToSlash(name)))
}

// worstShown is how many of the zones are listed that fit worst.
const worstShown = 5

// writeLearned says what was learned, and from what.
func writeLearned(w io.Writer, l *lesson, learned *learn.Result, how *learnFlags) error {
	if how.pull.asked() && l.Jobs() == 0 {
		return writePulled(w, l, learned, how.readingPct)
	}
	from := counted(l.Jobs(), "job")
	if how.pull.asked() {
		from += " and a pull"
	}
	fmt.Fprintf(w, "%s: %d readings of %s used, %s left out\nthe old curve is %s%s\n",
		settings.Printable(learned.Curve.Name), len(learned.Used), from, counted(len(learned.LeftOut), "zone"), settings.Printable(l.Old.Name), settings.Printable(againWords(learned)))
	for _, line := range leftOut(learned.LeftOut) {
		fmt.Fprintln(w, "left out:", settings.Printable(line))
	}
	return errors.Join(
		writeSpreads(w, learned), writeRuns(w, learned.Runs), writeWorst(w, learned), writeAllOffsets(w, l, learned.Offsets),
		writeLearnedPlot(w, l.Old, learned),
	)
}

func againWords(learned *learn.Result) string {
	if !learned.Again {
		return ""
	}
	return ", learned from these jobs: started anew from " + learned.Curve.Learned.From
}

// leftOut lists the zones, those of a job and a reason in a line.
func leftOut(all []learn.LeftOut) []string {
	type why struct{ run, reason string }
	var order []why
	zones := map[why][]string{}
	for _, o := range all {
		at := why{o.Run, o.Reason}
		if zones[at] == nil {
			order = append(order, at)
		}
		zones[at] = append(zones[at], fmt.Sprint(o.Zone))
	}
	var lines []string
	for _, at := range order {
		lines = append(lines, fmt.Sprintf("%s, zone %s: %s", at.run, strings.Join(zones[at], ", "), at.reason))
	}
	return lines
}

func writeSpreads(w io.Writer, l *learn.Result) error {
	fmt.Fprintln(w, "\nhow far off the readings lie:")
	t := &table{align: "lrrrr"}
	t.row("", "rms, points", "median", "rms, % of feed", "median")
	for _, s := range []struct {
		of string
		learn.Spread
	}{{"the old curve", l.Before}, {"the new curve", l.After}, {"with the keys' offsets", l.WithOffsets}} {
		t.row(s.of, fixed(1, s.RMSPct), fixed(1, s.MedianPct), fixed(1, s.RMSFeedPct), fixed(1, s.MedianFeedPct))
	}
	return t.write(w)
}

// writeRuns says how each job ran as a whole; of one alone there is nothing to say.
func writeRuns(w io.Writer, runs []learn.RanAs) error {
	if len(runs) < 2 {
		return nil
	}
	fmt.Fprintln(w, "\nhow fat (+) or lean (-) each job ran as a whole, in % of feed, median of its zones:")
	t := &table{align: "lrrrl"}
	t.row("job", "zones", "beside the curve", "beside the rest", "")
	for _, r := range runs {
		apart := ""
		if r.Apart {
			apart = r.Side() + ": does not agree with the rest"
		}
		t.row(r.Run, fmt.Sprint(r.Readings), signedTenths(r.FeedPct), signedTenths(r.RestPct), apart)
	}
	return t.write(w)
}

func writeWorst(w io.Writer, l *learn.Result) error {
	fmt.Fprintln(w, "\nthe zones that fit worst, in % of travel at the job's own sweep:")
	t := &table{align: "lrrrrr"}
	t.row("job", "zone", "coverage %", "run", "by the curve", "off beside the offset")
	for _, u := range l.Worst(worstShown) {
		t.row(u.Run, fmt.Sprint(u.Zone), fixed(1, u.CoveragePct), fixed(1, u.OpeningPct), fixed(1, u.CurvePct), signedTenths(u.ResidualPct))
	}
	return t.write(w)
}

// signedTenths prints a number with its sign; a zero has none.
func signedTenths(v float64) string {
	if math.Abs(v) < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", v)
}

// writeAllOffsets prints a table a unit whose keys were read.
func writeAllOffsets(w io.Writer, l *lesson, offsets []learn.Offset) error {
	for _, unit := range l.Units() {
		of := "each key"
		if unit != "" {
			of += " of unit " + settings.Printable(unit)
		}
		fmt.Fprintf(w, "\nkey error: how far %s reads too high, in points of travel, +- one standard error:\n", of)
		if err := writeOffsets(w, l.Press.InUnit(unit), job.OffsetsIn(unit, offsets)); err != nil {
			return err
		}
	}
	return nil
}

func writeOffsets(w io.Writer, press *press.Press, offsets []learn.Offset) error {
	t := &table{align: "rrlrr"}
	zero := preset.ZerosWith(press, offsets)
	t.row("zone", "key error", "", "readings", "shut at, "+string(press.Keys.Unit))
	for _, o := range offsets {
		would := strconv.FormatFloat(zero[o.Zone-1], 'g', 4, 64)
		if press.ZerosLearned() { // --zeros would not start from these
			would = "-"
		}
		t.row(fmt.Sprint(o.Zone), signedTenths(o.ShiftPct), "+- "+fixed(1, o.ErrorPct), fmt.Sprint(o.Readings), would)
	}
	err := t.write(w)
	if within := len(offsets) - len(slices.DeleteFunc(slices.Clone(offsets), func(o learn.Offset) bool { return !preset.Found(o) })); within > 0 {
		fmt.Fprintf(w, "%d of %s lie within their errors; their zeros stay as they are\n", within, counted(len(offsets), "key"))
	}
	if press.ZerosLearned() {
		fmt.Fprintln(w, "these come on top of zeros already learned; --zeros learns them anew, from zero_by_hand")
	}
	return err
}

// writeLearnedPlot draws the readings, the old and the new curve, which is on
// top.
func writeLearnedPlot(w io.Writer, old *curves.Curve, l *learn.Result) error {
	var p plot
	p.curve(old, curveMarks[1][0], curveMarks[1][1])
	for _, u := range l.Used {
		p.point(u.CoveragePct, u.ReferencePct, '+')
	}
	p.curve(l.Curve, curveMarks[0][0], curveMarks[0][1])
	_, err := fmt.Fprintf(w, "\n.o. the new curve   :x: the old one   + a reading, at the reference sweep\n\n%s\n", p.String())
	return err
}
