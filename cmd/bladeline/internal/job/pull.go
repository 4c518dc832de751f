package job

import (
	"fmt"
	"io"
	"math"
	"os"

	"bladeline/curves/learn"
	"bladeline/zones/preset"
)

// A Pull is a pulled sheet that was measured, to learn a curve from.
type Pull struct {
	Densities string   // a table of its solids
	Target    *float64 // density, in place of what the press's file states; nil: that
	Limit     *float64 // that no film exceeds, likewise
}

// limitBy is how well the density limit of an ink is known: the standard error that
// curve density finds of five solids. Common practice, no source.
const limitBy = 0.05

// pulled is what is learned from a pull.
type pulled struct {
	preset        *preset.Preset
	path          string
	densities     []preset.SolidDensity
	target, limit float64
}

// readPull adds the preset that a pull was printed with.
func (l *Lesson) readPull() error {
	path := l.how.OKFiles[0]
	if info, err := os.Stat(path); err != nil {
		return unread(path, err)
	} else if info.IsDir() {
		return fmt.Errorf("%s: is a folder, and a pull is of one preset; name the one that the sheet was printed with, before any folder", path)
	}
	p, err := LoadRun(path, l.how.Rest)
	if err != nil {
		return err
	}
	l.Read = append(l.Read, path, l.how.Pull.Densities)
	l.pull = &pulled{preset: p, path: path}
	if l.pull.target, l.pull.limit, err = l.densities(); err != nil {
		return err
	}
	if err := ReadFile(l.how.Pull.Densities, func(r io.Reader) (err error) {
		l.pull.densities, err = preset.ReadDensities(l.how.Pull.Densities, r)
		return err
	}); err != nil {
		return err
	}
	run, err := l.runOf(l.pull.limit)
	if err != nil {
		return err
	}
	if other := l.how.other(p, run); other != "" && other != notStated {
		return l.passOver(path, other, false)
	}
	l.Ink = p.Unit(l.how.Ink).Ink
	l.add(*run, path, p)
	return nil
}

// Jobs are how many jobs are learned from, beside a pull.
func (l *Lesson) Jobs() int {
	if l.pull != nil {
		return len(l.Runs) - 1
	}
	return len(l.Runs)
}

// densities are the target and the limit: as asked, else as the press states.
func (l *Lesson) densities() (target, limit float64, err error) {
	known, _ := l.Press.Ink(l.how.Ink)
	target, limit = known.TargetDensity, known.DensityLimit
	if l.how.Pull.Target != nil {
		target = *l.how.Pull.Target
	}
	if l.how.Pull.Limit != nil {
		limit = *l.how.Pull.Limit
	}
	switch {
	case target == 0:
		err = &UnstatedError{File: l.PressFile.Name, Ink: l.how.Ink, code: CodeNoTarget}
	case limit == 0:
		err = &UnstatedError{File: l.PressFile.Name, Ink: l.how.Ink, code: CodeNoLimit}
	}
	return target, limit, err
}

func (l *Lesson) runOf(limit float64) (*learn.Run, error) {
	return l.pull.preset.PullRun(l.pull.path, l.Press, l.how.Ink, l.how.Pull.Densities, l.pull.densities, l.pull.target, limit)
}

// Levels are those of what was learned from a pull alone. Their errors contain what comes
// of a density limit that is known to 0.05 only.
func (l *Lesson) Levels(learned *learn.Result, readingPct float64) []learn.Level {
	levels := learned.Levels()
	other := make([]*learn.Result, 2)
	for i, limit := range []float64{l.pull.limit - limitBy, l.pull.limit + limitBy} {
		if run, err := l.runOf(limit); err == nil { // else so low a limit is none
			run.Name = l.Runs[0].Name
			other[i], _ = learn.Fit(l.Old, []learn.Run{*run}, learn.Options{ReferenceSweep: l.Press.Sweep.Reference, ReadingPct: readingPct})
		}
	}
	for i := range levels {
		v := &levels[i]
		for _, o := range other {
			if o != nil {
				v.ErrorPct = math.Hypot(v.ErrorPct, (o.Curve.At(v.CoveragePct)-v.OpeningPct)/math.Sqrt2)
			}
		}
	}
	return levels
}
