package rollers

// A Fountain is what feeds the rollers: keys side by side over their whole width.
type Fountain struct {
	Zones  int
	ZoneMM float64 // width of a zone
}

// A Grid says how finely films are followed.
type Grid struct {
	SlotMM  float64 // round the rollers and along the sheet; a model takes what is next to it and divides the image
	Columns int     // in a zone
}

// The grids in use.
var (
	Fine   = Grid{SlotMM: 3, Columns: 4}
	Coarse = Grid{SlotMM: 6, Columns: 2}
)

// A Setting is how a fountain is set.
type Setting struct {
	OpeningPct []float64 // by key, from the left; 100 lets FilmFullUM onto the fountain roller
	StripMM    float64   // of fountain roller that a stroke of the ductor takes, in proportion to the sweep; 0: the train's own
}

// A Model follows the films on the rollers of one printing unit, slot by slot
// and column by column. It does not change once it is made, and many goroutines
// may use it.
type Model struct {
	train    Train
	fountain Fountain
}

// New makes a model of a train as it lies. Errors are those of [Train.Check] and
// of [Fountain] and grid; a model takes no more memory than that check allows.
func New(t Train, laid *Laid, f Fountain, g Grid) (*Model, error) { return nil, errOpen }

// SlotMM is the length of a slot along the sheet, ColumnMM the width of a column.
func (m *Model) SlotMM() float64   { return 0 }
func (m *Model) ColumnMM() float64 { return 0 }

// Slots is how many slots the image has along the sheet, Columns how many columns
// the fountain has. A form of as many rows and columns is taken as it is.
func (m *Model) Slots() int   { return 0 }
func (m *Model) Columns() int { return 0 }

// Period is the number of sheets after which ductor and oscillators are where
// they were. Oscillators whose turns have no short common period with the
// ductor's strokes are taken to move at most 1 % faster or slower.
func (m *Model) Period() int { return 0 }
