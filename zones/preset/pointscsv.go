package preset

import (
	"io"

	"bladeline/curves"
	"bladeline/curves/settings"
)

var pointColumns = []string{"coverage_pct", "opening_pct"}

// WritePoints writes a curve's points as CSV after RFC 4180, one row a point:
// coverage_pct,opening_pct.
func WritePoints(w io.Writer, points []curves.Point) error {
	rows := [][]string{pointColumns}
	for _, p := range points {
		rows = append(rows, []string{settings.Shortest(p.CoveragePct), settings.Shortest(p.OpeningPct)})
	}
	return EncodeCSV(w, rows)
}

// ReadPoints reads what WritePoints wrote, also after a spreadsheet had it, as
// ReadCSV does. Whether the points make a curve is not checked. Errors are of
// type *settings.FileError unless r fails.
func ReadPoints(file string, r io.Reader) ([]curves.Point, error) {
	t, err := openTable(file, r, tableKind{of: "a curve", columns: pointColumns})
	if err != nil {
		return nil, err
	}
	var points []curves.Point
	for t.next() {
		points = append(points, curves.Point{CoveragePct: t.number("coverage_pct"), OpeningPct: t.number("opening_pct")})
	}
	if len(points) == 0 {
		t.fail("", "no row of numbers follows the header", "give the CSV of a curve")
	}
	return points, t.err
}
