package job

import (
	"cmp"

	"bladeline/curves/ink"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// Films are what is asked of inks in place of what the press's file states.
type Films struct {
	UM      []Choice[float64] // film of a solid on the sheet, in um
	GM2     []Choice[float64] // the same in g/m2
	Gravity []Choice[float64] // specific gravity of the ink, in g/cm3
}

// Fill fills in what is known of inks: as asked, else as the press states, which
// may be nil.
func (f Films) Fill(inks []preset.InkInput, press *press.Press) error {
	var names []string
	for _, i := range inks {
		names = append(names, i.Ink)
	}
	um, err := Choose(OfFilmUM, f.UM, names)
	if err != nil {
		return err
	}
	gM2, err := Choose(OfFilmGM2, f.GM2, names)
	if err != nil {
		return err
	}
	gravity, err := Choose(OfGravity, f.Gravity, names)
	if err != nil {
		return err
	}
	for i := range inks {
		if err := fillInk(&inks[i], um, gM2, gravity, press); err != nil {
			return err
		}
	}
	return nil
}

func fillInk(in *preset.InkInput, um, gM2, gravity Chosen[float64], on *press.Press) error {
	var known press.Ink
	if on != nil {
		known, _ = on.Ink(in.Ink)
	}
	filmUM, inUM := um.For(in.Ink)
	filmGM2, inGM2 := gM2.For(in.Ink)
	if inUM && inGM2 {
		return &ChoiceError{Of: OfFilmUM, Ink: in.Ink, code: CodeTwoFilms}
	}
	if !inUM {
		filmUM = known.FilmUM
	}
	asked, _ := gravity.For(in.Ink)
	in.SpecificGravity = cmp.Or(asked, known.SpecificGravity, preset.AssumedGravity)
	if !inGM2 {
		filmGM2 = ink.FilmGM2(filmUM, in.SpecificGravity)
	}
	in.FilmGM2 = filmGM2
	return nil
}

// FormInks are the inks of forms, with the areas of their solids.
func FormInks(forms []*zones.Form) ([]preset.InkInput, error) {
	var inks []preset.InkInput
	for _, f := range forms {
		i, err := preset.InkOf(f)
		if err != nil {
			return nil, err
		}
		inks = append(inks, i)
	}
	return inks, nil
}

// PresetInks are the inks of a preset, which file names, with the areas of their
// solids. Where it states no length that its coverages refer to, lengthMM says
// it, or where that is 0 the press, which may be nil.
func PresetInks(p *preset.Preset, file string, press *press.Press, lengthMM float64) ([]preset.InkInput, error) {
	if lengthMM == 0 && press != nil {
		lengthMM = press.PrintLengthMM
	}
	var inks []preset.InkInput
	for i := range p.Units {
		u := &p.Units[i]
		solid, err := u.SolidM2(file, lengthMM)
		if err != nil {
			return nil, err
		}
		inks = append(inks, preset.InkInput{Ink: u.Ink, File: file, SolidM2: solid})
	}
	return inks, nil
}

// inkLines are what a key sheet says of the ink for a run; nothing of 0 copies.
// file names the preset in errors; it is empty of one that was just made.
func inkLines(p *preset.Preset, file string, press *press.Press, copies int) (map[string][]string, error) {
	if copies == 0 {
		return nil, nil
	}
	inks, err := PresetInks(p, file, press, 0)
	if err == nil {
		err = Films{}.Fill(inks, press)
	}
	if err != nil {
		return nil, err
	}
	return sheet.InkLines(preset.NewEstimate(copies, 0, inks)), nil
}
