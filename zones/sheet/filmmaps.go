package sheet

import (
	"fmt"

	"bladeline/zones/preset/rehearsal"
)

// Size of the page of a map alone, mm.
const (
	mapWideMM = 260
	mapHighMM = 210
)

// FilmMaps draw the map of each ink alone, for a screen. A rehearsal from the coverages
// of zones alone has none.
func FilmMaps(r *rehearsal.Rehearsal) ([]*Page, error) {
	if r == nil || len(r.Inks) == 0 {
		return nil, errNoRehearsal
	}
	var pages []*Page
	for i := range r.Inks {
		ink := &r.Inks[i]
		if !ink.Layout {
			return nil, fmt.Errorf("ink %s: the coverages of zones alone make no map of the sheet; name the separations", ink.Ink)
		}
		p := &rehearsalPage{Page: &Page{WidthMM: mapWideMM, HeightMM: mapHighMM}, of: r, ink: ink}
		title := "Film on the sheet: " + ink.Ink + ", " + r.Job
		if r.Trend != nil {
			title += " (" + *r.Trend + ")"
		}
		p.Title = shown(title)
		p.text(marginMM, marginMM+5, shortened(p.Title, 13, true, mapWideMM-2*marginMM), 13, true, fromLeft)
		p.text(marginMM, marginMM+11, mapLegend(ink, "")+"; white: no image", 9, false, fromLeft)
		p.sheet(Box{marginMM, marginMM + 15, mapWideMM - marginMM, mapHighMM - marginMM})
		pages = append(pages, p.Page)
	}
	return pages, nil
}
