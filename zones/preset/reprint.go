package preset

import (
	"fmt"
	"slices"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A Reprint says how a job that was run is to be printed again.
type Reprint struct {
	File string       // of Run, for errors
	Run  *Preset      // an OK file's
	From *press.Press // that it ran on; nil: all that is known of it stands in Run
	On   *press.Press // that it is to run on

	// Curves and Sweeps are by the units of Run. Without any curve the keys stand as
	// they were run, which takes the same press. A nil sweep is as run on the same
	// press, and chosen on another.
	Curves []*curves.Curve
	Sweeps []*float64

	Stations []press.Station // by the units of Run, where On has units; nil: as they ran
}

// SamePress tells whether a preset is of a press, renamed or not.
func (p *Preset) SamePress(on *press.Press) bool {
	if p == nil || on == nil {
		return false
	}
	return p.Press.is(on.Name, nilIfZero(on.ID))
}

// Preset is what the job is to be set to. On the same press and curve it has the
// keys and the sweep as they were run. On another press its zones' coverages are
// shared out among the zones of that one, centre on centre; through another curve, of
// another paper or press, the opening of a zone is what that curve asks for, times
// what was fed there over what the preset fed. What was carried over is said in the
// reason of the sweep, and warned of where it is a makeshift.
//
// Errors are of type *settings.FileError, or those of New.
func (r Reprint) Preset() (*Preset, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	if len(r.Curves) == 0 {
		return r.asRun()
	}
	var laid []laidUnit
	warnings := []zones.Warning{}
	said := make([]string, len(r.Run.Units))
	for i := range r.Run.Units {
		c, err := r.carried(&r.Run.Units[i])
		if err != nil {
			return nil, settings.InFile(err, r.File, "")
		}
		in := laidUnit{Source: zones.Source{Ink: c.unit.Ink}, LengthMM: c.lengthMM, Zones: c.zones, Factors: c.factors, Curve: r.Curves[i], Sweep: r.sweep(i), Station: r.station(i)}
		said[i] = c.says(r, in.Curve, r.Sweeps[i] == nil)
		laid, warnings = append(laid, in), append(warnings, c.warnings(r)...)
	}
	p, err := newPreset(r.Run.Job, r.On, laid)
	if err != nil {
		return nil, err
	}
	for i := range p.Units {
		u := &p.Units[i]
		u.CoveragePct = r.Run.Units[i].CoveragePct
		if r.Sweeps[i] == nil && r.Run.SamePress(r.On) {
			u.SweepReason = &said[i]
			continue
		}
		u.SweepReason = new(said[i] + "; " + *u.SweepReason)
	}
	p.Warnings = append(warnings, p.Warnings...)
	return p, nil
}

func (r Reprint) check() error {
	if err := r.Run.validateIn(r.File); err != nil {
		return err
	}
	if err := checkPress(r.On); err != nil {
		return err
	}
	if !r.Run.WasRun() {
		return &settings.FileError{File: r.File, Place: "column ok_key", What: "nothing says what was run", Do: "fill it in, or write it with bladeline ok"}
	}
	if r.Run.SamePress(r.On) {
		if err := r.Run.IsFor(r.On, r.File); err != nil {
			return err
		}
	}
	on := r.From
	if on == nil && r.Run.SamePress(r.On) {
		on = r.On
	}
	for i := range r.Run.Units {
		if on == nil {
			break
		}
		if err := r.Run.Units[i].OnScales(r.Run.Units[i].OnPress(on)); err != nil {
			return settings.InFile(err, r.File, "")
		}
	}
	return nil
}

// station is where a unit is printed.
func (r Reprint) station(unit int) press.Station {
	if len(r.Stations) > 0 {
		return r.Stations[unit]
	}
	return press.Station{}
}

// sweep is the sweep that a unit is preset at; nil chooses one.
func (r Reprint) sweep(unit int) *float64 {
	if r.Sweeps[unit] != nil || !r.Run.SamePress(r.On) {
		return r.Sweeps[unit]
	}
	return new(r.Run.Units[unit].SweepRun())
}

// asRun has the keys and sweeps as they were run. What was not read stands as it was
// preset.
func (r Reprint) asRun() (*Preset, error) {
	if !r.Run.SamePress(r.On) {
		return nil, &settings.FileError{File: r.File, Place: "press", What: fmt.Sprintf("it ran on %s, not on %s", settings.Quoted(r.Run.Press.Name), settings.Quoted(r.On.Name)), Do: "give a curve of this one"}
	}
	p := r.Run.AsPreset()
	p.Date, p.RunLength = nil, nil
	p.renamed(r.On)
	p.Press.ZoneWidthMM, p.Press.FirstZone, p.Press.Blade = new(r.On.Fountain.ZoneWidthMM), new(r.On.Fountain.FirstZone), nilIfZero(r.On.Fountain.Blade)
	p.TellTurning(r.On)
	for i := range p.Units {
		u, ran := &p.Units[i], &r.Run.Units[i]
		u.Sweep, u.SweepChosen, u.Charge, u.AsRun = ran.SweepRun(), new(Given), nil, ran.AsRun || ran.WasRun()
		u.SweepReason = new("a reprint: the keys and the sweep as they were run" + r.day())
		if u.AsRun {
			u.ByTrain = nil // films that it foresaw were those of keys as solved
		}
		if !ran.WasRun() {
			u.SweepReason = new("a reprint: the keys and the sweep as they were preset, as nothing says what was run of this ink")
		}
		for j := range u.Keys {
			shut := u.Keys[j].ShutAt
			u.Keys[j] = ran.Keys[j].asRun(ran.OnPress(r.On))
			u.Keys[j].ShutAt = shut
		}
		p.Warnings = append(p.Warnings, ran.unreadWarning()...)
	}
	return p, nil
}

func (r Reprint) day() string {
	if r.Run.Date == nil {
		return ""
	}
	return " on " + *r.Run.Date
}

// asRun is a key that stands as it was run. One that nobody moved keeps its exact
// opening, and what held it.
func (k Key) asRun(on *press.Press) Key {
	moved := k.moved()
	k.Key, k.OKKey = k.printedKey(), nil
	if !moved {
		return k
	}
	k.KeyText, k.OpeningPct = on.Keys.Text(k.Key), min(on.Keys.OpeningPct(k.Zone, k.Key), 100)
	if k.State != curves.OffSheet {
		k.State = curves.Set
	}
	return k
}

// unreadWarning names the keys under the sheet that were not read.
func (u *Unit) unreadWarning() []zones.Warning {
	if !u.WasRun() {
		return []zones.Warning{{Ink: u.Ink, Code: CodeCarried, Text: "nothing says what was run of this ink: its keys are taken as preset"}}
	}
	var unread []int
	for _, k := range u.Keys {
		if k.OKKey == nil && k.State != curves.OffSheet {
			unread = append(unread, k.Zone)
		}
	}
	if len(unread) == 0 {
		return nil
	}
	return []zones.Warning{{Ink: u.Ink, Code: CodeCarried, Text: fmt.Sprintf("%s not read when the job was run: taken as preset", zonesWere(unread))}}
}

// zonesWere begins a sentence of some zones.
func zonesWere(numbers []int) string {
	var keys []Key
	for _, n := range numbers {
		keys = append(keys, Key{Zone: n})
	}
	if len(keys) == 1 {
		return Spans(keys) + " was"
	}
	return Spans(keys) + " were"
}

// farFactors are zones whose correction is more than twice or less than half.
func farFactors(all []zones.Zone, factors []float64) (far []int) {
	for i, f := range factors {
		if all[i].CoveragePct >= printsPct && (f > 2 || f < 0.5) {
			far = append(far, all[i].Number)
		}
	}
	slices.Sort(far)
	return far
}
