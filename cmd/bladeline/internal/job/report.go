package job

import (
	"slices"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// Lay lays separations of different inks on a press, which may be nil.
func Lay(maps []*coverage.Map, press *press.Press, placement zones.Placement) ([]*zones.Form, error) {
	if err := zones.Distinct(maps); err != nil {
		return nil, err
	}
	var forms []*zones.Form
	for _, m := range maps {
		form, err := zones.Lay(m, press, placement)
		if err != nil {
			return nil, err
		}
		forms = append(forms, form)
	}
	return forms, nil
}

// Report is what separations are covered with, and each of their zones: those of
// a press where it is not nil, else inZones equal parts of the raster's width,
// where that is not 0.
func Report(maps []*coverage.Map, press *press.Press, inZones int, placement zones.Placement) (*preset.Report, error) {
	report := preset.NewReport()
	for _, m := range maps {
		form, err := zones.Lay(m, press, placement)
		if err != nil {
			return nil, err
		}
		var zoned []zones.Zone
		var warnings []zones.Warning
		switch {
		case press != nil:
			zoned, warnings, err = form.Zones()
		case inZones > 0:
			zoned, err = form.Split(inZones)
		}
		if err != nil {
			return nil, err
		}
		report.Add(form, zoned, warnings)
	}
	return report, nil
}

// Takes tells whether a form lies on a press's fountain when it is placed so.
func Takes(press *press.Press, maps []*coverage.Map, placement zones.Placement) bool {
	return !slices.ContainsFunc(maps, func(m *coverage.Map) bool {
		form, err := zones.Lay(m, press, placement)
		if err == nil {
			_, _, err = form.Zones()
		}
		return err != nil
	})
}
