package job

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// weighUnits refuses to learn the zeros of a unit from too few jobs, and those of no
// unit on a press that has some. On a press whose file names none the zeros are
// those of all inks; where the jobs have several, that is a doubt.
func (l *Lesson) weighUnits() error {
	jobs := map[string]int{}
	for i, r := range l.Runs {
		if r.Unit == "" && len(l.Press.Units) > 0 {
			return &settings.FileError{File: l.paths[i], Place: "column unit", What: "does not say in which unit it was run", Do: "write one of these there: " + strings.Join(l.Press.UnitNames(), ", ")}
		}
		if l.pull == nil || i > 0 { // a pull is no job
			jobs[r.Unit]++
		}
	}
	for _, unit := range l.Units() {
		if jobs[unit] < learn.MinRuns {
			return &FewJobsError{Jobs: jobs[unit], Unit: unit}
		}
	}
	slices.Sort(l.inks)
	if inks := slices.Compact(l.inks); len(l.Press.Units) == 0 && len(inks) > 1 {
		l.Doubts = append(l.Doubts, zones.Warning{
			Ink: l.Ink, Code: CodeOneZero, Facts: inks,
			Text: "the press's file names no units, so its zeros move the keys of every ink, of " + strings.Join(inks, ", "),
		})
	}
	return nil
}

// Units are those that the jobs were run in, in the press's order; "" alone on a
// press without units.
func (l *Lesson) Units() []string {
	return l.units(func(name string) bool {
		return slices.ContainsFunc(l.Runs, func(r learn.Run) bool { return r.Unit == name })
	})
}

// units are those of the press's that are wanted, "" among them.
func (l *Lesson) units(wanted func(name string) bool) []string {
	names := append([]string{""}, l.Press.UnitNames()...)
	return slices.DeleteFunc(names, func(name string) bool { return !wanted(name) })
}

// OffsetsIn are the offsets of a unit's keys.
func OffsetsIn(unit string, offsets []learn.Offset) []learn.Offset {
	return slices.DeleteFunc(slices.Clone(offsets), func(o learn.Offset) bool { return o.Unit != unit })
}

// PressWith is the press's file with the zeros found, each unit's in its own table,
// beside those that it had before any were learned.
func (l *Lesson) PressWith(offsets []learn.Offset) (File, error) {
	name, data := l.PressFile.Name, l.PressFile.Data
	read := func(unit string) bool { return len(OffsetsIn(unit, offsets)) > 0 }
	for _, unit := range l.units(read) {
		var err error
		if data, err = l.withZeros(data, unit, OffsetsIn(unit, offsets)); err != nil {
			return File{}, err
		}
	}
	_, err := press.Parse(name, data)
	return Bytes(name, data), err
}

// withZeros is the text of the press's file with the zeros of one unit.
func (l *Lesson) withZeros(data []byte, unit string, offsets []learn.Offset) ([]byte, error) {
	name, table, on := l.PressFile.Name, "keys", l.Press
	byHand := on.Keys.ZeroByHand
	if unit != "" {
		at := slices.Index(l.Press.UnitNames(), unit)
		table, on, byHand = settings.TableOf("units", at), l.Press.InUnit(unit), l.Press.Units[at].ZeroByHand
	}
	if len(byHand) == 0 {
		before := strings.ReplaceAll(fmt.Sprint(preset.ZerosWith(on, nil)), " ", ", ")
		var err error
		if data, err = settings.SetValue(name, data, before+" # remove this when zero is set by hand once more", table, "zero_by_hand"); err != nil {
			return nil, err
		}
	}
	return settings.SetNumbers(name, data, preset.ZerosWith(on, offsets), table, "zero")
}
