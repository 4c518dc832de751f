package rollerchart

import (
	_ "embed"
	"io"
	"math"
	"slices"
	"strings"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// Schema is the JSON Schema of a chart, draft 2020-12.
//
//go:embed rollers.schema.json
var Schema []byte

// WriteJSON writes a chart as JSON.
func (c *Chart) WriteJSON(w io.Writer) error { return preset.EncodeJSON(w, c) }

// csvColumns are those of a chart's CSV, one row a roller.
var csvColumns = []string{
	"roller", "kind", "surface", "movement", "stroke_mm", "diameter_mm", "circumference_mm", "stripe_mm", "touches", "x_mm", "y_mm", "repeats_mm", "findings",
}

// WriteCSV writes a chart as CSV after RFC 4180, one row a roller. Of several texts
// or figures in a cell the next stands behind a semicolon. Texts are guarded as in a
// preset's CSV.
func (c *Chart) WriteCSV(w io.Writer) error {
	rows := [][]string{csvColumns}
	for i := range c.Rollers {
		r := &c.Rollers[i]
		surface := ""
		if r.Surface != nil {
			surface = *r.Surface
		}
		var marks, found []string
		for _, v := range r.RepeatsMM {
			marks = append(marks, tenth(v))
		}
		for _, f := range c.Findings {
			if f.Roller == r.Name {
				found = append(found, f.Text+": "+f.Do)
			}
		}
		rows = append(rows, []string{
			preset.Guarded(r.Name), r.Kind, surface, r.movement, known(r.StrokeMM), settings.Shortest(r.DiameterMM), settings.Shortest(r.CircumferenceMM), known(r.StripeMM),
			preset.Guarded(strings.Join(r.Touches, "; ")), settings.Shortest(r.XMM), settings.Shortest(r.YMM), strings.Join(marks, "; "), preset.Guarded(strings.Join(found, "; ")),
		})
	}
	return preset.EncodeCSV(w, rows)
}

// WriteWorksheet writes the CSV that is filled in at the press and read by
// preset.ReadRollers: a row for every roller, and for every stripe of one.
func (c *Chart) WriteWorksheet(w io.Writer) error {
	rows := [][]string{preset.RollerColumns}
	empty := make([]string, len(preset.RollerColumns)-2)
	for _, r := range c.Rollers {
		rows = append(rows, slices.Concat([]string{preset.Guarded(r.Name), ""}, empty))
		for _, p := range c.Stripes() {
			if p.Roller == r.Name {
				rows = append(rows, slices.Concat([]string{preset.Guarded(p.Roller), preset.Guarded(p.Against)}, empty))
			}
		}
	}
	return preset.EncodeCSV(w, rows)
}

func known(v *float64) string {
	if v == nil {
		return ""
	}
	return settings.Shortest(*v)
}

// tenth is a place on a plate, as a rule shows it.
func tenth(v float64) string { return settings.Decimal(math.Round(v*10) / 10) }
