package rollers

import (
	"context"
	"errors"
)

// A Response is what each key does to each zone of one form.
type Response struct {
	UMPerPct [][]float64 // key by key, zone by zone: film in µm per % of opening
}

// Respond works out the response to every key on a coarse grid.
func (m *Model) Respond(ctx context.Context, f Form, stripMM float64) (*Response, error) {
	return nil, errors.New("")
}

// Footprint is the share of each zone in what a key does to the films of all.
func (r *Response) Footprint(key int) []float64 { return nil }

// A Wanted is what keys are solved for.
type Wanted struct {
	FilmUM               []float64 // by zone; zones without image follow the line
	StripMM              float64   // 0: the train's own
	FloorPct, CeilingPct []float64 // by key; a key with both alike stays there
	NeighbourPct         float64   // most that neighbouring keys may differ; 0: any
}

// A Solution is a setting that comes nearest to the films that are wanted.
type Solution struct {
	Setting      Setting
	LinePct      []float64 // by key, what the line asks for, unbounded
	Steady       *Steady   // what the setting prints
	DeviationPct []float64 // by zone, film off the wanted one; 0 where there is no image
	Response     *Response
}

// Solve solves all keys together for even films: least squares over the zones
// with image, held to the line by a weight of 1e-3, within bounds.
func (m *Model) Solve(ctx context.Context, f Form, w Wanted) (*Solution, error) {
	return nil, errors.New("")
}
