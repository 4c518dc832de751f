package rollers

import "context"

// A Steady is what a train prints once it has settled.
type Steady struct {
	Sheet      Sheet
	Zones      []ZoneFilm
	RollersUM  [][]float64 // mean film of each roller, as in the train, zone by zone
	DuctorUM   []float64
	FedMM3     float64 // ink taken from the fountain for a sheet
	PrintedMM3 float64 // ink on a sheet; what is fed, within the residual
	Residual   float64 // of the steady state: what a period changes, per ink that it brings
	State      *State

	forms   []formFilm
	columns int
}

// A Sheet is the printed sheet, averaged over the ductor's period, in the model's
// slots from the gripper edge and columns from the left.
type Sheet struct {
	Slots, Columns   int
	SlotMM, ColumnMM float64
	FilmUM           []float64 // slot by slot; where the form has no image, what a patch would carry
	Cover            []float64 // of the form, likewise
}

// A ZoneFilm is the film of one zone, in µm, as the mean over its ink; where a
// zone, or a part of it, prints nothing, as the mean of what patches would carry.
type ZoneFilm struct {
	Cover                    float64 // of the zone over the image length, 0 to 1
	FilmUM                   float64
	LeadUM, MiddleUM, TailUM float64 // of the thirds of the image
	SwingUM                  float64 // between the fattest and the leanest sheet of the ductor's period
}

// Steady finds the state that a period of ductor and oscillators brings back, for
// a form and a setting.
func (m *Model) Steady(ctx context.Context, f Form, s Setting) (*Steady, error) { return nil, errOpen }

type formFilm struct{}
