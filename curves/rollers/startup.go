package rollers

import (
	"context"
	"fmt"
	"math"
)

// A Startup is what a train prints sheet by sheet.
type Startup struct {
	FilmUM     [][]float64 // sheet by sheet, zone by zone, as ZoneFilm.FilmUM
	FedMM3     []float64   // ink that the fountain gave for each sheet
	PrintedMM3 []float64   // ink on each sheet
	State      *State      // after the last sheet
}

// Bounds of a run.
const (
	MostSheets = 20_000
	MostTurns  = 20_000
)

// Run prints sheets from a state. A bare plate is inked for one turn before the
// first sheet.
func (m *Model) Run(ctx context.Context, from *State, f Form, s Setting, sheets int) (*Startup, error) {
	t, err := m.prepare(from, f, s)
	if err != nil {
		return nil, err
	}
	if sheets < 0 || sheets > MostSheets {
		return nil, fmt.Errorf("a run of %d sheets; up to %d are followed", sheets, MostSheets)
	}
	if !from.inked {
		t.runs.impression = false
		t.turn()
		t.runs.impression = true
	}
	return t.sheets(ctx, sheets)
}

func (t *turning) sheets(ctx context.Context, sheets int) (*Startup, error) {
	run := &Startup{}
	for range sheets {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t.fed = 0
		t.turn()
		run.FilmUM = append(run.FilmUM, t.m.zoneFilms(t.cover, t.paper))
		run.FedMM3 = append(run.FedMM3, t.fed*t.m.cellMM3())
		run.PrintedMM3 = append(run.PrintedMM3, t.printed()*t.m.cellMM3())
	}
	run.State = t.state()
	return run, nil
}

// Within is the number of sheets after which all zones stay within a share of
// their targets, as 0.1 for 10 %, and whether they come to do so within the run.
// Zones whose target is 0 are not looked at.
func (s *Startup) Within(targetsUM []float64, share float64) (sheets int, ok bool) {
	for sheets = len(s.FilmUM); sheets > 0 && within(s.FilmUM[sheets-1], targetsUM, share); sheets-- {
	}
	return sheets, sheets < len(s.FilmUM)
}

func within(films, targets []float64, share float64) bool {
	for z, film := range films {
		if z < len(targets) && targets[z] > 0 && !(math.Abs(film-targets[z]) <= share*targets[z]) {
			return false
		}
	}
	return true
}

// Idle turns the rollers for so many turns of the plate with the form rollers off
// it, with the ductor feeding or not.
func (m *Model) Idle(ctx context.Context, from *State, s Setting, turns int, ductor bool) (*State, error) {
	t, err := m.prepare(from, EvenForm(make([]float64, m.fountain.Zones)...), s)
	if err != nil {
		return nil, err
	}
	if turns < 0 || turns > MostTurns {
		return nil, fmt.Errorf("%d turns; up to %d are followed", turns, MostTurns)
	}
	t.runs = running{ductor: ductor}
	for range turns {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t.turn()
	}
	idled := t.state()
	idled.inked = from.inked
	return idled, nil
}
