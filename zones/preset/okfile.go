package preset

import (
	"bufio"
	"io"
	"slices"
	"strings"
)

// WasRun tells whether a preset says of any ink what was finally run.
func (p *Preset) WasRun() bool {
	for i := range p.Units {
		if p.Units[i].WasRun() {
			return true
		}
	}
	return false
}

// WasRun tells whether a key of the unit, or its sweep, says what was finally
// run.
func (u *Unit) WasRun() bool {
	return u.OKSweep != nil || u.anyKeyRead()
}

// SweepRun is the sweep that was finally run: the preset's where nothing else
// is said.
func (u *Unit) SweepRun() float64 {
	if u.OKSweep != nil {
		return *u.OKSweep
	}
	return u.Sweep
}

// RestAsPreset takes keys that were not read to have stood as they were preset,
// in every ink of a preset that says what was run. A preset that says nothing of
// a run stays one.
func (p *Preset) RestAsPreset() {
	if !p.WasRun() {
		return
	}
	for i := range p.Units {
		p.Units[i].restAsPreset()
	}
}

func (u *Unit) restAsPreset() {
	for i := range u.Keys {
		if k := &u.Keys[i]; k.OKKey == nil {
			k.OKKey = new(k.Key)
		}
	}
}

// AsPreset is a preset without what it says of the run.
func (p *Preset) AsPreset() *Preset {
	q := *p
	q.Units = slices.Clone(p.Units)
	for i := range q.Units {
		u := &q.Units[i]
		u.OKSweep, u.Keys = nil, slices.Clone(u.Keys)
		for j := range u.Keys {
			u.Keys[j].OKKey = nil
		}
	}
	return &q
}

// OpeningsRun are how wide the keys stood that were finally run, in % of travel, by
// zone; nil where a key was not read. A key that was moved stood so much wider or
// narrower than its preset opening, which is exact, as it was moved of its travel;
// travel 0 is not known, and taken from what the preset's keys say of it.
func (u *Unit) OpeningsRun(travel float64) []*float64 {
	if travel == 0 {
		travel = u.travel()
	}
	openings := make([]*float64, len(u.Keys))
	for i, k := range u.Keys {
		if k.OKKey != nil {
			openings[i] = new(min(max(0, k.OpeningPct+100*(*k.OKKey-k.Key)/travel), 100))
		}
	}
	return openings
}

// travel is about that of the unit's keys: the slope of the line that lies closest
// to their settings over their openings. Of keys that all stand alike it is as if
// the widest setting were all of it.
func (u *Unit) travel() float64 {
	var meanOpening, meanKey, both, squares, widest float64
	n := float64(len(u.Keys))
	for _, k := range u.Keys {
		meanOpening += k.OpeningPct / n
		meanKey += k.Key / n
		widest = max(widest, k.Key, k.printedKey())
	}
	for _, k := range u.Keys {
		both += (k.OpeningPct - meanOpening) * (k.Key - meanKey)
		squares += (k.OpeningPct - meanOpening) * (k.OpeningPct - meanOpening)
	}
	if both > 0 && squares > 1 {
		return 100 * both / squares
	}
	return max(widest, 1e-3)
}

// headerBytes are more than a preset's header has, written in 16 bits a letter.
const headerBytes = 4 << 10

// MayHoldOK tells whether a file that cannot be read as a preset may be an OK file all
// the same: its header has a place for the keys that were run.
func MayHoldOK(r io.Reader) bool { return hasOKKey(bufio.NewReaderSize(r, headerBytes)) }

// hasOKKey looks for that place at the beginning of a file.
func hasOKKey(b *bufio.Reader) bool {
	head, _ := b.Peek(headerBytes)
	return strings.Contains(strings.ToLower(headerLine(inUTF8(head))), "ok_key")
}

// HoldsOK tells whether a file is an OK file: the CSV of a preset that says
// anything of what was run, were it only in one cell that cannot be read. Of
// other files it reads the beginning alone.
func HoldsOK(r io.Reader) bool {
	b := bufio.NewReaderSize(r, headerBytes)
	if !hasOKKey(b) {
		return false
	}
	data, err := readAll("", b)
	if err != nil {
		return false
	}
	data = []byte(strings.ToValidUTF8(string(inUTF8(data)), "?"))
	t, err := newTable("", data, tableKind{of: "a preset", columns: []string{"ok_key", "ok_sweep"}, others: true})
	if err != nil {
		return false
	}
	for t.next() {
		if !unsaid(t.text("ok_key")) || !unsaid(t.text("ok_sweep")) || t.saysRest() {
			return true
		}
	}
	return false
}
