package preset

import (
	"io"

	"bladeline/zones/press"
)

// EncodeJSON writes a value as this package's files are written: indented, and
// texts as they are.
func EncodeJSON[V any](w io.Writer, v *V) error { return writeJSON(w, v) }

// EncodeCSV writes rows after RFC 4180, as this package's files are written.
func EncodeCSV(w io.Writer, rows [][]string) error { return writeCSV(w, rows) }

// Guarded is anybody's text for a cell of CSV, which a spreadsheet does not take
// for a formula.
func Guarded(s string) string { return guarded(s) }

// OnScales checks that what was finally run can be set on the press.
func (u *Unit) OnScales(on *press.Press) error { return u.onScales(on) }

// OnPress is the press as the unit's keys and sweep have it; where it is not known
// which unit of the press it is, as they are of all units. It is nil where whole is.
func (u *Unit) OnPress(whole *press.Press) *press.Press { return u.on(whole) }

// NameOn is the unit of a press that the ink ran in, as the press's file writes it:
// as the preset says, else as the press says of the ink. It is empty where neither
// does.
func (u *Unit) NameOn(on *press.Press) string { return u.unitOn(on) }

// Names tells whether a preset says that it is for a press, by the id where both
// have one; whether it fits it is another matter, which IsFor tells.
func (p *Preset) Names(on *press.Press) bool { return p.Press.is(on.Name, nilIfZero(on.ID)) }
