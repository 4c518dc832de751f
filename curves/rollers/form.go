package rollers

import (
	"fmt"
	"math"
)

// A Form is what a plate takes ink with: the coverage, from 0 to 1, of the cells
// of a grid over the image, from its gripper edge to its tail and over the whole
// width of the fountain. A model lays its own grid over it and shares cells in
// proportion to area, so that all of the ink stays.
type Form struct {
	Rows, Columns int
	Cover         []float64 // row by row from the gripper edge, in a row from the fountain's left end
}

// EvenForm is a form that is even along the sheet, with a coverage for each zone
// from the left.
func EvenForm(zones ...float64) Form {
	return Form{Rows: 1, Columns: len(zones), Cover: zones}
}

const mostFormCells = 64 << 20

func (f Form) check() error {
	if f.Rows < 1 || f.Columns < 1 || f.Rows > mostFormCells/f.Columns || f.Rows*f.Columns != len(f.Cover) {
		return fmt.Errorf("a form of %d rows of %d cells has %d coverages", f.Rows, f.Columns, len(f.Cover))
	}
	for i, c := range f.Cover {
		if !(c >= 0 && c <= 1+1e-9) {
			return fmt.Errorf("the form's cell %d of row %d has the coverage %g, which is not from 0 to 1", i%f.Columns+1, i/f.Columns+1, c)
		}
	}
	return nil
}

// cover lays the model's grid over a form.
func (m *Model) cover(f Form) ([]float64, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	if f.Rows == m.slots && f.Columns == m.columns {
		return f.Cover, nil
	}
	along, across := overlays(f.Rows, m.slots), overlays(f.Columns, m.columns)
	cover := make([]float64, m.slots*m.columns)
	wide := make([]float64, f.Columns)
	for row, cells := range along {
		clear(wide)
		for _, c := range cells {
			for j := range wide {
				wide[j] += c.share * f.Cover[c.cell*f.Columns+j]
			}
		}
		for column, cells := range across {
			for _, c := range cells {
				cover[row*m.columns+column] += c.share * wide[c.cell]
			}
		}
	}
	return cover, nil
}

// A piece is a cell and its share in another.
type piece struct {
	cell  int
	share float64
}

// overlays are the pieces that each of to equal parts of a length has of the from
// equal parts of it.
func overlays(from, to int) [][]piece {
	parts := make([][]piece, to)
	per := float64(from) / float64(to)
	for i := range parts {
		begin, end := float64(i)*per, float64(i+1)*per
		for c := int(begin); c < from && float64(c) < end; c++ {
			if part := min(end, float64(c+1)) - max(begin, float64(c)); part > 1e-9*per {
				parts[i] = append(parts[i], piece{c, part / per})
			}
		}
	}
	return parts
}

// zoneSums adds a row's columns up zone by zone.
func (m *Model) zoneSums(sums, row []float64) {
	per := m.grid.Columns
	for z := range sums {
		for _, v := range row[z*per : (z+1)*per] {
			sums[z] += v
		}
	}
}

// A Setting is how a fountain is set.
type Setting struct {
	OpeningPct []float64 // by key, from the left; 100 lets the train's FilmFullUM onto the fountain roller
	StripMM    float64   // of fountain roller that a stroke of the ductor takes, in proportion to the sweep; 0: the train's own
}

// Checked openings make the fountain's film, column by column.
func (m *Model) feeds(s Setting) ([]float64, error) {
	if len(s.OpeningPct) != m.fountain.Zones {
		return nil, fmt.Errorf("%d openings for %d keys", len(s.OpeningPct), m.fountain.Zones)
	}
	films := make([]float64, m.columns)
	for z, o := range s.OpeningPct {
		if !(o >= 0 && o <= 1e4) {
			return nil, fmt.Errorf("key %d from the left is opened by %g %%, which is not from 0 to 100", z+1, o)
		}
		for j := range m.grid.Columns {
			films[z*m.grid.Columns+j] = o / 100 * m.train.Feed.FilmFullUM
		}
	}
	return films, nil
}

// strip is the strip of a setting, in mm.
func (m *Model) strip(stripMM float64) (float64, error) {
	switch {
	case stripMM == 0:
		return m.train.Feed.StripMM, nil
	case stripMM > 0 && stripMM <= mostStripMM && !math.IsNaN(stripMM):
		return stripMM, nil
	}
	return 0, fmt.Errorf("a strip of %g mm; it is from 0 to %d", stripMM, mostStripMM)
}
