package preset

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A Corrected preset has new keys, by the densities of a pulled sheet.
type Corrected struct {
	Preset *Preset
	Units  []CorrectedUnit // as in the preset

	printed Compared // what the sheet was printed with
}

// A CorrectedUnit is what became of an ink. One that was not measured has no
// correction but by the limits.
type CorrectedUnit struct {
	Ink      string
	Measured bool
	Options  ink.CorrectOptions // where it was measured
	Keys     []CorrectedKey
}

// A CorrectedKey is what became of a key.
type CorrectedKey struct {
	Zone    int
	Was     float64  // the key as it stood, in the key unit
	Density *float64 // nil: not measured
	ink.Correction
}

// Correct sets a preset's keys anew by the densities that its inks had on a
// sheet. The sheet was printed with ok_key and ok_sweep, where the preset has
// them, and with the preset's own keys and sweep elsewhere. The sweep stays;
// openings are corrected as ink.Correct says, by a step at least where the whole
// correction earns one, and then held within the press's limits and put on its
// key scale, as in any preset. Zones without a
// density keep their keys, as far as the limits let them.
//
// options says what a measured ink is corrected to. file and densityFile stand
// in errors, which are options' own or of type *settings.FileError.
func (p *Preset) Correct(file string, on *press.Press, densityFile string, densities []SolidDensity, options func(name string) (ink.CorrectOptions, error)) (*Corrected, error) {
	if err := p.IsFor(on, file); err != nil {
		return nil, err
	}
	if options == nil {
		return nil, errors.New("there is nothing that says what the inks are corrected to")
	}
	measured := map[string][]float64{}
	for _, d := range densities {
		if what, column := p.unmeasurable(d); what != "" {
			return nil, &settings.FileError{File: densityFile, Place: fmt.Sprintf("row %d, column %s", d.Row, column), What: what, Do: "correct it, or leave the row out"}
		}
		name := strings.ToLower(d.Ink)
		if measured[name] == nil {
			measured[name] = unmeasured(on.Fountain.Zones)
		}
		measured[name][d.Zone-1] = d.Density
	}
	c := &Corrected{Preset: p.emptied(measured), printed: Compared{file, p}}
	c.Preset.renamed(on)
	for i := range p.Units {
		u := &p.Units[i]
		on := u.OnPress(on)
		if err := u.OnScales(on); err != nil {
			return nil, settings.InFile(err, file, "")
		}
		var o ink.CorrectOptions
		densities := measured[strings.ToLower(u.Ink)]
		if densities != nil {
			var err error
			if o, err = options(u.Ink); err != nil {
				return nil, err
			}
		}
		if err := c.correct(u, on, densities, o); err != nil {
			return nil, &settings.FileError{Place: "ink " + settings.Quoted(u.Ink), What: err.Error()}
		}
	}
	return c, nil
}

// unmeasurable says why a density cannot be of this preset, and in what column.
func (p *Preset) unmeasurable(d SolidDensity) (what, column string) {
	u := p.Unit(d.Ink)
	switch {
	case u == nil:
		return fmt.Sprintf("the preset has no ink %s, only %s", settings.Quoted(d.Ink), p.inks()), "ink"
	case d.Zone < 1 || d.Zone > len(u.Keys):
		return fmt.Sprintf("zone %d is not one of the preset's %d", d.Zone, len(u.Keys)), "zone"
	case u.Keys[d.Zone-1].State == curves.OffSheet:
		return fmt.Sprintf("zone %d lies off the sheet, where nothing can be measured", d.Zone), "zone"
	}
	return "", ""
}

func unmeasured(n int) []float64 {
	ds := make([]float64, n)
	for i := range ds {
		ds[i] = math.NaN()
	}
	return ds
}

// emptied is a preset's head, without units. Warnings of keys that are set
// anew go: those of inks that were measured, and of all inks those that are
// looked for again.
func (p *Preset) emptied(measured map[string][]float64) *Preset {
	q := *p
	q.Units, q.Warnings = nil, []zones.Warning{}
	for _, w := range p.Warnings {
		switch w.Code {
		case CodeScale:
			continue
		case CodeCeiling, CodeFloor, CodeNeighbours, CodeUncured:
			if measured[strings.ToLower(w.Ink)] != nil {
				continue
			}
		}
		q.Warnings = append(q.Warnings, w)
	}
	return &q
}

// correct adds a unit; without densities it was not measured.
func (c *Corrected) correct(u *Unit, on *press.Press, densities []float64, o ink.CorrectOptions) error {
	unit := CorrectedUnit{Ink: u.Ink, Measured: densities != nil, Options: o}
	printed := make([]float64, len(u.Keys))
	for i, k := range u.Keys {
		printed[i] = k.printedOpening(on.Keys)
	}
	var corrections []ink.Correction
	if !unit.Measured {
		densities = unmeasured(len(u.Keys))
		for _, opening := range printed {
			corrections = append(corrections, ink.Correction{OpeningPct: opening, FilmRatio: 1, Note: ink.Unmeasured})
		}
	} else {
		var err error
		if corrections, err = ink.Correct(printed, densities, o); err != nil {
			return err
		}
		for i, k := range u.Keys {
			corrections[i] = k.byStep(on.Keys, printed[i], corrections[i])
		}
	}
	for i, k := range u.Keys {
		key := CorrectedKey{Zone: k.Zone, Was: k.printedKey(), Correction: corrections[i]}
		if !math.IsNaN(densities[i]) {
			key.Density = &densities[i]
		}
		unit.Keys = append(unit.Keys, key)
	}
	set := u.reset(on, corrections)
	c.Units = append(c.Units, unit)
	c.Preset.Units = append(c.Preset.Units, set)
	c.Preset.Warnings = append(append(c.Preset.Warnings, unit.warnings(u)...), offScale(set, on.Keys)...)
	return nil
}

// printedKey is the key that a sheet was printed with.
func (k Key) printedKey() float64 {
	if k.OKKey != nil {
		return *k.OKKey
	}
	return k.Key
}

// moved tells whether the operator set a key otherwise than the preset says.
func (k Key) moved() bool { return !sameKey(k.printedKey(), k.Key) }

// printedOpening is the opening that a sheet was printed with, in % of travel: that of
// the key on its step, not the exact one.
func (k Key) printedOpening(scale press.KeyScale) float64 {
	return min(max(0, scale.Opening(k.Zone, k.printedKey())), 100)
}

// reset is the unit with corrected keys. A key that was neither measured nor
// moved keeps its exact opening, and what held it.
func (u *Unit) reset(on *press.Press, corrections []ink.Correction) Unit {
	set := *u
	set.Keys, set.OKSweep, set.Sweep, set.Charge, set.ByTrain, set.AsRun = nil, nil, u.SweepRun(), nil, nil, false
	set.SweepChosen = new(Given)
	set.SweepReason = new(fmt.Sprintf("%s was run when the sheet was pulled that the keys are corrected by", press.Amount(set.Sweep, on.Sweep.Unit)))
	asked, offSheet := make([]float64, len(u.Keys)), make([]bool, len(u.Keys))
	kept := func(i int) bool { return corrections[i].Note == ink.Unmeasured && !u.Keys[i].moved() }
	for i, k := range u.Keys {
		asked[i], offSheet[i] = corrections[i].OpeningPct, k.State == curves.OffSheet
		if kept(i) {
			asked[i] = k.OpeningPct
		}
	}
	openings, states := on.Limits.Apply(asked, offSheet)
	for i, k := range u.Keys {
		if states[i] == curves.OffSheet && kept(i) { // solved on a train it need not stand where the press's do
			openings[i] = k.OpeningPct
		}
		k.OpeningPct, k.OKKey = openings[i], nil
		if !kept(i) || states[i] != curves.Set {
			k.State = states[i]
		}
		k.Key = on.Key(k.Zone, openings[i], offSheet[i])
		k.KeyText = on.Keys.Text(k.Key)
		k.ShutAt = shutAt(on.Keys, k.Zone)
		set.Keys = append(set.Keys, k)
	}
	return set
}

// warnings say what could not be corrected as measured.
func (c *CorrectedUnit) warnings(u *Unit) []zones.Warning {
	if !c.Measured {
		return []zones.Warning{{Ink: c.Ink, Code: CodeDensity, Text: "no density was measured, so its keys stay"}}
	}
	var ws []zones.Warning
	var unread []string
	for i, k := range c.Keys {
		text := ""
		switch k.Note {
		case ink.Unmeasured:
			if u.Keys[i].State != curves.OffSheet {
				unread = append(unread, fmt.Sprint(k.Zone))
			}
			continue
		case ink.AtLimit:
			text = fmt.Sprintf("a density of %s is at the ink's limit, %s, where films of any thickness measure alike: it is taken as 98 %% of that; measure again after the correction", settings.Plain(*k.Density), settings.Plain(c.Options.Limit))
		case ink.LimitedRatio:
			text = fmt.Sprintf("a density of %s is so far from %s that it would take more than twice or less than half the film; the correction stops there: check that a solid was measured", settings.Plain(*k.Density), settings.Plain(c.Options.Target))
		case ink.Closed:
			text = fmt.Sprintf("a density of %s is too low, and the key is closed, so that no factor opens it; open it by hand", settings.Plain(*k.Density))
		default:
			continue
		}
		ws = append(ws, zones.Warning{Ink: c.Ink, Zone: new(k.Zone), Code: CodeDensity, Text: text})
	}
	if len(unread) > 0 {
		ws = append(ws, zones.Warning{Ink: c.Ink, Code: CodeDensity, Text: "not measured in zones " + strings.Join(unread, ", ") + ", whose keys stay"})
	}
	return append(ws, c.betweenSteps()...)
}
