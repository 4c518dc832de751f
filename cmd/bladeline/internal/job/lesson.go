package job

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// Learning says what a curve is to be learned from.
type Learning struct {
	Press   string // a file, or the name of one that ships
	Ink     string
	Paper   string   // whose jobs alone are learned from; "" is all jobs, which must be of one paper
	Unit    string   // of the press, whose jobs alone are learned from; "" is every unit
	Curve   string   // the old one: a file, or the name of one that ships; "" is the press's own
	Zeros   bool     // the zeros of the press's file are to be written, too
	Rest    bool     // keys that were not read ran as preset
	OKFiles []string // and folders of them
	Pull    *Pull    // learned from, too: the first of OKFiles is the preset that it was printed with
}

// A Lesson is what a curve is learned from.
type Lesson struct {
	Press     *press.Press
	PressFile Settings
	Old       *curves.Curve
	OldFile   Settings
	Ink       string // as the jobs write it
	Paper     string // that the jobs were run on; "" is not known
	Runs      []learn.Run
	Read      []string        // all files of jobs that were read
	Skipped   []zones.Warning // of those in a folder that are no presets, do not say what was run, or are of another press
	Doubts    []zones.Warning // of what the jobs say of paper and units

	foreign error // of the first job in a folder that is another press's

	how    Learning
	paths  []string // of the runs
	papers []string // of the runs; "" is not stated
	inks   []string // of all that was read
	others []string // inks that files of a folder were run with, where they were not with this one
	pull   *pulled
}

// Lesson reads all that is learned from. An OK file that is named must say what
// was run of the ink; one of a folder that does not, or is another press's, is passed
// over, and so is what is no preset. It stops where ctx ends, its cause the error.
func (how Learning) Lesson(ctx context.Context) (*Lesson, error) {
	l := &Lesson{how: how}
	var err error
	if l.Press, l.PressFile, err = LoadPress(how.Press); err != nil {
		return nil, err
	}
	if how.Zeros && l.PressFile.Shipped {
		return nil, &ShippedError{how.Press, CodeShippedPress}
	}
	if how.Zeros {
		l.Press = l.Press.Unlearned()
	}
	if how.Unit != "" && l.Press.InUnit(how.Unit) == nil {
		return nil, &ChoiceError{Of: OfUnit, Units: l.Press.UnitNames(), code: CodeUnknownUnit, unit: how.Unit}
	}
	if err := l.findOld(how.Paper); err != nil { // what is wrong with it is said first
		return nil, err
	}
	if err := l.readAll(ctx); err != nil {
		return nil, err
	}
	switch {
	case len(l.Runs) > 0:
	case l.foreign != nil:
		return nil, l.foreign
	default:
		return nil, l.nothingRun()
	}
	if err := l.weighPapers(); err != nil {
		return nil, err
	}
	if how.Zeros {
		if err := l.weighUnits(); err != nil {
			return nil, err
		}
	}
	return l, l.findOld(l.Paper)
}

// nothingRun refuses files that do not say what was run of the ink, and names the inks
// of which they do.
func (l *Lesson) nothingRun() error {
	do := "fill in ok_key in the CSV of a preset"
	if len(l.others) > 0 {
		do = "these were run: " + strings.Join(l.others, ", ") + "; name one of them, or " + do
	}
	return fmt.Errorf("%s: there is no OK file of %s; %s", l.how.OKFiles[0], l.how.Ink+l.how.narrowed(), do)
}

// noteOthers keeps the inks that a job was run with, each once.
func (l *Lesson) noteOthers(p *preset.Preset) {
	for _, u := range p.Units {
		if p.HasOKKeys(u.Ink) && !slices.Contains(l.others, u.Ink) {
			l.others = append(l.others, u.Ink)
		}
	}
}

// readAll reads the pull, where there is one, and all that was run.
func (l *Lesson) readAll(ctx context.Context) error {
	paths := l.how.OKFiles
	if l.how.Pull != nil {
		if err := l.readPull(); err != nil {
			return err
		}
		paths = paths[1:]
	}
	for _, path := range paths {
		if err := l.read(ctx, path); err != nil {
			return err
		}
	}
	return nil
}

// add adds a run that is learned from.
func (l *Lesson) add(run learn.Run, path string, p *preset.Preset) {
	run.Name = filepath.Base(path)
	l.Runs = append(l.Runs, run)
	l.paths, l.papers, l.inks = append(l.paths, path), append(l.papers, p.Run().Paper), append(l.inks, unitInks(p)...)
}

// findOld finds the curve that is learned from, for a paper, which may be empty.
func (l *Lesson) findOld(paper string) (err error) {
	if l.OldFile, err = CurveFile(l.how.Ink, l.how.Curve, paper, l.Press, l.PressFile); err != nil {
		return err
	}
	l.Old, err = l.OldFile.CurveFor(l.Press)
	return err
}

// narrowed says which jobs alone are learned from.
func (how Learning) narrowed() string {
	text := ""
	if how.Paper != "" {
		text += " on " + how.Paper
	}
	if how.Unit != "" {
		text += " in unit " + how.Unit
	}
	return text
}

// read adds an OK file, or those of a folder.
func (l *Lesson) read(ctx context.Context, path string) error {
	files, folder, err := okFiles(path)
	if err != nil {
		return err
	}
	for _, file := range files {
		if err := l.readFile(ctx, file, folder); err != nil {
			return err
		}
	}
	return nil
}

// readFile adds an OK file; one of a folder that says nothing of the ink is
// passed over.
func (l *Lesson) readFile(ctx context.Context, path string, inFolder bool) error {
	ink := l.how.Ink
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if FormatOf(path) != "csv" {
		return fmt.Errorf("%s: not an OK file; name a preset's .csv in which ok_key is filled in", path)
	}
	l.Read = append(l.Read, path)
	p, err := LoadRun(path, l.how.Rest)
	if err != nil && inFolder {
		return l.stray(path, err)
	}
	if err != nil {
		return err
	}
	if inFolder && !p.HasOKKeys(ink) {
		l.noteOthers(p)
		l.Skipped = append(l.Skipped, zones.Warning{Ink: ink, Text: path + " is skipped: it does not say what was run"})
		return nil
	}
	run, err := p.OKRun(path, l.Press, ink)
	if err != nil && inFolder && !p.SamePress(l.Press) {
		l.foreign = cmp.Or(l.foreign, err)
		l.Skipped = append(l.Skipped, zones.Warning{Ink: ink, Text: path + " is skipped: it is for the press " + settings.Quoted(p.Press.Name)})
		return nil
	}
	if err != nil {
		return err
	}
	if other := l.how.other(p, run); other != "" && (inFolder || other != notStated) {
		return l.passOver(path, other, inFolder)
	}
	l.Ink = p.Unit(ink).Ink
	if err := l.distinct(filepath.Base(path), path); err != nil {
		return err
	}
	l.add(*run, path, p)
	return nil
}

// stray passes over a file of a folder that is no preset. One that may be an OK file is
// refused with what is wrong in it: passed over, a job would be missing.
func (l *Lesson) stray(path string, wrong error) error {
	may := false
	err := ReadFile(path, func(r io.Reader) error {
		may = preset.MayHoldOK(r)
		return nil
	})
	if err != nil {
		return err
	}
	if may {
		if e, is := errors.AsType[*settings.FileError](wrong); is {
			e.Do = cmp.Or(e.Do, "mend it") + ", or move the file out of the folder"
		}
		return wrong
	}
	l.Skipped = append(l.Skipped, zones.Warning{Ink: l.how.Ink, Text: path + " is skipped: it is no preset"})
	return nil
}

// distinct refuses a second run of a name: the name is what the learned curve
// knows it by.
func (l *Lesson) distinct(name, path string) error {
	at := slices.IndexFunc(l.Runs, func(r learn.Run) bool { return r.Name == name })
	switch {
	case at < 0:
		return nil
	case filepath.Clean(l.paths[at]) == filepath.Clean(path):
		return fmt.Errorf("%s: is given twice; name every run once", path)
	}
	return fmt.Errorf("%s: has the same name as %s, and runs are told apart by name; rename one, or leave it out if it is the same job", path, l.paths[at])
}

// Learn finds the new curve. Without a name it is called by the ink and the press.
// readingPct is how well a key is read, as a standard deviation in % of travel.
func (l *Lesson) Learn(name string, readingPct float64) (*learn.Result, error) {
	learned, err := learn.Fit(l.Old, l.Runs, learn.Options{ReferenceSweep: l.Press.Sweep.Reference, ReadingPct: readingPct})
	if err != nil {
		return nil, err
	}
	paper := ""
	if l.Paper != "" {
		paper = ", " + l.Paper
	}
	learned.Curve.Name = cmp.Or(name, l.Ink+" on "+l.Press.Name+paper)
	return learned, nil
}

// CurveIn is the new curve as the file of a path: one that is not there yet, or the
// old curve's, where that was learned from these jobs.
func (l *Lesson) CurveIn(path string, learned *learn.Result) (File, error) {
	if info, err := os.Stat(path); err == nil {
		old, err := os.Stat(l.OldFile.Name)
		if err != nil || !os.SameFile(info, old) || !learned.Again {
			return File{}, errExists(path)
		}
	}
	data := learned.Curve.TOML()
	_, err := curves.ParseCurve("the new curve", data)
	return Bytes(path, data), err
}
