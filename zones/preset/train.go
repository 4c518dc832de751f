package preset

import (
	"errors"
	"fmt"
	"slices"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// ErrNoTrain is why a press without a roller train cannot be rehearsed.
var ErrNoTrain = errors.New("describes no roller train; add a [train], as the files of the presses that ship have it")

// A Train is the roller train of a press as its fountain feeds it, with zones by
// number where its model counts columns from the left.
type Train struct {
	*rollers.Model
	Laid *rollers.Laid

	on *press.Press
}

// NewTrain is the train of a press, as a unit has it, on a grid of so many mm and
// columns. Without a train the error is ErrNoTrain; a train that is not tied to its
// fountain, by a film and a strip, is one of type *settings.FileError.
func NewTrain(on *press.Press, grid rollers.Grid) (*Train, error) {
	if err := checkPress(on); err != nil {
		return nil, err
	}
	switch {
	case on.Train == nil:
		return nil, fmt.Errorf("press %s %w", settings.Quoted(on.Name), ErrNoTrain)
	case on.Train.Feed.FilmFullUM == 0 || on.Train.Feed.StripMM == 0:
		return nil, &settings.FileError{Place: "train.feed", What: "film_full_um and strip_mm are not known of press " + settings.Quoted(on.Name), Do: "fit them with press fit, or state a film and a strip to see how it would print"}
	}
	laid, err := rollers.Lay(*on.Train)
	if err != nil {
		return nil, err
	}
	m, err := rollers.New(*on.Train, laid, rollers.Fountain{Zones: on.Fountain.Zones, ZoneMM: on.Fountain.ZoneWidthMM}, grid)
	if err != nil {
		return nil, err
	}
	return &Train{m, laid, on}, nil
}

// Fitted tells whether the train was tied to what this press printed. Where it was
// not, how even a film is can be told of it, and how thick it is cannot.
func (t *Train) Fitted() bool { return len(t.on.Train.Feed.FittedFrom) > 0 }

// FromLeft is the index of a zone, from the fountain's left end.
func (t *Train) FromLeft(zone int) int {
	if t.on.Fountain.FirstZone == press.Right {
		return t.on.Fountain.Zones - zone
	}
	return zone - 1
}

// Setting is a fountain with keys opened so far, by zone, at a sweep of the press's
// scale.
func (t *Train) Setting(openingPct []float64, sweep float64) rollers.Setting {
	s := rollers.Setting{OpeningPct: make([]float64, len(openingPct)), StripMM: t.StripMM(sweep)}
	for i, opening := range openingPct {
		s.OpeningPct[t.FromLeft(i+1)] = opening
	}
	return s
}

// Asked is the fountain as a curve asks for it: openings by zone, held by no limit and no
// step, but for keys off the sheet, which stand as the press has them, at the sweep that
// the curve holds at. What that prints, by [MeanUM], is the level of a train that was not
// fitted.
func (t *Train) Asked(curve *curves.Curve, openingPct []float64, offSheet func(i int) bool) rollers.Setting {
	openingPct = slices.Clone(openingPct)
	for i := range openingPct {
		if offSheet(i) {
			openingPct[i] = t.on.Limits.OffSheetPct
		}
	}
	return t.Setting(openingPct, t.on.ReferenceSweep(curve))
}

// MeanUM is the mean of films by zone, weighted by the ink of those that print; 0 where
// none does. Of each zone it asks whether it prints, and for its coverage, 0 to 1.
func MeanUM(filmUM []float64, prints func(i int) bool, cover func(i int) float64) float64 {
	var ink, all float64
	for i, film := range filmUM {
		if prints(i) {
			c := cover(i)
			ink, all = ink+c*film, all+c
		}
	}
	if all == 0 {
		return 0
	}
	return ink / all
}

// FilmsUM are the films of a steady state, by zone.
func (t *Train) FilmsUM(st *rollers.Steady) []float64 {
	films := make([]float64, len(st.Zones))
	for i := range films {
		films[i] = st.Zones[t.FromLeft(i+1)].FilmUM
	}
	return films
}

// StripMM is the strip of fountain roller that a stroke takes at a sweep.
func (t *Train) StripMM(sweep float64) float64 {
	return t.on.Train.Feed.StripMM * sweep / t.on.Sweep.Reference
}

// EvenForm is a form of which zone coverages alone are known, in %, by zone.
func (t *Train) EvenForm(coveragePct []float64) rollers.Form {
	cover := make([]float64, len(coveragePct))
	for i, pct := range coveragePct {
		cover[t.FromLeft(i+1)] = pct / 100
	}
	return rollers.EvenForm(cover...)
}

// Form is a laid form as the plate takes ink for it, on the model's grid. What lies
// behind the image's tail edge is left out.
func (t *Train) Form(f *zones.Form) rollers.Form {
	form := rollers.Form{Rows: t.Slots(), Columns: t.Columns()}
	form.Cover = make([]float64, form.Rows*form.Columns)
	cells, o := f.Cells(), f.Outline()
	columns, rows := cells.Size()
	across, along := make([][]share, columns), make([][]share, rows)
	for i := range across {
		across[i] = shares(o.LeftMM+cells.Left(i)*o.WidthMM, o.LeftMM+cells.Left(i+1)*o.WidthMM, t.ColumnMM(), form.Columns)
	}
	for i := range along {
		along[i] = shares((1-cells.Top(i+1))*o.LengthMM, (1-cells.Top(i))*o.LengthMM, t.SlotMM(), form.Rows)
	}
	for row, slots := range along {
		for column, in := range across {
			ink := cells.Ink(column, row)
			if ink == 0 {
				continue
			}
			for _, y := range slots {
				for _, x := range in {
					form.Cover[y.at*form.Columns+x.at] += ink * x.part * y.part
				}
			}
		}
	}
	for i, c := range form.Cover {
		form.Cover[i] = min(1, c) // beyond by rounding alone
	}
	return form
}

// A share is which part of the at-th of equal pieces a stretch covers.
type share struct {
	at   int
	part float64
}

// shares are those of a stretch in n pieces of so many mm.
func shares(fromMM, toMM, pieceMM float64, n int) []share {
	var all []share
	for at := max(0, int(fromMM/pieceMM)); at < n && float64(at)*pieceMM < toMM; at++ {
		part := min(toMM/pieceMM, float64(at+1)) - max(fromMM/pieceMM, float64(at))
		if part > 0 {
			all = append(all, share{at, part})
		}
	}
	return all
}
