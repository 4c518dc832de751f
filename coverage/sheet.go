package coverage

import (
	"fmt"
	"math"
)

// A Sheet is what one ink prints of a form of several pieces. Its places are those
// of the printed sheet in bench view: face up, lead edge nearest you.
type Sheet struct {
	WidthMM, LengthMM float64 // across, and from the lead edge to the tail edge
	Pieces            []Piece
}

// A Piece is a separation, or a part of one, that stands on a sheet once or several
// times.
type Piece struct {
	Number    int     // by which the form calls it, from 1; 0 is not known
	Map       *Map    // the separation as given, at the resolution that it is printed at
	XMM, YMM  float64 // of the corner at its left and nearest the lead edge, from the sheet's left edge and from its lead edge
	Turn      int     // clockwise as one looks at the sheet: 0, 90, 180 or 270 degrees
	Mirrored  bool    // the raster is wrong-reading: left and right are swapped, before it is turned
	Overprint bool    // it may lie over others, whose ink then adds to its own

	Across, Along    int     // how often it stands side by side and behind each other; 0 is once
	StepXMM, StepYMM float64 // from one to the next
}

// MaxPieces is how often pieces may stand on one sheet, all together: far more than
// labels do on the largest.
const MaxPieces = 10_000

// Copies is how often the piece stands on the sheet; more than MaxPieces is
// MaxPieces + 1.
func (p *Piece) Copies() int {
	across, along := max(1, p.Across), max(1, p.Along)
	if across > MaxPieces || along > MaxPieces || across*along > MaxPieces {
		return MaxPieces + 1
	}
	return across * along
}

// SizeMM is how wide and long the piece lies on the sheet; 0 is not known.
func (p *Piece) SizeMM() (width, length float64) {
	if p.Turn%180 == 0 {
		return p.Map.WidthMM(), p.Map.HeightMM()
	}
	return p.Map.HeightMM(), p.Map.WidthMM()
}

// Check refuses a sheet that is none, or one that too much stands on. The places of
// pieces on it are package zones' to judge.
func (s *Sheet) Check() error {
	if !isLength(s.WidthMM) || !isLength(s.LengthMM) {
		return fmt.Errorf("a sheet of %g × %g mm cannot be printed; give its size", s.WidthMM, s.LengthMM)
	}
	copies := 0
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if copies += p.Copies(); copies > MaxPieces {
			return fmt.Errorf("more than %d pieces do not go on one sheet; correct the repeats, or measure some of them together as one raster", MaxPieces)
		}
		if err := p.check(); err != nil {
			return fmt.Errorf("piece %d: %w", i+1, err)
		}
	}
	return nil
}

func (p *Piece) check() error {
	switch {
	case p.Map == nil || p.Map.Sheet != nil:
		return fmt.Errorf("it has no separation; name one")
	case !isPlace(p.XMM) || !isPlace(p.YMM) || !isPlace(p.StepXMM) || !isPlace(p.StepYMM):
		return fmt.Errorf("its place is not a number of mm on a sheet; correct it")
	case p.Turn != 0 && p.Turn != 90 && p.Turn != 180 && p.Turn != 270:
		return fmt.Errorf("a turn of %d degrees is none; give 0, 90, 180 or 270", p.Turn)
	case p.Across < 0 || p.Along < 0:
		return fmt.Errorf("it cannot be repeated %d × %d times; give how often it stands across and along", p.Across, p.Along)
	}
	return nil
}

// MaxSheetMM is more than any sheet is wide or long.
const MaxSheetMM = 10_000

func isLength(mm float64) bool { return mm > 0 && mm <= MaxSheetMM }
func isPlace(mm float64) bool  { return math.Abs(mm) <= MaxSheetMM }

// solidPct is the ink over the sheet's area, 0 to 100 %.
func (s *Sheet) solidPct() float64 {
	var solid float64
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if p.Map != nil {
			solid += float64(p.Copies()) * p.Map.CoveragePct() * p.Map.WidthMM() * p.Map.HeightMM()
		}
	}
	if area := s.WidthMM * s.LengthMM; area > 0 {
		return min(100, solid/area)
	}
	return 0
}
