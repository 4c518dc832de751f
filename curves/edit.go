package curves

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"

	"bladeline/curves/settings"
)

// SetPoints changes a curve's file so that the curve passes through points:
// one of a coverage that the file has gets a new opening, any other a place
// among those that are there. All the rest of the file, its comments and its
// order, stays byte for byte. Errors are of type *settings.FileError; a curve that
// would fall, or leave 0 to 100, is one, with the point named.
//
// A curve that was learned is marked as edited, for its points are then no
// longer what was learned.
func SetPoints(file string, data []byte, points ...Point) ([]byte, error) {
	before := data
	for _, p := range points {
		list, err := listPoints(file, data)
		if err != nil {
			return nil, err
		}
		if at := list.index(p.CoveragePct); at >= 0 {
			data = list.text.Set(at, openingColumn, p.OpeningPct)
		} else {
			data = list.insert(p)
		}
	}
	return checked(file, before, data)
}

// RemovePoints takes the points of these coverages out of a curve's file, with
// the lines that are theirs alone. All else is as in SetPoints.
func RemovePoints(file string, data []byte, coveragesPct ...float64) ([]byte, error) {
	before := data
	for _, coverage := range coveragesPct {
		list, err := listPoints(file, data)
		if err != nil {
			return nil, err
		}
		at := list.index(coverage)
		if at < 0 {
			return nil, &settings.FileError{File: file, Place: "points", What: fmt.Sprintf("none has a coverage of %s", settings.Plain(coverage)), Do: "name one of " + list.coverages()}
		}
		data = list.text.Remove(at)
	}
	return checked(file, before, data)
}

// ScalePoints multiplies every opening of a curve's file. All else is as in
// SetPoints.
func ScalePoints(file string, data []byte, factor float64) ([]byte, error) {
	list, err := listPoints(file, data)
	if err != nil {
		return nil, err
	}
	openings := make([]float64, len(list.points))
	for i, p := range list.points {
		openings[i] = p.OpeningPct * factor
	}
	if f := beyondOpen(file, list.points, factor); f != nil {
		return nil, f
	}
	return checked(file, data, list.text.SetColumn(openingColumn, openings))
}

// beyondOpen refuses a factor that takes an opening beyond fully open.
func beyondOpen(file string, points []Point, factor float64) error {
	widest := slices.MaxFunc(points, func(a, b Point) int { return cmp.Compare(a.OpeningPct, b.OpeningPct) })
	if !(widest.OpeningPct*factor > 100) || math.IsInf(factor, 0) {
		return nil
	}
	return &settings.FileError{
		File: file, Place: "points", What: fmt.Sprintf("%s times the opening of %s at a coverage of %s is beyond fully open, 100", settings.Plain(factor), settings.Plain(widest.OpeningPct), settings.Plain(widest.CoveragePct)),
		Do: fmt.Sprintf("scale by %s at most; a higher reference_sweep asks for more ink at the same openings", settings.Plain(math.Floor(1e4/widest.OpeningPct)/100)),
	}
}

// checked is data if they are still a curve, and marked where they are no
// longer one that was learned.
func checked(file string, before, data []byte) ([]byte, error) {
	c, err := ParseCurve(file, data)
	if err != nil {
		return nil, err
	}
	if c.Learned == nil || c.Learned.Edited || bytes.Equal(before, data) {
		return data, nil
	}
	return settings.SetValue(file, data, "true", "learned", "edited")
}

// openingColumn is where a point in a file has its opening.
const openingColumn = 1

// pointList is the points of a curve's file, and their text.
type pointList struct {
	points []Point
	text   *settings.Rows
}

func listPoints(file string, data []byte) (*pointList, error) {
	var raw curveFile
	if err := settings.Decode(file, data, &raw); err != nil {
		return nil, err
	}
	c, err := raw.curve()
	if err != nil {
		return nil, settings.InFile(err, file, "")
	}
	text, found := settings.FindRows(data, "points")
	if !found {
		return nil, &settings.FileError{File: file, Place: "points", What: "there are none to edit", Do: "write points = [[0, 0], [100, 100]]"}
	}
	return &pointList{c.Points, text}, nil
}

// index is that of the point of a coverage, -1 where there is none.
func (l *pointList) index(coveragePct float64) int {
	return slices.IndexFunc(l.points, func(p Point) bool { return math.Abs(p.CoveragePct-coveragePct) < minSpacingPct })
}

// insert puts a new point before the first of a greater coverage.
func (l *pointList) insert(p Point) []byte {
	at := slices.IndexFunc(l.points, func(q Point) bool { return q.CoveragePct > p.CoveragePct })
	if at < 0 {
		at = len(l.points)
	}
	return l.text.Insert(at, p.CoveragePct, p.OpeningPct)
}

func (l *pointList) coverages() string {
	coverages := make([]float64, len(l.points))
	for i, p := range l.points {
		coverages[i] = p.CoveragePct
	}
	return settings.Numbers(coverages)
}
