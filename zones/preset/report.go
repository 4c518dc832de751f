package preset

import (
	_ "embed"
	"io"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones"
)

// CoverageFormat names the format of a coverage report's JSON.
const CoverageFormat = "bladeline.coverage/1"

// CoverageSchema is the JSON Schema of a coverage report, draft 2020-12.
//
//go:embed coverage.schema.json
var CoverageSchema []byte

// A Report says how much of each separation is covered. What is nil is not
// known.
type Report struct {
	Format      string          `json:"format"`
	Separations []Separation    `json:"separations"`
	Warnings    []zones.Warning `json:"warnings"`
}

// A Separation of a report. Sizes and resolution are of the raster as given,
// before it is turned.
type Separation struct {
	Ink         string         `json:"ink"`
	File        string         `json:"file"`
	Page        int            `json:"page"`     // counted from 1
	Channel     int            `json:"channel"`  // counted from 1
	WidthPX     *int           `json:"width_px"` // nil of a form of several pieces
	HeightPX    *int           `json:"height_px"`
	DPIX        *float64       `json:"dpi_x"`
	DPIY        *float64       `json:"dpi_y"`
	WidthMM     *float64       `json:"width_mm"`
	HeightMM    *float64       `json:"height_mm"`
	CoveragePct float64        `json:"coverage_pct"` // ink over the raster's area
	Zones       []ZoneCoverage `json:"zones"`        // by number; empty: not asked for
}

// ZoneCoverage is the coverage of one zone.
type ZoneCoverage struct {
	Zone        int      `json:"zone"`
	LeftMM      *float64 `json:"left_mm"`
	RightMM     *float64 `json:"right_mm"`
	CoveragePct float64  `json:"coverage_pct"`
}

// NewReport is an empty report.
func NewReport() *Report {
	return &Report{Format: CoverageFormat, Separations: []Separation{}, Warnings: []zones.Warning{}}
}

// Add appends what a form is printed from, with its zones where it has been
// measured in any, and the doubts of reading and of placing it. A form that is not
// laid adds nothing.
func (r *Report) Add(f *zones.Form, zoned []zones.Zone, warnings []zones.Warning) {
	of := f.Source()
	if r == nil || of == (zones.Source{}) {
		return
	}
	s := Separation{
		Ink: of.Ink, File: of.File, Page: of.Page, Channel: of.Channel,
		WidthPX: nilIfZero(of.WidthPX), HeightPX: nilIfZero(of.HeightPX),
		DPIX: nilIfZero(of.DPIX), DPIY: nilIfZero(of.DPIY), WidthMM: nilIfZero(of.WidthMM), HeightMM: nilIfZero(of.HeightMM),
		CoveragePct: f.CoveragePct(), Zones: []ZoneCoverage{},
	}
	for _, z := range zoned {
		s.Zones = append(s.Zones, ZoneCoverage{z.Number, z.LeftMM, z.RightMM, z.CoveragePct})
	}
	r.Separations = append(r.Separations, s)
	r.Warnings = append(append(r.Warnings, f.Doubts()...), warnings...)
}

// nilIfZero is nil for a value that says that it is not known.
func nilIfZero[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

// WriteJSON writes a report as JSON.
func (r *Report) WriteJSON(w io.Writer) error { return writeJSON(w, r) }

// WriteCSV writes a report as CSV after RFC 4180, one row a zone. A separation
// without zones has one row, its zone empty and its own coverage. Texts are
// guarded as in a preset's CSV.
func (r *Report) WriteCSV(w io.Writer) error {
	if r == nil {
		return errNothing
	}
	rows := [][]string{{"ink", "file", "page", "channel", "zone", "left_mm", "right_mm", "coverage_pct"}}
	for _, s := range r.Separations {
		of := []string{guarded(s.Ink), guarded(s.File), strconv.Itoa(s.Page), strconv.Itoa(s.Channel)}
		if len(s.Zones) == 0 {
			rows = append(rows, append(of[:4:4], "", "", "", settings.Shortest(s.CoveragePct)))
		}
		for _, z := range s.Zones {
			rows = append(rows, append(of[:4:4], strconv.Itoa(z.Zone), optional(z.LeftMM), optional(z.RightMM), settings.Shortest(z.CoveragePct)))
		}
	}
	return writeCSV(w, rows)
}
