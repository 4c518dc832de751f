package history

import (
	_ "embed"
	"io"
	"strconv"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// Schema is the JSON Schema of a history, draft 2020-12.
//
//go:embed history.schema.json
var Schema []byte

// WriteJSON writes a history as JSON.
func (h *History) WriteJSON(w io.Writer) error { return preset.EncodeJSON(w, h) }

// csvColumns are those of a history's CSV, one row an ink of a job.
var csvColumns = []string{
	"date", "date_from", "file", "job", "press", "paper", "ink", "unit", "sweep", "ok_sweep", "read", "within_step_pct", "within_feed_pct", "fuller_pct",
}

// WriteCSV writes the jobs as CSV after RFC 4180, one row an ink of a job. Texts
// are guarded as in a preset's CSV.
func (h *History) WriteCSV(w io.Writer) error {
	rows := [][]string{csvColumns}
	for _, j := range h.Jobs {
		for _, u := range j.Units {
			rows = append(rows, []string{
				j.Date, string(j.DayOf), preset.Guarded(j.File), preset.Guarded(j.Job), preset.Guarded(j.Press), preset.Guarded(stated(j.Paper)),
				preset.Guarded(u.Ink), preset.Guarded(stated(u.Unit)), settings.Shortest(u.Sweep), settings.Shortest(u.OKSweep), strconv.Itoa(u.Read),
				shortest(u.WithinStepPct), shortest(u.WithinFeedPct), shortest(u.FullerPct),
			})
		}
	}
	return preset.EncodeCSV(w, rows)
}

func shortest(v *float64) string {
	if v == nil {
		return ""
	}
	return settings.Shortest(*v)
}
