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
