package preset

import (
	"fmt"
	"math"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// StatedForm is a form of several pieces that no file states: what is needed to lay
// it again. Places are those of the printed sheet in bench view.
type StatedForm struct {
	WidthMM  *float64      `json:"width_mm"` // nil: what the pieces take, with the left margin at the right
	HeightMM *float64      `json:"height_mm"`
	Pieces   []StatedPiece `json:"pieces"`
}

// A StatedPiece is a piece of a StatedForm.
type StatedPiece struct {
	Files  []StatedFile `json:"files"`
	XMM    float64      `json:"x_mm"` // of its corner nearest the lead edge at the left
	YMM    float64      `json:"y_mm"`
	Across int          `json:"across"` // copies side by side, and behind each other
	Along  int          `json:"along"`
	GapXMM float64      `json:"gap_x_mm"` // between copies
	GapYMM float64      `json:"gap_y_mm"`
	DPIX   *float64     `json:"dpi_x"` // px an inch of the rasters as given; nil: as they state themselves
	DPIY   *float64     `json:"dpi_y"`
}

// A StatedFile is a file of separations.
type StatedFile struct {
	File string   `json:"file"`
	Inks []string `json:"inks"` // of its separations, in their order; nil: by their own names
}

// validate is what is wrong with the form; nil has nothing.
func (f *StatedForm) validate() (field, what string) {
	if f == nil {
		return "", ""
	}
	size := func(v *float64) bool { return v == nil || *v >= 1 && *v <= coverage.MaxSheetMM }
	switch {
	case !size(f.WidthMM):
		return "width_mm", notSize(*f.WidthMM)
	case !size(f.HeightMM):
		return "height_mm", notSize(*f.HeightMM)
	case len(f.Pieces) == 0:
		return "pieces", "there are none; a form has at least one"
	}
	copies := 0
	for i := range f.Pieces {
		if field, what := f.Pieces[i].validate(); what != "" {
			return fmt.Sprintf("pieces[%d].%s", i, field), what
		}
		if copies += f.Pieces[i].Across * f.Pieces[i].Along; copies > coverage.MaxPieces {
			return "pieces", fmt.Sprintf("more than %d do not go on one sheet", coverage.MaxPieces)
		}
	}
	return "", ""
}

func (p *StatedPiece) validate() (field, what string) {
	for _, of := range []struct {
		field string
		mm    float64
	}{{"x_mm", p.XMM}, {"y_mm", p.YMM}, {"gap_x_mm", p.GapXMM}, {"gap_y_mm", p.GapYMM}} {
		if !(math.Abs(of.mm) <= coverage.MaxSheetMM) {
			return of.field, notSize(of.mm)
		}
	}
	count := func(n int) bool { return n >= 1 && n <= coverage.MaxPieces }
	switch {
	case len(p.Files) == 0:
		return "files", "there are none; a piece has at least one"
	case !count(p.Across) || !count(p.Along) || int64(p.Across)*int64(p.Along) > coverage.MaxPieces:
		return "across", fmt.Sprintf("%d × %d is not a number of copies; a form has 1 to %d", p.Across, p.Along, coverage.MaxPieces)
	case p.DPIX != nil && !zones.IsResolution(*p.DPIX):
		return "dpi_x", fmt.Sprintf("%s is not the resolution of a plate", settings.Plain(*p.DPIX))
	case p.DPIY != nil && !zones.IsResolution(*p.DPIY):
		return "dpi_y", fmt.Sprintf("%s is not the resolution of a plate", settings.Plain(*p.DPIY))
	}
	for i, f := range p.Files {
		if !settings.IsName(f.File) {
			return fmt.Sprintf("files[%d].file", i), notLine(f.File)
		}
		for _, ink := range f.Inks {
			if !settings.IsName(ink) {
				return fmt.Sprintf("files[%d].inks", i), notLine(ink)
			}
		}
	}
	return "", ""
}

func notSize(mm float64) string {
	return fmt.Sprintf("%s is not a length on a sheet", settings.Plain(mm))
}
