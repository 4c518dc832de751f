package preset

import (
	"strconv"
	"unicode/utf8"

	"bladeline/zones/press"
)

// shutAt is what a key shows when it is shut, on its own steps: a zero that was learned
// is known more finely than anybody reads the key. nil where all show 0.
func shutAt(keys press.KeyScale, zone int) *float64 {
	for i := range keys.Zero {
		if keys.Key(i+1, 0) != 0 {
			return new(keys.Key(zone, 0))
		}
	}
	return nil
}

// Sense is what turning a screw of the press clockwise does; "" where no screw is
// known of.
func (p StatedPress) Sense() press.Sense {
	var stated press.Sense
	if p.Clockwise != nil {
		stated = *p.Clockwise
	}
	return press.SenseOf(p.KeyUnit, stated)
}

// TellTurning fills in what a file of CSV from before does not say of the keys of
// its press: where they are shut, and which way they turn.
func (p *Preset) TellTurning(on *press.Press) {
	if p.Press.Clockwise == nil {
		p.Press.Clockwise = nilIfZero(on.Keys.Clockwise)
	}
	if p.StatesShut() {
		return
	}
	for i := range p.Units {
		keys := p.Units[i].OnPress(on).Keys
		for j := range p.Units[i].Keys {
			k := &p.Units[i].Keys[j]
			k.ShutAt = shutAt(keys, k.Zone)
		}
	}
}

// StatesShut tells whether a preset says where keys are shut: they do not all show
// 0 there.
func (p *Preset) StatesShut() bool {
	for _, u := range p.Units {
		for _, k := range u.Keys {
			if k.ShutAt != nil {
				return true
			}
		}
	}
	return false
}

// keyColumns are the columns of a preset's CSV on its keys that are written where
// there is something to say, behind sweep_unit: which way screws turn where that is
// stated, and what keys show when shut where that is not 0.
func (p *Preset) keyColumns() []string {
	var columns []string
	if p.Press.Clockwise != nil {
		columns = append(columns, "clockwise")
	}
	if p.StatesShut() {
		columns = append(columns, "shut_at")
	}
	return columns
}

// keyCells are a key's cells in those columns.
func (p *Preset) keyCells(k Key, columns []string) []string {
	var cells []string
	for _, c := range columns {
		if c == "clockwise" {
			cells = append(cells, string(*p.Press.Clockwise))
		} else {
			cells = append(cells, optional(k.ShutAt))
		}
	}
	return cells
}

// laterSense reads which way the screws turn.
func (in *presetReader) laterSense(v **press.Sense) {
	text := in.laterCell("clockwise")
	switch sense := press.Sense(text); {
	case text == "":
	case *v == nil:
		*v = &sense
	default:
		in.same("clockwise", string(**v), text)
	}
}

// laterNumber is a number of a column that files may lack.
func (in *presetReader) laterNumber(column string) *float64 {
	if in.laterCell(column) == "" {
		return nil
	}
	return new(in.number(column))
}

// longestShut is how many letters a shut key's setting has where it is on a step.
const longestShut = 6

// ShutText is what the key shows when it is shut, as a person reads it: a zero
// that was learned and is on no step to 1/100.
func (k Key) ShutText(unit press.KeyUnit) string {
	v := 0.0
	if k.ShutAt != nil {
		v = *k.ShutAt
	}
	if text := press.KeyText(unit, v); utf8.RuneCountInString(text) <= longestShut {
		return text
	}
	return strconv.FormatFloat(v, 'f', 2, 64)
}
