package zones

import (
	"fmt"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
)

// Wanted is a separation and how its unit is to be preset.
type Wanted struct {
	Map   *coverage.Map
	Curve *curves.Curve
	Sweep *float64 // in the press's unit; nil chooses one
}

// PresetForm lays the separations of a form on the fountain of a press, works
// out the keys of every unit, and inspects the form. takeOffPct is that of
// Inspect.
func PresetForm(job string, press *Press, at Placement, separations []Wanted, takeOffPct float64) (*Preset, error) {
	var units []UnitInput
	for _, s := range separations {
		zoned, warnings, err := Place(s.Map, press, at)
		if err != nil {
			return nil, err
		}
		u := NewUnitInput(s.Map, zoned, warnings)
		u.Placement, u.Curve, u.Sweep = &at, s.Curve, s.Sweep
		units = append(units, u)
	}
	p, err := NewPreset(job, press, units)
	if err != nil {
		return nil, err
	}
	return p, p.Inspect(press, units, takeOffPct)
}

// Distinct refuses two separations of one ink.
func Distinct(maps []*coverage.Map) error {
	for i, m := range maps {
		for _, earlier := range maps[:i] {
			if strings.EqualFold(m.Ink, earlier.Ink) {
				return fmt.Errorf("%s: is the ink %s, and so is %s; name them apart as INK=FILE", place(m), m.Ink, place(earlier))
			}
		}
	}
	return nil
}

// place is where a separation stands: files of one page need no more than
// their names.
func place(m *coverage.Map) string {
	if m.Page > 1 {
		return fmt.Sprintf("%s: page %d", m.File, m.Page)
	}
	return m.File
}
