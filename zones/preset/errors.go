package preset

import "bladeline/curves/settings"

// Codes of errors whose cure depends on how bladeline is used, so that their texts
// state the fact alone. Those of package zones come beside them.
const CodeNoLength = "no-length" // a LengthError

// Codes are all of them.
var Codes = []string{CodeNoLength}

// A LengthError reports a unit that does not state the length that its coverages
// refer to.
type LengthError struct {
	File string // the preset's
	Ink  string
}

// Code is CodeNoLength.
func (e *LengthError) Code() string { return CodeNoLength }

func (e *LengthError) Error() string {
	return (&settings.FileError{File: e.File, Place: "ink " + settings.Quoted(e.Ink), What: "does not state the length that its coverages refer to"}).Error()
}
