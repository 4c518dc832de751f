package preset

import (
	"fmt"
	"io"
	"strings"

	"bladeline/curves/settings"
)

// A MeasuredRoller is what a row says of a roller that was measured: the roller
// itself, or the stripe that it makes with another. Nil was not measured.
type MeasuredRoller struct {
	Roller  string
	Against string // that the stripe is made with; empty: it is not said
	Row     int    // of the file, as a spreadsheet counts it

	LeftMM, DiameterMM, RightMM           *float64 // diameters at the left end, in the middle and at the right end
	StripeLeftMM, StripeMM, StripeRightMM *float64 // widths of the stripe likewise
	RunOutMM                              *float64 // total indicated, of one turn
}

// RollerColumns are those of measured rollers, in the order of a worksheet. A file
// may lack all but the first.
var RollerColumns = []string{
	"roller", "against", "diameter_left_mm", "diameter_mm", "diameter_right_mm", "stripe_left_mm", "stripe_mm", "stripe_right_mm", "run_out_mm",
}

// What is more than any roller of a press has, in mm.
const (
	maxDiameterMM = 2000
	maxStripeMM   = 100
	maxRunOutMM   = 50
)

// ReadRollers reads what was measured on rollers from CSV, one row a roller or one
// of its stripes. It tolerates what ReadCSV does, decimal commas between
// semicolons or tabs; a dash and an empty cell were not measured, nor a row without
// a figure. Errors are of type *settings.FileError unless r fails.
func ReadRollers(file string, r io.Reader) ([]MeasuredRoller, error) {
	t, err := openTable(file, r, tableKind{of: "measured rollers", columns: RollerColumns[:1], later: RollerColumns[1:], lists: true})
	if err != nil {
		return nil, err
	}
	var all []MeasuredRoller
	rows := map[[2]string]int{}
	for t.next() {
		m := t.measuredRoller()
		if !m.anyMeasured() {
			continue
		}
		at := [2]string{strings.ToLower(m.Roller), strings.ToLower(m.Against)}
		if first, twice := rows[at]; twice {
			t.fail("roller", fmt.Sprintf("%s stands in row %d already", settings.Quoted(m.Roller), first), "keep one row for every roller, and one for every other that it touches")
		}
		rows[at] = m.Row
		all = append(all, m)
	}
	if len(all) == 0 {
		t.fail("", "no measured figure follows the header", "write what was measured, in mm")
	}
	return all, t.err
}

func (t *table) measuredRoller() MeasuredRoller {
	name := func(column string) string {
		if _, there := t.columns[column]; !there || unsaid(t.text(column)) {
			return ""
		}
		return strings.TrimSpace(unguarded(strings.TrimSpace(t.text(column))))
	}
	m := MeasuredRoller{Roller: name("roller"), Against: name("against"), Row: t.line}
	m.LeftMM = t.measured("diameter_left_mm", 0, maxDiameterMM)
	m.DiameterMM = t.measured("diameter_mm", 0, maxDiameterMM)
	m.RightMM = t.measured("diameter_right_mm", 0, maxDiameterMM)
	m.StripeLeftMM = t.measured("stripe_left_mm", -1, maxStripeMM)
	m.StripeMM = t.measured("stripe_mm", -1, maxStripeMM)
	m.StripeRightMM = t.measured("stripe_right_mm", -1, maxStripeMM)
	m.RunOutMM = t.measured("run_out_mm", -1, maxRunOutMM)
	return m
}

// measured is a length in mm above a bound; nil where the cell says nothing.
func (t *table) measured(column string, above, most float64) *float64 {
	if _, there := t.columns[column]; !there || unsaid(t.text(column)) {
		return nil
	}
	text := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(t.text(column))), "mm"))
	v := t.numberIn(column, text)
	if v <= above || v < 0 || v > most {
		t.fail(column, settings.Plain(v)+" is not a length that a roller shows there", fmt.Sprintf("write what was measured in mm, up to %d", int(most)))
	}
	return &v
}

func (m *MeasuredRoller) anyMeasured() bool {
	for _, v := range []*float64{m.LeftMM, m.DiameterMM, m.RightMM, m.StripeLeftMM, m.StripeMM, m.StripeRightMM, m.RunOutMM} {
		if v != nil {
			return true
		}
	}
	return false
}
