package zones

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// presetColumns are the columns of a preset's CSV, in the order written.
var presetColumns = []string{
	"job", "press", "ink", "zone", "left_mm", "right_mm", "coverage_pct", "opening_pct",
	"key", "key_text", "key_unit", "state", "sweep", "sweep_unit", "ok_key", "ok_sweep",
}

// WriteCSV writes a preset as CSV after RFC 4180: comma, CRLF, UTF-8 without a
// byte order mark, one row a key. Numbers carry all their digits. ok_key and
// ok_sweep are for the operator to fill in; where they are known they are
// written as numbers.
//
// Job, press, ink and sweep unit are anybody's text. One that begins with
// = + - @ would run as a formula in a spreadsheet, so it is written with an
// apostrophe before it, as is one that begins with an apostrophe itself;
// ReadCSV takes it off.
func (p *Preset) WriteCSV(w io.Writer) error {
	job, press, sweepUnit := guarded(p.Job), guarded(p.Press.Name), guarded(p.Press.SweepUnit)
	rows := [][]string{presetColumns}
	for _, u := range p.Units {
		ink := guarded(u.Ink) // once, not once a row
		for _, k := range u.Keys {
			rows = append(rows, []string{
				job, press, ink,
				strconv.Itoa(k.Zone), optional(k.LeftMM), optional(k.RightMM), number(k.CoveragePct), number(k.OpeningPct),
				number(k.Key), k.KeyText, string(p.Press.KeyUnit), string(k.State),
				number(u.Sweep), sweepUnit, optional(k.OKKey), optional(u.OKSweep),
			})
		}
	}
	return writeCSV(w, rows)
}

func writeCSV(w io.Writer, rows [][]string) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	return c.WriteAll(rows)
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// optional is an empty cell where the value is not known.
func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func guarded(s string) string {
	if s != "" && strings.ContainsRune("=+-@'", rune(s[0])) {
		return "'" + s
	}
	return s
}

func unguarded(s string) string { return strings.TrimPrefix(s, "'") }
