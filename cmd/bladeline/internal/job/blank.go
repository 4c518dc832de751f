package job

import (
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
	"bladeline/zones"
)

// Printing leaves aside the separations of process inks that hold no ink, of which
// programs that separate write a file each whether they print or not, unless
// their inks are named, on the command line or one by one in a form's file, or nothing
// else is there.
func (r Reading) Printing(maps []*coverage.Map) (printing, blank []*coverage.Map) {
	for _, m := range maps {
		if m.Total() == 0 && isProcess(m.Ink) && !r.names(m) {
			blank = append(blank, m)
		} else {
			printing = append(printing, m)
		}
	}
	if len(printing) == 0 {
		return maps, nil
	}
	return printing, blank
}

func isProcess(ink string) bool {
	return slices.ContainsFunc(ghostscript.ProcessInks, func(p string) bool { return strings.EqualFold(p, ink) })
}

// names tells whether the ink of a separation is given beside its file's path, or, in a
// form's file, beside that of a piece's separation.
func (r Reading) names(m *coverage.Map) bool {
	if m.Sheet != nil && zones.IsForm(m.File) {
		form, err := LoadForm(m.File)
		return err == nil && form.names(m.Ink)
	}
	return slices.ContainsFunc(r.Inputs, func(in coverage.Input) bool { return in.Path == m.File && in.Inks != nil })
}

func (f *Form) names(ink string) bool {
	return slices.ContainsFunc(f.Pieces, func(p FormPiece) bool {
		return slices.ContainsFunc(p.Sources, func(s Source) bool { return strings.EqualFold(s.Ink, ink) })
	})
}
