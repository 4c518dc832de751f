package zones

import (
	"cmp"
	"fmt"
	"slices"
)

// overlaps are refusals of pieces that lie over each other where none is said to
// overprint, so many of them at most. Less than a pixel is let pass: files round
// resolutions.
func (f *Form) overlaps(all []standing, most int) (faults []error) {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(all[i].leftMM, all[j].leftMM) })
	for n, i := range order {
		for _, j := range order[n+1:] {
			if all[j].leftMM >= all[i].leftMM+all[i].wideMM {
				break
			}
			if err := f.checkOverlap(all, min(i, j), max(i, j)); err != nil {
				if faults = append(faults, err); len(faults) == most {
					return faults
				}
			}
		}
	}
	return faults
}

func (f *Form) checkOverlap(all []standing, i, j int) error {
	a, b := &all[i], &all[j]
	if a.Overprint || b.Overprint {
		return nil
	}
	wide := min(a.leftMM+a.wideMM, b.leftMM+b.wideMM) - max(a.leftMM, b.leftMM)
	long := min(a.leadMM+a.longMM, b.leadMM+b.longMM) - max(a.leadMM, b.leadMM)
	p, q := f.pieces[i], f.pieces[j]
	pixelX := min(p.mmPerPX, q.mmPerPX)
	pixelY := mmPerInch / max(p.along.dpi, q.along.dpi)
	if wide <= pixelX || long <= pixelY {
		return nil
	}
	return inMap(f.sheet.of, fmt.Errorf("%s lies over %s by %s × %s mm; move one of them, crop it, or write overprint = true where their inks print over each other",
		b.name(), a.name(), mmText(wide), mmText(long)))
}

// beyondSheet are refusals of ink beyond the sheet's edges, so many of them at most;
// the form's doubts tell of blank raster there. A pixel that reaches over an edge is
// let pass, as at the fountain's ends.
func (f *Form) beyondSheet(all []standing, most int) (faults []error) {
	var blank []string
	for i := range all {
		c, p := &all[i], f.pieces[i]
		for _, e := range f.overEdges(c, p) {
			if e.overMM <= e.pixelMM {
				continue
			}
			ink := e.overMM - e.bareMM
			if p.columns.total() == 0 || ink <= e.pixelMM {
				blank = append(blank, fmt.Sprintf("%s reaches %s mm beyond the sheet's %s edge, where nothing prints", c.name(), mmText(e.overMM), e.edge))
				continue
			}
			faults = append(faults, inMap(f.sheet.of, fmt.Errorf("ink of %s stands %s mm beyond the sheet's %s edge; move it, crop it, or correct the sheet's size",
				c.name(), mmText(ink), e.edge)))
			if len(faults) == most {
				return faults
			}
		}
	}
	if len(blank) == 0 {
		return faults
	}
	text := blank[0]
	if more := len(blank) - 1; more > 0 {
		text += fmt.Sprintf("; there are %d more such", more)
	}
	f.sheet.doubts = append(f.sheet.doubts, Warning{Ink: f.Ink(), Code: CodeBeyondSheet, Text: text + ": move it, or crop it"})
	return faults
}

// An overEdge is how far a piece reaches over an edge of its sheet, and how much of
// it is bare on that side.
type overEdge struct {
	edge           string
	overMM, bareMM float64
	pixelMM        float64
}

func (f *Form) overEdges(c *standing, p *piece) []overEdge {
	o := f.sheet.outline
	pixelY := mmPerInch / p.along.dpi
	left, right, width := p.columns.first, p.columns.last, float64(p.across.px())
	return []overEdge{
		{"left", -c.leftMM, left * p.mmPerPX, p.mmPerPX},
		{"right", c.leftMM + c.wideMM - o.WidthMM, (width - right) * p.mmPerPX, p.mmPerPX},
		{"gripper", -c.leadMM, p.bareLeadPX * pixelY, pixelY},
		{"tail", c.leadMM + c.longMM - o.LengthMM, (float64(p.along.px()) - p.reachPX) * pixelY, pixelY},
	}
}
