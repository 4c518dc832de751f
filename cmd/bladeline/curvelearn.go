package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/zones"

	"github.com/spf13/cobra"
)

// learnFlags are the flags of curve learn alone.
type learnFlags struct {
	press, ink, curve, name string
	readingPct              float64
	zeros                   bool
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
lack the ink, or say of none of its keys what was run, are passed over there.

Each key that was read gives a coverage and an opening. Zones off the sheet are
left out, and keys that the blade held by their neighbours. A key at the floor or
the ceiling says no more than that so much or less, or more, was wanted. The new
curve never falls, follows the readings where there are some, and keeps the
shape of the old one where there are none. One key read wrong does not bend it.
The old curve is the press's own for the ink, or --curve.

What the keys of a zone have in common over all jobs is a zero that has drifted.
--zeros writes that to the press's file; all its units then count with it, so
units whose keys differ want a press file each. It takes 3 jobs. The zeros from
before any were learned stay in the file as zero_by_hand, and --zeros always
starts from those: the same jobs give the same zeros. Remove zero_by_hand when
you set zero by hand once more.

The new file says what it was learned from. Learning again, from all those jobs
and more, starts from where the first began: keep the OK files in one folder,
and learn from the folder. -o may then be the learned curve itself.

Fewer than 3 jobs are warned of, and so are jobs that count twice, copies of one
job, and readings that follow no curve. Fewer than 5 distinct coverages are
refused, and so are keys beyond the scale and jobs of another press.`,
		Example: `  bladeline curve learn ok/ --press hall.press.toml --ink Black -o black.curve.toml
  bladeline curve learn a-ok.csv b-ok.csv c-ok.csv --press hall.press.toml --ink Black --zeros -o black.curve.toml -o black.svg`,
		Args: from(1, 0, "OK file"),
		RunE: func(c *cobra.Command, args []string) error { return learn(c, args, &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` that the jobs were run on: a file, or a name that press list shows")
	flags.StringVar(&how.ink, "ink", "", "the `INK` to learn the curve of")
	flags.StringVar(&how.curve, "curve", "", "the old `CURVE`: a file, or the name of one that ships, instead of the press's own")
	flags.StringVar(&how.name, "name", "", "`NAME` of the new curve; the default is the ink and the press")
	flags.Float64Var(&how.readingPct, "reading", 1, "how well a key is read, as a standard deviation in `PCT` of travel")
	flags.BoolVar(&how.zeros, "zeros", false, "write to the press's file how far each key's zero is off")
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 where there are warnings")
	flags.StringArrayVarP(&out.files, "output", "o", nil, "write to `FILE`: .toml the new curve, .svg a plot with the readings; may be repeated")
	return c
}

// lesson is what a curve is learned from, and where the result goes.
type lesson struct {
	press     *zones.Press
	pressFile job.Settings
	old       *curves.Curve
	oldFile   job.Settings
	runs      []curves.Run
	paths     []string        // of the runs
	passed    []zones.Warning // files of a folder that say nothing of the ink
	ink       string          // as the jobs write it
	toml      string
}

func learn(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *learnFlags) error {
	l, err := how.lesson(args, out)
	if err != nil {
		return err
	}
	learned, err := curves.Learn(l.old, l.runs, curves.LearnOptions{ReferenceSweep: l.press.Sweep.Reference, ReadingPct: how.readingPct})
	if err != nil {
		return err
	}
	learned.Curve.Name = how.name
	if how.name == "" {
		learned.Curve.Name = l.ink + " on " + l.press.Name
	}
	files, err := l.files(learned, out, how)
	if err != nil {
		return err
	}
	if err := job.WriteFiles(files); err != nil {
		return err
	}
	if err := writeLearned(c.OutOrStdout(), l, learned); err != nil {
		return job.Unwritten("standard output", err)
	}
	for _, f := range files {
		fmt.Fprintln(c.OutOrStdout(), "wrote", oneLine(f.Path))
	}
	fmt.Fprint(c.OutOrStdout(), l.hint())
	warnings := l.passed
	for _, text := range learned.Warnings {
		warnings = append(warnings, zones.Warning{Ink: l.ink, Text: text})
	}
	return in.warn(c, warnings)
}

// learnForms are the endings that the result is written by.
var learnForms = []string{"toml", "svg"}

// check refuses wrong flags before anything is read.
func (how *learnFlags) check(out *outputFlags) (toml string, err error) {
	for _, path := range out.files {
		if job.FormOf(path) == "toml" {
			if toml != "" {
				return "", usagef("-o %s: a second curve; name one .toml", path)
			}
			toml = path
		}
	}
	if err := out.check(learnForms, nil); err != nil {
		return "", err
	}
	switch {
	case how.press == "":
		return "", usagef("--press is missing; name a press file, or one of these: %s", strings.Join(job.Shipped(job.PressKind), ", "))
	case strings.TrimSpace(how.ink) == "":
		return "", usagef("--ink is missing; name the ink to learn the curve of")
	case toml == "":
		return "", usagef("-o is missing for the curve; name the .curve.toml to write")
	case !(how.readingPct > 0 && how.readingPct <= 50):
		return "", usagef("--reading %s: is no reading error; say how far a key is read off, above 0 and up to 50 %% of travel", curves.Plain(how.readingPct))
	case how.name != oneLine(how.name), how.name != "" && strings.TrimSpace(how.name) == "":
		return "", usagef("--name %q: is no name; say one on a single line", how.name)
	}
	return toml, nil
}

// lesson reads all that is learned from.
func (how *learnFlags) lesson(args []string, out *outputFlags) (*lesson, error) {
	toml, err := how.check(out)
	if err != nil {
		return nil, err
	}
	l := &lesson{toml: toml}
	if l.press, l.pressFile, err = job.LoadPress(how.press); err != nil {
		return nil, err
	}
	if how.zeros && l.pressFile.Shipped {
		return nil, fmt.Errorf("%s: ships with bladeline and its zeros are not written; start your own with bladeline press new --from %s", how.press, how.press)
	}
	if how.zeros {
		l.press = l.press.Unlearned()
	}
	if l.oldFile, err = job.CurveFile(how.ink, how.curve, l.press, l.pressFile); err != nil {
		return nil, flagged(err, nil)
	}
	if l.old, err = l.oldFile.CurveFor(l.press); err != nil {
		return nil, err
	}
	inputs := []string{how.press}
	for _, arg := range args {
		read, err := l.read(arg, how.ink)
		if err != nil {
			return nil, err
		}
		inputs = append(inputs, read...)
	}
	if len(l.runs) == 0 {
		return nil, fmt.Errorf("%s: no OK file of %s is there; fill in ok_key in the CSV of a preset", args[0], how.ink)
	}
	if how.zeros && len(l.runs) < curves.MinRuns {
		return nil, fmt.Errorf("--zeros: takes at least %d jobs and there are %d; learn from more, or leave --zeros out", curves.MinRuns, len(l.runs))
	}
	return l, out.check(learnForms, inputs)
}

// read adds an OK file, or those of a folder, and returns the files' names.
func (l *lesson) read(arg, ink string) ([]string, error) {
	info, err := os.Stat(arg)
	if err != nil {
		return nil, job.Unread(arg, err)
	}
	if !info.IsDir() {
		return []string{arg}, l.readFile(arg, ink, false)
	}
	entries, err := os.ReadDir(arg)
	if err != nil {
		return nil, job.Unread(arg, err)
	}
	var names []string
	for _, e := range entries {
		if job.FormOf(e.Name()) != "csv" || e.IsDir() {
			continue
		}
		names = append(names, filepath.Join(arg, e.Name()))
		if err := l.readFile(names[len(names)-1], ink, true); err != nil {
			return nil, err
		}
	}
	return names, nil
}

// readFile adds an OK file; one of a folder that says nothing of the ink is
// passed over.
func (l *lesson) readFile(path, ink string, inFolder bool) error {
	if job.FormOf(path) != "csv" {
		return fmt.Errorf("%s: is no OK file; name a preset's .csv in which ok_key is filled in", path)
	}
	p, err := job.LoadPreset(path)
	if err != nil {
		return err
	}
	if inFolder && !p.Ran(ink) {
		l.passed = append(l.passed, zones.Warning{Ink: ink, Text: path + " is passed over: it does not say what was run"})
		return nil
	}
	run, err := p.OKRun(path, l.press, ink)
	if err != nil {
		return err
	}
	run.Name, l.ink = filepath.Base(path), p.Unit(ink).Ink
	if err := l.distinct(run.Name, path); err != nil {
		return err
	}
	l.runs = append(l.runs, *run)
	l.paths = append(l.paths, path)
	return nil
}

// distinct refuses a second run of a name: the name is what the learned curve
// knows it by.
func (l *lesson) distinct(name, path string) error {
	at := slices.IndexFunc(l.runs, func(r curves.Run) bool { return r.Name == name })
	switch {
	case at < 0:
		return nil
	case filepath.Clean(l.paths[at]) == filepath.Clean(path):
		return fmt.Errorf("%s: is given twice; name every run once", path)
	}
	return fmt.Errorf("%s: bears the name of %s, and runs are told apart by name; rename one, or leave it out if it is the same job", path, l.paths[at])
}

// files are all that is written.
func (l *lesson) files(learned *curves.Learned, out *outputFlags, how *learnFlags) ([]job.File, error) {
	if info, err := os.Stat(l.toml); err == nil {
		old, err := os.Stat(l.oldFile.Name)
		if err != nil || !os.SameFile(info, old) || !learned.Again {
			return nil, fmt.Errorf("%s: is there already and is not overwritten; choose another name", l.toml)
		}
	}
	data := learned.Curve.TOML()
	if _, err := curves.ParseCurve("the new curve", data); err != nil {
		return nil, err
	}
	var files []job.File
	for _, path := range out.files {
		if path == l.toml {
			files = append(files, job.Bytes(path, data))
			continue
		}
		files = append(files, job.File{Path: path, Write: func(w io.Writer) error { return writePlotSVG(w, l.old, learned) }})
	}
	if !how.zeros {
		return files, nil
	}
	press, err := l.pressWith(learned.Offsets)
	return append(files, job.Bytes(l.pressFile.Name, press)), err
}

// pressWith is the press's file with the zeros found, beside those that it had
// before any were learned.
func (l *lesson) pressWith(offsets []curves.Offset) ([]byte, error) {
	name, data := l.pressFile.Name, l.pressFile.Data
	var err error
	if len(l.press.Keys.ZeroByHand) == 0 {
		before := strings.ReplaceAll(fmt.Sprint(l.press.ZerosWith(nil)), " ", ", ")
		if data, err = curves.SetValue(name, data, before+" # remove this when zero is set by hand once more", "keys", "zero_by_hand"); err != nil {
			return nil, err
		}
	}
	if data, err = curves.SetNumbers(name, data, l.press.ZerosWith(offsets), "keys", "zero"); err != nil {
		return nil, err
	}
	_, err = zones.ParsePress(name, data)
	return data, err
}

// hint says how presets come to use the new curve; nothing where they do.
func (l *lesson) hint() string {
	if l.pressFile.Shipped {
		return fmt.Sprintf("use it with: bladeline preset --curve %s\n", oneLine(l.ink+"="+l.toml))
	}
	name, err := filepath.Rel(filepath.Dir(l.pressFile.Name), l.toml)
	if err != nil || filepath.Clean(l.press.CurveFile(l.ink)) == name {
		return ""
	}
	return fmt.Sprintf("to use it, write under [curves] of %s: %s = %s\n", oneLine(l.pressFile.Name), strconv.Quote(l.ink), strconv.Quote(filepath.ToSlash(name)))
}

// worstShown is how many of the zones are listed that fit worst.
const worstShown = 5

// writeLearned says what was learned, and from what.
func writeLearned(w io.Writer, l *lesson, learned *curves.Learned) error {
	fmt.Fprintf(w, "%s: %d readings of %s used, %s left out\nthe old curve is %s%s\n",
		oneLine(learned.Curve.Name), len(learned.Used), counted(len(l.runs), "job"), counted(len(learned.LeftOut), "zone"), oneLine(l.old.Name), oneLine(againWords(learned)))
	for _, line := range leftOut(learned.LeftOut) {
		fmt.Fprintln(w, "left out:", oneLine(line))
	}
	return errors.Join(
		writeSpreads(w, learned), writeWorst(w, learned), writeOffsets(w, l.press, learned.Offsets),
		writeLearnedPlot(w, l.old, learned),
	)
}

func againWords(learned *curves.Learned) string {
	if !learned.Again {
		return ""
	}
	return ", learned from these jobs: started anew from " + learned.Curve.Learned.From
}

// leftOut lists the zones, those of a job and a reason in a line.
func leftOut(all []curves.LeftOut) []string {
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

func writeSpreads(w io.Writer, l *curves.Learned) error {
	fmt.Fprintln(w, "\nhow far the readings lie off:")
	t := &table{align: "lrrrr"}
	t.row("", "rms, points", "median", "rms, % of feed", "median")
	for _, s := range []struct {
		of string
		curves.Spread
	}{{"the old curve", l.Before}, {"the new curve", l.After}, {"with the keys' offsets", l.WithOffsets}} {
		t.row(s.of, decimal(1, s.RMSPct), decimal(1, s.MedianPct), decimal(1, s.RMSFeedPct), decimal(1, s.MedianFeedPct))
	}
	return t.write(w)
}

func writeWorst(w io.Writer, l *curves.Learned) error {
	fmt.Fprintln(w, "\nthe zones that fit worst, in % of travel at the job's own sweep:")
	t := &table{align: "lrrrrr"}
	t.row("job", "zone", "coverage %", "run", "by the curve", "off beside the offset")
	for _, u := range l.Worst(worstShown) {
		t.row(u.Run, fmt.Sprint(u.Zone), decimal(1, u.CoveragePct), decimal(1, u.OpeningPct), decimal(1, u.CurvePct), signedTenths(u.ResidualPct))
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

func writeOffsets(w io.Writer, press *zones.Press, offsets []curves.Offset) error {
	fmt.Fprintln(w, "\nhow far each key reads too high, in points of travel, +- one standard error:")
	t := &table{align: "rrlrr"}
	zero := press.ZerosWith(offsets)
	t.row("zone", "offset", "", "readings", "its zero would be, "+string(press.Keys.Unit))
	for _, o := range offsets {
		would := strconv.FormatFloat(zero[o.Zone-1], 'g', 4, 64)
		if press.ZerosLearned() { // --zeros would not start from these
			would = "-"
		}
		t.row(fmt.Sprint(o.Zone), signedTenths(o.ShiftPct), "+- "+decimal(1, o.ErrorPct), fmt.Sprint(o.Readings), would)
	}
	err := t.write(w)
	if press.ZerosLearned() {
		fmt.Fprintln(w, "these are beside zeros that were learned; --zeros learns them anew, from zero_by_hand")
	}
	return err
}

// writeLearnedPlot draws the readings, the old and the new curve, which is on
// top.
func writeLearnedPlot(w io.Writer, old *curves.Curve, l *curves.Learned) error {
	var p plot
	p.curve(old, curveMarks[1][0], curveMarks[1][1])
	for _, u := range l.Used {
		p.point(u.CoveragePct, u.ReferencePct, '+')
	}
	p.curve(l.Curve, curveMarks[0][0], curveMarks[0][1])
	_, err := fmt.Fprintf(w, "\n.o. the new curve   :x: the old one   + a reading, at the reference sweep\n\n%s\n", p.String())
	return err
}
