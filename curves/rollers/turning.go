package rollers

import "math"

// A turning is a train while it turns: films that are exchanged step by step,
// each a slot long.
type turning struct {
	m       *Model
	cover   []float64 // of the image, slot by slot
	feed    []float64 // film on the fountain roller, by column
	stripMM float64
	runs    running

	films []float64
	heads []int     // of the rings: the slot at the place where they begin
	sides []float64 // how far each ring stands to the right, in columns
	sheet int       // of the period
	paper []float64 // what is printed: the image, slot by slot
	fed   float64   // ink taken from the fountain, in cells of 1 µm
	room  []float64
	watch func(step int) // nil, or is called before each step
	stop  func() bool    // whether what a period makes is no longer wanted
}

// A running says what of a press is on.
type running struct{ ductor, forms, impression bool }

var printing = running{ductor: true, forms: true, impression: true}

// start has a train in a state ready to turn.
func (m *Model) start(s *State, cover, feed []float64, stripMM float64) *turning {
	t := &turning{
		m: m, cover: cover, feed: feed, stripMM: stripMM, runs: printing,
		films: make([]float64, m.cells), heads: make([]int, len(m.rings)), sides: make([]float64, len(m.rings)),
		paper: make([]float64, m.slots*m.columns), room: make([]float64, 2*m.columns), sheet: s.sheet,
	}
	copy(t.films, s.films)
	return t
}

// films of all surfaces as a State has them, into to.
func (t *turning) read(to []float64) {
	for r, ring := range t.m.rings {
		all := t.films[ring.first : ring.first+ring.slots*t.m.columns]
		head := t.heads[r] * t.m.columns
		n := copy(to[ring.first:], all[head:])
		copy(to[ring.first+n:], all[:head])
	}
	copy(to[t.m.plate:], t.films[t.m.plate:])
}

// write sets all films.
func (t *turning) write(films []float64) {
	copy(t.films, films)
	clear(t.heads)
}

func (t *turning) state() *State {
	s := &State{films: make([]float64, t.m.cells), sheet: t.sheet, inked: true}
	t.read(s.films)
	return s
}

// turn is one turn of the plate, which begins as the gripper edge of its image
// comes to the blanket.
func (t *turning) turn() {
	m := t.m
	since := t.sheet % m.train.Ductor.EverySheets * m.turn
	rides := int(math.Round(m.train.Ductor.Duty * float64(m.train.Ductor.EverySheets*m.turn)))
	if t.runs.ductor && since == 0 {
		t.stroke()
	}
	for step := range m.turn {
		t.step(step, t.runs.ductor && since+step < rides)
	}
	t.sheet = (t.sheet + 1) % m.period
}

// step exchanges ink in all nips, and moves all surfaces on by a slot. No cell
// lies in two nips, so that their order does not matter.
func (t *turning) step(step int, rides bool) {
	m := t.m
	if t.watch != nil {
		t.watch(step)
	}
	t.oscillate(step)
	for _, n := range m.nips {
		t.meet(n)
	}
	if rides {
		t.meet(meeting{spot{len(m.rings) - 1, 0}, m.feed})
	}
	if t.runs.forms {
		for _, f := range m.forms {
			slot := step - f.plate
			if slot < 0 {
				slot += m.turn
			}
			if slot < m.slots {
				ink(t.row(f.spot), t.image(m.plate, slot), t.cover[slot*m.columns:(slot+1)*m.columns])
			}
		}
	}
	if t.runs.impression && step < m.slots {
		print(t.image(m.plate, step), t.image(m.blanket, step), t.paper[step*m.columns:(step+1)*m.columns], m.train.Paper)
	}
	for r := range t.heads {
		if r == len(t.heads)-1 && !rides {
			continue // the ductor turns with its roller
		}
		if t.heads[r]++; t.heads[r] == m.rings[r].slots {
			t.heads[r] = 0
		}
	}
}

// oscillate moves the oscillators sideways, each a part of a cycle behind the one
// before.
func (t *turning) oscillate(step int) {
	turns := float64(t.sheet) + float64(step)/float64(t.m.turn)
	for r, ring := range t.m.rings {
		if ring.reach > 0 {
			t.sides[r] = ring.reach * math.Sin(2*math.Pi*(turns/t.m.oscillation-ring.advance))
		}
	}
}

// meet is one nip of two rollers.
func (t *turning) meet(n meeting) {
	up, down := t.row(n.up), t.row(n.down)
	keeps, passes := 1-t.m.train.Split, t.m.train.Split
	aside := t.sides[n.down.ring] - t.sides[n.up.ring]
	if t.m.rings[n.up.ring].reach == 0 && t.m.rings[n.down.ring].reach == 0 {
		exchange(up, down, keeps, passes)
		return
	}
	o := overlapAt(aside, t.m.columns)
	o.exchange(up, down, keeps, passes, t.room)
}

// row is the films at a place of a roller.
func (t *turning) row(s spot) []float64 {
	ring := &t.m.rings[s.ring]
	slot := t.heads[s.ring] - s.at
	if slot < 0 {
		slot += ring.slots
	}
	at := ring.first + slot*t.m.columns
	return t.films[at : at+t.m.columns]
}

// image is a row of the plate or the blanket.
func (t *turning) image(first, slot int) []float64 {
	at := first + slot*t.m.columns
	return t.films[at : at+t.m.columns]
}

// stroke has the ductor fetch ink: it is turned against the fountain roller, so
// that its ink is mixed, and takes half of both films over the strip.
func (t *turning) stroke() {
	m := t.m
	ring := m.rings[len(m.rings)-1]
	all := t.films[ring.first : ring.first+ring.slots*m.columns]
	for j := range m.columns {
		sum := 0.0
		for i := j; i < len(all); i += m.columns {
			sum += all[i]
		}
		mean := sum / float64(ring.slots)
		for i := j; i < len(all); i += m.columns {
			all[i] = mean
		}
	}
	slot := t.heads[len(t.heads)-1]
	for strip := t.stripMM / m.slotMM; strip > 0; strip-- {
		part := 0.5 * min(strip, 1)
		row := all[slot*m.columns : (slot+1)*m.columns]
		for j, film := range row {
			takes := part * (t.feed[j] - film)
			row[j] = film + takes
			t.fed += takes
		}
		if slot++; slot == ring.slots {
			slot = 0
		}
	}
}

// printed is the ink on the sheet, in cells of 1 µm.
func (t *turning) printed() float64 {
	sum := 0.0
	for i, c := range t.cover {
		sum += c * t.paper[i]
	}
	return sum
}
