package zones

import "bladeline/coverage"

// A Warning is a doubt that travels with a result.
type Warning struct {
	Ink  string `json:"ink"`
	Zone *int   `json:"zone"` // nil: it is about the whole ink
	Code string `json:"code"` // one word, for programs
	Text string `json:"text"` // one sentence, for people
}

// The codes of this package's warnings.
const (
	CodeBeyond = "beyond" // blank raster beyond an end of the fountain
	CodeLength = "length" // raster longer than the press prints
	CodeScale  = "scale"  // a key's own zero takes it off its scale
)

// mapWarnings are the doubts of reading, with the ink's name.
func mapWarnings(m *coverage.Map) []Warning {
	var ws []Warning
	for _, w := range m.Warnings {
		ws = append(ws, Warning{Ink: m.Ink, Code: w.Code, Text: w.Text})
	}
	return ws
}
