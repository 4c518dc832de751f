package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A LookedAt is a form of several pieces that was read to be looked at.
type LookedAt struct {
	WidthMM, LengthMM float64
	Maps              []*coverage.Map // one an ink
	Pieces            []LookedPiece
}

// A LookedPiece is a piece of a form, in words.
type LookedPiece struct {
	Number            int
	Files, Inks       []string
	XMM, YMM          float64
	WidthMM, LengthMM float64 // as it lies
	Turn              int
	Mirrored          bool
	Across, Along     int
	Zones             []int // of a press, that its copies lie over, in order; nil without one
}

// Look reads a form file's pieces.
func (r Reading) Look(ctx context.Context, path string) (*LookedAt, error) {
	form, err := LoadForm(path)
	if err != nil {
		return nil, err
	}
	r.Inputs, r.Form = []coverage.Input{{Path: path}}, form
	maps, err := r.Maps(ctx)
	if err != nil {
		return nil, err
	}
	l := &LookedAt{WidthMM: form.WidthMM, LengthMM: form.LengthMM, Maps: maps}
	for _, p := range form.Pieces {
		l.Pieces = append(l.Pieces, l.piece(&p))
	}
	return l, nil
}

func (l *LookedAt) piece(p *FormPiece) LookedPiece {
	of := LookedPiece{Number: p.Number, XMM: p.XMM, YMM: p.YMM, Turn: p.Turn, Mirrored: p.Mirrored, Across: max(1, p.Across), Along: max(1, p.Along)}
	for _, m := range l.Maps {
		for i := range m.Sheet.Pieces {
			if on := &m.Sheet.Pieces[i]; on.Number == p.Number {
				wide, long := on.SizeMM()
				of.WidthMM, of.LengthMM = max(of.WidthMM, wide), max(of.LengthMM, long)
				of.Inks = append(of.Inks, m.Ink)
				if !slices.Contains(of.Files, on.Map.File) {
					of.Files = append(of.Files, on.Map.File)
				}
			}
		}
	}
	return of
}

// Lay lays the form on a press, which may be nil, and says which of its zones each
// piece lies over.
func (l *LookedAt) Lay(on *press.Press) ([]*zones.Form, error) {
	forms, err := Lay(l.Maps, on, zones.Placement{})
	if err != nil || on == nil {
		return forms, err
	}
	over := map[int]map[int]bool{}
	for _, f := range forms {
		if _, _, err := f.Zones(); err != nil {
			return nil, err
		}
		for _, p := range f.PieceOutlines() {
			left := f.Outline().LeftMM + p.LeftMM
			for zone := 1; zone <= on.Fountain.Zones; zone++ {
				from, to := on.Fountain.ZoneMM(zone)
				if left < to && left+p.WidthMM > from {
					if over[p.Number] == nil {
						over[p.Number] = map[int]bool{}
					}
					over[p.Number][zone] = true
				}
			}
		}
	}
	for i := range l.Pieces {
		p := &l.Pieces[i]
		for zone := range over[p.Number] {
			p.Zones = append(p.Zones, zone)
		}
		slices.Sort(p.Zones)
	}
	return forms, nil
}

// A Finding is what is said of a form that is checked.
type Finding struct {
	Refused bool // it could not be preset
	Err     error
	Warning *zones.Warning
	Note    string // neither wrong nor doubtful
}

// mostFindings of one kind are told for an ink.
const mostFindings = 20

// Check is all that can be found of a form: what is wrong, what is doubtful, and what
// is to be known, on a press where it is not nil.
func (l *LookedAt) Check(on *press.Press) (found []Finding) {
	for _, m := range l.Maps {
		f, faults := zones.Faults(m, mostFindings)
		for _, err := range faults {
			found = append(found, Finding{Refused: true, Err: err})
		}
		if len(faults) == 0 && on != nil {
			found = append(found, onPress(m, on)...)
		}
		for _, w := range f.Doubts() {
			found = append(found, Finding{Warning: &w})
		}
	}
	return append(found, l.notes()...)
}

// onPress is what is found of a sound form on a press.
func onPress(m *coverage.Map, on *press.Press) (found []Finding) {
	f, err := zones.Lay(m, on, zones.Placement{})
	var warnings []zones.Warning
	if err == nil {
		_, warnings, err = f.Zones()
	}
	if err != nil {
		return []Finding{{Refused: true, Err: err}}
	}
	for _, w := range warnings {
		found = append(found, Finding{Warning: &w})
	}
	return found
}

// notes tell of rasters of other resolutions than most, and of pieces whose
// separations differ in size.
func (l *LookedAt) notes() (notes []Finding) {
	at := map[float64][]string{}
	for _, p := range l.Pieces {
		for _, dpi := range l.resolutions(p.Number) {
			if !slices.Contains(at[dpi], fmt.Sprint(p.Number)) {
				at[dpi] = append(at[dpi], fmt.Sprint(p.Number))
			}
		}
	}
	if len(at) > 1 {
		var parts []string
		for dpi := range at {
			parts = append(parts, fmt.Sprintf("%s dpi in %s", settings.Plain(dpi), pieceNumbers(at[dpi])))
		}
		slices.Sort(parts)
		notes = append(notes, Finding{Note: "the rasters differ in resolution, and each is measured at its own: " + strings.Join(parts, "; ")})
	}
	for _, p := range l.Pieces {
		if text := l.uneven(p.Number); text != "" {
			notes = append(notes, Finding{Note: text})
		}
	}
	return notes
}

// resolutions are those of a piece's separations.
func (l *LookedAt) resolutions(number int) (all []float64) {
	for _, m := range l.Maps {
		for _, p := range m.Sheet.Pieces {
			if p.Number == number && p.Map.DPIX > 0 {
				all = append(all, math.Round(p.Map.DPIX*1e3)/1e3) // files round them
			}
		}
	}
	return all
}

// uneven tells of a piece whose separations differ in size by more than a pixel.
func (l *LookedAt) uneven(number int) string {
	var first *coverage.Map
	for _, m := range l.Maps {
		for _, p := range m.Sheet.Pieces {
			switch {
			case p.Number != number || p.Map.DPIX == 0 || p.Map.DPIY == 0:
			case first == nil:
				first = p.Map
			case math.Abs(first.WidthMM()-p.Map.WidthMM()) > 25.4/min(first.DPIX, p.Map.DPIX) || math.Abs(first.HeightMM()-p.Map.HeightMM()) > 25.4/min(first.DPIY, p.Map.DPIY):
				return fmt.Sprintf("the separations of piece %d differ in size: %s is %.2f × %.2f mm, %s %.2f × %.2f mm; they share the corner nearest the gripper edge at the left",
					number, first.File, first.WidthMM(), first.HeightMM(), p.Map.File, p.Map.WidthMM(), p.Map.HeightMM())
			}
		}
	}
	return ""
}
