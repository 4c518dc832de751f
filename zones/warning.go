package zones

import "bladeline/coverage"

// A Warning is a doubt that travels with a result.
type Warning struct {
	Ink  string `json:"ink"`
	Zone *int   `json:"zone"` // nil: it is about the whole ink
	Code string `json:"code"` // one word, for programs
	Text string `json:"text"` // one sentence, for people

	// Facts are what a front end words a cure of: a coverage.Warning or an
	// Outside. Text then lacks it. nil: Text says what to do.
	Facts any `json:"-"`
}

// The codes of warnings of where a form lies.
const (
	CodeBeyond  = "beyond"  // blank raster beyond an end of the fountain
	CodeLength  = "length"  // raster longer than the press prints
	CodeOutside = "outside" // ink beyond the length that the press prints

	CodeBeyondSheet = "beyond-sheet" // blank part of a piece beyond an edge of the form's sheet
	CodeMissing     = "missing"      // an ink that other pieces of the form have, or that one is said to be without and none has
)

// doubts are the warnings of reading a separation, with its ink's name.
func doubts(m *coverage.Map) []Warning {
	var ws []Warning
	for _, w := range m.Warnings {
		ws = append(ws, Warning{Ink: m.Ink, Code: w.Code, Text: w.Text, Facts: w})
	}
	return ws
}
