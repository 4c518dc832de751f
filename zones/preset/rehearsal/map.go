package rehearsal

import (
	"context"
	"math"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
)

// cellMM is how fine a map is that is asked for, both ways: as fine as a Map's cells are.
const cellMM = 2

// mapsAtOnce bounds the memory that fine maps take, on any number of cores.
const mapsAtOnce = 1

// fineSheets are followed on the fine grid: after them cells lie within 0.3 % of what they
// come to in the end, and 0.05 % in the mean, as measured on the 26-inch train.
const fineSheets = 12

// maps are the films of all inks on the fine grid. Where a train is too large for one the
// map keeps to the grid that zones are worked out on.
func maps(ctx context.Context, stages []*stage, inks []Ink) error {
	return each(ctx, len(stages), mapsAtOnce, func(ctx context.Context, i int) error {
		fine, err := stages[i].finely(ctx)
		if fine != nil {
			inks[i].Map = fine.sheet()
		}
		return err
	})
}

// finely is the stage settled on a grid of about 2 mm both ways: no picture of the coarse
// one, but the same train followed on for some sheets, with the image at its own fineness,
// from the films at which the coarse grid settles. How much ink there is that has found;
// edges and columns take a few turns of the form rollers. It is nil where nothing is known
// of the layout, or the train is too large.
func (s *stage) finely(ctx context.Context) (*stage, error) {
	if !s.layout {
		return nil, nil
	}
	across := max(1, int(math.Round(s.on.Fountain.ZoneWidthMM/cellMM)))
	train, err := preset.NewTrain(s.on, rollers.Grid{SlotMM: cellMM, Columns: min(across, 16)})
	if err != nil {
		return nil, nil // it was laid before: it is too large, as this grid has it
	}
	fine := *s
	fine.train, fine.form = train, train.Form(s.laid)
	near, err := train.OnGrid(s.train.Model, s.steady.State)
	if err != nil {
		return nil, err
	}
	fine.steady, err = train.SteadyAfter(ctx, near, fine.form, fine.setting, fineSheets)
	return &fine, err
}
