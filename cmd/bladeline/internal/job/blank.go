package job

import (
	"slices"
	"strings"

	"bladeline/coverage"
)

// processInks are those of which programs that separate write a file each, whether
// they print or not.
var processInks = []string{"Cyan", "Magenta", "Yellow", "Black"}

// Printing leaves aside the separations of process inks that hold no ink, unless
// the command line names their inks, or nothing else is there.
func (r Reading) Printing(maps []*coverage.Map) (printing, blank []*coverage.Map) {
	for _, m := range maps {
		if m.Total() == 0 && isProcess(m.Ink) && !r.names(m.File) {
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
	return slices.ContainsFunc(processInks, func(p string) bool { return strings.EqualFold(p, ink) })
}

// names tells whether the inks of a file are given beside its path.
func (r Reading) names(path string) bool {
	return slices.ContainsFunc(r.Inputs, func(in coverage.Input) bool { return in.Path == path && in.Inks != nil })
}
