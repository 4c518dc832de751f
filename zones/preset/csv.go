package preset

import (
	"bufio"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/curves/settings"
)

// presetColumns are the columns of a preset's CSV, in the order written.
var presetColumns = []string{
	"job", "press", "ink", "zone", "left_mm", "right_mm", "coverage_pct", "opening_pct",
	"key", "key_text", "key_unit", "state", "sweep", "sweep_unit", "ok_key", "ok_sweep",
}

// laterColumns came into the CSV after presets were written: a file may lack
// them, and what they say is then not known. They are written before ok_key.
var laterColumns = []string{"press_id", "paper", "run_length", "date", "unit", "pass", "curve"}

// okColumns is how many columns at the end are the operator's to fill in.
const okColumns = 2

// WriteCSV writes a preset as CSV after RFC 4180: comma, CRLF, UTF-8 without a
// byte order mark, one row a key. Numbers carry all their digits. ok_key and
// ok_sweep are for the operator to fill in; where they are known they are
// written as numbers.
//
// Names, paper and sweep unit are anybody's text. One that begins with
// = + - @, behind blanks or not, would run as a formula in a spreadsheet, and one
// like 0042 or 2026-05-08 would come back as another number or date. So they are
// written with an apostrophe before them, as is one that begins with an apostrophe
// itself; ReadCSV takes it off.
func (p *Preset) WriteCSV(w io.Writer) error {
	if p == nil {
		return errNothing
	}
	job, on, sweepUnit := Guarded(p.Job), Guarded(p.Press.Name), Guarded(p.Press.SweepUnit)
	before := len(presetColumns) - okColumns
	ofKeys, byTrain := p.keyColumns(), []string(nil)
	if p.statesSetBy() {
		byTrain = trainColumns
	}
	rows := [][]string{slices.Insert(slices.Clone(presetColumns), before, slices.Concat(ofKeys, byTrain, laterColumns)...)}
	for _, u := range p.Units {
		name, later := Guarded(u.Ink), p.laterCells(&u) // once, not once a row
		for _, k := range u.Keys {
			ofKey := p.keyCells(k, ofKeys)
			if byTrain != nil {
				ofKey = append(ofKey, u.trainCells(k.Zone)...)
			}
			rows = append(rows, slices.Insert([]string{
				job, on, name,
				strconv.Itoa(k.Zone), optional(k.LeftMM), optional(k.RightMM), settings.Shortest(k.CoveragePct), settings.Shortest(k.OpeningPct),
				settings.Shortest(k.Key), k.KeyText, string(p.Press.KeyUnit), string(k.State),
				settings.Shortest(u.Sweep), sweepUnit, optional(k.OKKey), optional(u.OKSweep),
			}, before, append(ofKey, later...)...))
		}
	}
	return EncodeCSV(w, rows)
}

// laterCells are a unit's cells in laterColumns.
func (p *Preset) laterCells(u *Unit) []string {
	return []string{
		guardedOr(p.Press.ID), guardedOr(p.Paper), counted(p.RunLength), dateCell(p.Date),
		guardedOr(u.Unit), counted(u.Pass), guardedOr(u.Curve),
	}
}

// EncodeCSV writes rows after RFC 4180, as all files of this package are written.
func EncodeCSV(w io.Writer, rows [][]string) error {
	b := bufio.NewWriter(w)
	for _, row := range rows {
		for i, cell := range row {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(csvCell(cell))
		}
		b.WriteString("\r\n")
	}
	return b.Flush()
}

// csvCell quotes a cell where RFC 4180 asks for it; where it holds what parts
// cells in another country's spreadsheet, a semicolon or tab; and where some
// readers would drop blanks, or take \. for the end of the data.
func csvCell(s string) string {
	first, _ := utf8.DecodeRuneInString(s)
	if s == "" || !unicode.IsSpace(first) && !strings.ContainsAny(s, ",\"\r\n;\t") && s != `\.` {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// optional is an empty cell where the value is not known.
func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return settings.Shortest(*v)
}

// counted is an empty cell where the count is not known.
func counted(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// guardedOr is Guarded, and an empty cell where the text is not known.
func guardedOr(s *string) string {
	if s == nil {
		return ""
	}
	return Guarded(*s)
}

// Guarded is anybody's text for a cell, on one line, which a preset's are as it
// is. The second four are the first as they are typed in Asia; spreadsheets take
// either.
func Guarded(s string) string {
	s = settings.OneLine(s)
	shown := strings.TrimLeftFunc(s, func(r rune) bool { return unicode.IsSpace(r) || !unicode.IsGraphic(r) })
	first, _ := utf8.DecodeRuneInString(shown)
	if strings.HasPrefix(s, "'") || shown != "" && strings.ContainsRune("=+-@＝＋－＠", first) || respelled(shown) {
		return "'" + s
	}
	return s
}

// respelled tells whether a spreadsheet would take a text for a number or date and
// write it otherwise: 0042 as 42, 1.50 as 1.5, 5/8 as a day.
func respelled(s string) bool {
	switch {
	case plainWhole.MatchString(s):
		return false
	case numberLike.MatchString(s):
		return true
	}
	return datelike(s)
}

var (
	plainWhole = regexp.MustCompile(`^(0|[1-9]\d{0,14})$`) // with no more digits than a spreadsheet keeps
	numberLike = regexp.MustCompile(`^\d[\d.,:/ -]*([eE][+-]?\d+)?%?$`)
)

// dateCell is a day as it is: laterDate reads what spreadsheets make of one.
func dateCell(day *string) string {
	if day == nil {
		return ""
	}
	return *day
}

func unguarded(s string) string { return strings.TrimPrefix(s, "'") }
