package curves

import (
	"fmt"
	"strings"
	"unicode"
)

// curveFile is a curve as its file states it.
type curveFile struct {
	Name           string       `toml:"name"`
	Shape          Shape        `toml:"shape"`
	ReferenceSweep *float64     `toml:"reference_sweep"`
	Points         [][]float64  `toml:"points"`
	Note           string       `toml:"note"`
	Learned        *learnedFile `toml:"learned"`
}

// ParseCurve reads a curve from TOML and prepares it. file names the source in
// errors, which are of type *FileError.
func ParseCurve(file string, data []byte) (*Curve, error) {
	var raw curveFile
	if err := DecodeTOML(file, data, &raw); err != nil {
		return nil, err
	}
	c, err := raw.curve()
	if err == nil {
		err = c.Prepare()
	}
	if err != nil {
		return nil, InFile(err, file, "")
	}
	return c, nil
}

func (raw curveFile) curve() (*Curve, error) {
	c := &Curve{Name: raw.Name, Shape: raw.Shape, Note: raw.Note}
	if strings.TrimSpace(c.Name) == "" || strings.ContainsFunc(c.Name, unicode.IsControl) {
		return nil, &FileError{Place: "name", What: Quoted(c.Name) + " is no name", Do: "write one on a single line"}
	}
	if raw.ReferenceSweep != nil {
		if c.ReferenceSweep = *raw.ReferenceSweep; c.ReferenceSweep == 0 {
			return nil, &FileError{
				Place: "reference_sweep", What: "at a sweep of 0 no ink is fed",
				Do: "write the sweep that the points were found at, or leave the line out",
			}
		}
	}
	var err error
	if c.Points, err = points("points", raw.Points); err != nil {
		return nil, err
	}
	if raw.Learned != nil {
		if c.Learned, err = raw.Learned.provenance(); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// points are the pairs of the key named by place.
func points(place string, raw [][]float64) ([]Point, error) {
	var ps []Point
	for i, pair := range raw {
		if len(pair) != 2 {
			return nil, &FileError{Place: place, What: fmt.Sprintf("point %d has %d numbers", i+1, len(pair)), Do: "write [coverage in %, opening in %]"}
		}
		ps = append(ps, Point{pair[0], pair[1]})
	}
	return ps, nil
}
