package rehearsal

import (
	_ "embed"
	"io"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// Schema is the JSON Schema of a rehearsal, draft 2020-12.
//
//go:embed rehearsal.schema.json
var Schema []byte

// WriteJSON writes a rehearsal as JSON.
func (r *Rehearsal) WriteJSON(w io.Writer) error { return preset.EncodeJSON(w, r) }

// csvColumns are those of a rehearsal's CSV, one row a zone of an ink.
var csvColumns = []string{
	"job", "press", "trend", "ink", "unit", "sweep", "zone", "coverage_pct", "opening_pct", "prints", "target_um", "film_um", "deviation_pct",
	"lead_um", "middle_um", "tail_um", "swing_pct", "density", "density_lead", "density_middle", "density_tail", "near_after_sheets", "good_after_sheets",
}

// WriteCSV writes the zones as CSV after RFC 4180, one row a zone of an ink. Texts are
// guarded as in a preset's CSV.
func (r *Rehearsal) WriteCSV(w io.Writer) error {
	rows := [][]string{csvColumns}
	for _, ink := range r.Inks {
		for _, z := range ink.Zones {
			rows = append(rows, append([]string{
				preset.Guarded(r.Job), preset.Guarded(r.Press), text(r.Trend), preset.Guarded(ink.Ink), preset.Guarded(text(ink.Unit)), settings.Shortest(ink.Sweep),
				strconv.Itoa(z.Zone), settings.Shortest(z.CoveragePct), settings.Shortest(z.OpeningPct), strconv.FormatBool(z.Prints), settings.Shortest(ink.TargetUM),
			}, z.cells()...))
		}
	}
	return preset.EncodeCSV(w, rows)
}

// cells are what is known of a zone's film.
func (z *Zone) cells() []string {
	var cells []string
	for _, v := range []float64{z.FilmUM, z.DeviationPct, z.LeadUM, z.MiddleUM, z.TailUM, z.SwingPct} {
		cells = append(cells, settings.Shortest(v))
	}
	for _, v := range []*float64{z.Density, z.Lead, z.Middle, z.Tail} {
		cell := ""
		if v != nil {
			cell = settings.Shortest(*v)
		}
		cells = append(cells, cell)
	}
	return append(cells, count(z.NearAfter), count(z.GoodAfter))
}

func text(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func count(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}
