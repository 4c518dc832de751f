package rollers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A Fountain is what feeds the rollers: keys side by side over their whole width.
type Fountain struct {
	Zones  int
	ZoneMM float64 // width of a zone
}

// A Grid says how finely films are followed.
type Grid struct {
	SlotMM  float64 // along the sheet and round the rollers; a model takes what is next to it and divides the image
	Columns int     // in a zone
}

// The grids in use. Films of zones are within 1 % of each other on all, of forms that are
// even along the sheet within 0.2 % on the first two; with half the columns they are off
// by 20 %. Rough is for what is corrected afterwards, or told in round numbers.
var (
	Fine   = Grid{SlotMM: 3, Columns: 4}
	Coarse = Grid{SlotMM: 12, Columns: 4}
	Rough  = Grid{SlotMM: 20, Columns: 4}
)

// A Model follows the films on the rollers of one printing unit, slot by slot
// round each surface and column by column along it. It does not change once it
// is made, and many goroutines may use it.
type Model struct {
	train    Train
	laid     *Laid
	fountain Fountain
	grid     Grid
	mean     *meanSystem
	line     *Line

	slotMM, columnMM     float64
	slots, turn, columns int // slots of the image, slots of a turn of the plate, columns of the fountain
	period               int // sheets
	oscillation          float64

	rings   []ring // the train's rollers, then the ductor
	nips    []meeting
	forms   []formMeeting
	feed    spot
	plate   int // where the plate's cells begin, image slot by image slot
	blanket int
	cells   int
}

// A ring is the surface of a roller: slots that stay where they are in memory
// while the place of the first moves round.
type ring struct {
	first   int     // of its cells
	slots   int     // round it
	reach   float64 // half the stroke, in columns
	advance float64 // of its oscillation against the first oscillator's, in cycles
}

// A spot is a place on a ring, in slots the way it moves.
type spot struct{ ring, at int }

// A meeting is a nip of two rings; the ink reaches up first.
type meeting struct{ up, down spot }

// A formMeeting is where a form roller inks the plate.
type formMeeting struct {
	spot
	plate int // slots from the blanket on
}

// New makes a model of a train as it lies: an error is a [*TrainError], or says
// what is wrong with fountain or grid. What it accepts takes bounded memory: a
// state is of 4 million films at the most.
func New(t Train, laid *Laid, f Fountain, g Grid) (*Model, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	if err := f.check(t); err != nil {
		return nil, err
	}
	if !(g.SlotMM >= 0.5 && g.SlotMM <= 20) || g.Columns < 1 || g.Columns > 16 {
		return nil, fmt.Errorf("a grid of %g mm and %d columns a zone; take 0.5 to 20 mm and 1 to 16 columns", g.SlotMM, g.Columns)
	}
	w, err := wire(t, laid)
	if err != nil {
		return nil, err
	}
	m := &Model{train: t, laid: laid, fountain: f, grid: g, mean: newMeanSystem(t, w)}
	if m.line, err = m.mean.line(); err != nil {
		return nil, err
	}
	m.divide()
	return m, m.place(w)
}

func (f Fountain) check(t Train) error {
	if f.Zones < 1 || f.Zones > MostZones || !(f.ZoneMM >= 5 && f.ZoneMM <= 200) {
		return fmt.Errorf("a fountain of %d zones of %g mm; rollers are followed for 1 to %d zones of 5 to 200 mm", f.Zones, f.ZoneMM, MostZones)
	}
	for _, r := range t.Rollers {
		if width := float64(f.Zones) * f.ZoneMM; r.StrokeMM > width {
			return &TrainError{r.Name, fmt.Sprintf("has a stroke of %g mm, more than the width of the fountain, %g mm", r.StrokeMM, width)}
		}
	}
	return nil
}

// divide sets the grid: whole slots on the image, and nearly so on all else.
func (m *Model) divide() {
	t := m.train
	m.slots = max(1, int(math.Round(t.ImageMM/m.grid.SlotMM)))
	m.slotMM = t.ImageMM / float64(m.slots)
	m.turn = max(m.slots, m.slotsRound(t.PlateMM, 1+len(m.mean.wires.forms)))
	m.columns = m.fountain.Zones * m.grid.Columns
	m.columnMM = m.fountain.ZoneMM / float64(m.grid.Columns)
	m.period, m.oscillation = period(t)
}

// slotsRound is how many slots go round a roller, as many as it has nips at least.
func (m *Model) slotsRound(diameterMM float64, nips int) int {
	return max(2, nips, int(math.Round(math.Pi*diameterMM/m.slotMM)))
}

// period is the number of sheets after which ductor and oscillators are where
// they were, and the turns of the plate that oscillators then take: the shortest
// that is within 2 % of the train's, else the nearest of up to 60 sheets, which is
// within 4 %.
func period(t Train) (sheets int, turns float64) {
	every := t.Ductor.EverySheets
	if !slices.ContainsFunc(t.Rollers, func(r Roller) bool { return r.StrokeMM > 0 }) {
		return every, t.Turns
	}
	best := math.Inf(1)
	for p := every; p <= 60; p += every {
		near := float64(p) / max(1, math.Round(float64(p)/t.Turns))
		off := math.Abs(near/t.Turns - 1)
		if off < best {
			sheets, turns, best = p, near, off
		}
		if best < 0.02 {
			break
		}
	}
	return sheets, turns
}

// place puts nips on slots of their rollers, no two on one.
func (m *Model) place(w *wiring) error {
	t := m.train
	oscillators := 0
	for i, r := range t.Rollers {
		m.rings = append(m.rings, ring{slots: m.slotsRound(r.DiameterMM, len(m.mean.arcs[i])), reach: r.StrokeMM / 2 / m.columnMM, advance: float64(oscillators)})
		if r.StrokeMM > 0 {
			oscillators++
		}
	}
	m.rings = append(m.rings, ring{slots: m.slotsRound(t.Ductor.DiameterMM, 1)})
	rows := 0
	for i := range m.rings {
		m.rings[i].first = rows * m.columns
		m.rings[i].advance /= float64(max(1, oscillators))
		rows += m.rings[i].slots
	}
	m.plate = rows * m.columns
	m.blanket = m.plate + m.slots*m.columns
	m.cells = m.blanket + m.slots*m.columns
	if m.cells > mostCells {
		return fmt.Errorf("%d rollers of %d slots in all and %d columns are more than can be followed; take a coarser grid", len(t.Rollers), rows, m.columns)
	}
	m.meet(w)
	return nil
}

// meet finds the slots of all nips.
func (m *Model) meet(w *wiring) {
	for _, n := range w.nips {
		m.nips = append(m.nips, meeting{m.spot(n.up), m.spot(n.down)})
	}
	m.feed = m.spot(w.feed)
	plate := []float64{0} // the blanket
	for _, f := range w.forms {
		plate = append(plate, f.plate)
	}
	for i, at := range apart(plate, m.turn)[1:] {
		m.forms = append(m.forms, formMeeting{m.spot(w.forms[i].contact), at})
	}
}

// spot is the slot of a contact.
func (m *Model) spot(c contact) spot {
	on := m.mean.arcs[c.roller]
	at := make([]float64, len(on))
	for i, a := range on {
		at[i] = a.at
	}
	i := slices.Index(at, c.at)
	return spot{c.roller, apart(at, m.rings[c.roller].slots)[i]}
}

// apart puts rising places, in turns, on slots of a ring that has at least as
// many, each next to where it is and no two on one.
func apart(turns []float64, slots int) []int {
	at := make([]int, len(turns))
	for i, t := range turns {
		at[i] = int(math.Round(t * float64(slots)))
		if i > 0 {
			at[i] = max(at[i], at[i-1]+1)
		}
	}
	for i, last := len(at)-1, at[0]+slots-1; i > 0; i, last = i-1, last-1 {
		at[i] = min(at[i], last)
	}
	for i := range at {
		at[i] %= slots
	}
	return at
}

// Line is the law of the model's train.
func (m *Model) Line() *Line { return m.line }

// SlotMM is the length of a slot along the sheet.
func (m *Model) SlotMM() float64 { return m.slotMM }

// ColumnMM is the width of a column.
func (m *Model) ColumnMM() float64 { return m.columnMM }

// Slots is how many slots the image has along the sheet. A form of as many rows,
// and of as many columns as the model, is taken as it is.
func (m *Model) Slots() int { return m.slots }

// Columns is how many columns the fountain has.
func (m *Model) Columns() int { return m.columns }

// Period is the number of sheets after which ductor and oscillators are where
// they were. Oscillators whose turns have no short common period with the
// ductor's strokes are taken to move up to 4 % faster or slower.
func (m *Model) Period() int { return m.period }

// Lone tells whether a train is a single roller: nothing on it splits ink or spreads
// it, and what is computed of it is no press.
func (t Train) Lone() bool { return len(t.Rollers) < 2 }

// InStep tells whether every stroke of the ductor finds the oscillators at the
// same place of their way, so that they carry its ink to one side.
func (t Train) InStep() bool {
	moves := slices.ContainsFunc(t.Rollers, func(r Roller) bool { return r.StrokeMM > 0 })
	strokes := float64(t.Ductor.EverySheets) / t.Turns
	return moves && cmp.Compare(math.Abs(strokes-math.Round(strokes)), 1e-9) < 0
}
