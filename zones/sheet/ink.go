package sheet

import (
	"fmt"

	"bladeline/zones/preset"
)

// InkLines are what a sheet says of an estimate, by the unit's ink: for
// Options.Inks.
func InkLines(e *preset.Estimate) map[string][]string {
	lines := map[string][]string{}
	for _, i := range e.Inks {
		lines[i.Ink] = []string{
			fmt.Sprintf("%s g for %d sheets (%s to %s g)", preset.Grams(i.RunG.Usual), e.Copies, preset.Grams(i.RunG.Low), preset.Grams(i.RunG.High)),
			fmt.Sprintf("%s g for each further 1000", preset.Grams(i.Per1000G.Usual)),
		}
	}
	return lines
}
