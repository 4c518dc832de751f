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

// headerBytes are more than a preset's header has, written in 16 bits a letter.
const headerBytes = 4 << 10

// HoldsOK tells whether a file is an OK file: the CSV of a preset that says
// anything of what was run, were it only in one cell that cannot be read. Of
// other files it reads the beginning alone.
func HoldsOK(r io.Reader) bool {
	b := bufio.NewReaderSize(r, headerBytes)
	head, _ := b.Peek(headerBytes)
	header, _, _ := strings.Cut(string(inUTF8(head)), "\n")
	if !strings.Contains(strings.ToLower(header), "ok_key") {
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
