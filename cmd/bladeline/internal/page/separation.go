package page

import "bladeline/coverage"

// separationJSON is what the page shows of a separation; null is not known.
type separationJSON struct {
	ID          string   `json:"id"`
	Ink         string   `json:"ink"`
	Job         string   `json:"job"` // what its file calls it
	File        string   `json:"file"`
	Page        int      `json:"page"`
	Channel     int      `json:"channel"`
	WidthPX     int      `json:"width_px"`
	HeightPX    int      `json:"height_px"`
	DPIX        *float64 `json:"dpi_x"`
	DPIY        *float64 `json:"dpi_y"`
	WidthMM     *float64 `json:"width_mm"`
	HeightMM    *float64 `json:"height_mm"`
	CoveragePct float64  `json:"coverage_pct"`
	Warnings    []string `json:"warnings"`
}

func (sep *separation) json() separationJSON {
	m := sep.Map
	j := separationJSON{
		ID: sep.id, Ink: m.Ink, Job: coverage.JobName([]*coverage.Map{m}), File: m.File, Page: m.Page, Channel: m.Channel,
		WidthPX: m.Width, HeightPX: m.Height, DPIX: orNull(m.DPIX), DPIY: orNull(m.DPIY),
		WidthMM: orNull(m.WidthMM()), HeightMM: orNull(m.HeightMM()),
		CoveragePct: m.CoveragePct(), Warnings: []string{},
	}
	for _, w := range m.Warnings {
		j.Warnings = append(j.Warnings, cures.CuredText(w.Code, w.Text, w))
	}
	return j
}

// orNull is nil of 0, which is not known.
func orNull(v float64) *float64 {
	if v > 0 {
		return &v
	}
	return nil
}
