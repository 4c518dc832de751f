package zones

import (
	"fmt"

	"bladeline/curves"
)

// IsOf tells whether a preset is for this press, as far as both say; the error
// says how it is not.
func (p *Press) IsOf(c Compared) error {
	if err := c.Preset.mustBeOf(p, "name the press that it is for"); err != nil {
		return curves.InFile(err, c.File, "")
	}
	return nil
}

// mustBeOf compares all that a preset must share with its press; do is what to
// do where it is another's.
func (p *Preset) mustBeOf(press *Press, do string) error {
	differs := func(place, here, there string) error {
		return &curves.FileError{Place: place, What: fmt.Sprintf("%s is not %s of press %s", here, there, quoted(press.Name)), Do: do}
	}
	switch {
	case p.Press.Name != press.Name:
		return &curves.FileError{Place: "press", What: fmt.Sprintf("it is for %s, not for %s", quoted(p.Press.Name), quoted(press.Name)), Do: do}
	case p.Press.Zones != press.Fountain.Zones:
		return differs("zone", fmt.Sprintf("the last, %d,", p.Press.Zones), fmt.Sprintf("the last, %d,", press.Fountain.Zones))
	case p.Press.KeyUnit != press.Keys.Unit:
		return differs("key_unit", quoted(string(p.Press.KeyUnit)), quoted(string(press.Keys.Unit)))
	case p.Press.SweepUnit != press.Sweep.Unit:
		return differs("sweep_unit", quoted(p.Press.SweepUnit), quoted(press.Sweep.Unit))
	}
	return nil
}
