package press

import "errors"

var errNoPress = errors.New("there is no press; give one")

// Validate tells what is wrong with a press, by the rules of its file; whether its
// train can lie so, rollers.Lay tells. Errors are of type *settings.FileError, with
// the name of the file's key as the place.
func (p *Press) Validate() error {
	if p == nil {
		return errNoPress
	}
	r := rules{}
	p.raw().press(&r)
	return r.err
}

// Validate tells what is wrong with a fountain, as Press.Validate does.
func (f Fountain) Validate() error {
	r := rules{}
	f.raw().fountain(&r)
	return r.err
}

// raw is the press as a file would state it.
func (p *Press) raw() pressFile {
	raw := pressFile{
		Name: p.Name, ID: nilIfZero(p.ID), PrintLengthMM: nilIfZero(p.PrintLengthMM), Fountain: p.Fountain.raw(),
		Keys: keysFile{
			Unit: string(p.Keys.Unit), Travel: &p.Keys.Travel, Step: &p.Keys.Step,
			FloorPct: &p.Limits.FloorPct, CeilingPct: &p.Limits.CeilingPct, OffSheetPct: &p.Limits.OffSheetPct,
			Zero: p.Keys.Zero, ZeroByHand: p.Keys.ZeroByHand,
		},
		Sweep: sweepFile{
			Unit: p.Sweep.Unit, From: &p.Sweep.From, To: &p.Sweep.To, Step: &p.Sweep.Step, Reference: &p.Sweep.Reference,
			WorkingFrom: nilIfZero(p.Sweep.WorkingFrom), WorkingTo: nilIfZero(p.Sweep.WorkingTo),
		},
		Inks: map[string]inkFile{}, Train: rawTrain(p.Train),
	}
	raw.Fountain.NeighbourLimitPct = nilIfZero(p.Limits.NeighbourPct)
	raw.Curves = CurveFiles{p.DefaultCurve, p.Curves}.raw()
	for paper, files := range p.ByPaper {
		raw.Curves[paper] = files.raw()
	}
	for _, u := range p.Units {
		raw.Units = append(raw.Units, u.raw())
	}
	for name, ink := range p.Inks {
		raw.Inks[name] = inkFile{nilIfZero(ink.TargetDensity), nilIfZero(ink.DensityLimit), nilIfZero(ink.DensityRatePerUM), nilIfZero(ink.FilmUM), nilIfZero(ink.SpecificGravity)}
	}
	return raw
}

func (f Fountain) raw() fountainFile {
	return fountainFile{Zones: &f.Zones, ZoneWidthMM: &f.ZoneWidthMM, FirstZone: string(f.FirstZone), Blade: string(f.Blade)}
}

// nilIfZero is nil for 0 or an empty text, which a file leaves out.
func nilIfZero[V comparable](v V) *V {
	var zero V
	if v == zero {
		return nil
	}
	return &v
}
