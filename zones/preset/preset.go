package preset

import (
	"errors"
	"fmt"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// Format names the format of a preset's JSON.
const Format = "bladeline.preset/1"

// A Preset says where to set every key for a job, and how far to sweep. What
// is nil is not known: a preset read from CSV knows what its columns state.
type Preset struct {
	Format    string           `json:"format"`
	Job       string           `json:"job"`
	Paper     *string          `json:"paper"`      // the stock, as the shop calls it
	RunLength *int             `json:"run_length"` // sheets of the run
	Date      *string          `json:"date"`       // day of the preset, as 2026-11-26
	Press     StatedPress      `json:"press"`
	Placement *StatedPlacement `json:"placement"`
	Form      *StatedForm      `json:"form,omitempty"` // nil: each unit's file is all of it
	Units     []Unit           `json:"units"`
	Warnings  []zones.Warning  `json:"warnings"`
}

// StatedPress is what a preset states of its press.
type StatedPress struct {
	Name        string        `json:"name"`
	ID          *string       `json:"id"` // stays when a press is renamed
	Zones       int           `json:"zones"`
	ZoneWidthMM *float64      `json:"zone_width_mm"`
	FirstZone   *press.End    `json:"first_zone"` // Left or Right, in bench view
	Blade       *press.Blade  `json:"blade"`
	KeyUnit     press.KeyUnit `json:"key_unit"`
	SweepUnit   string        `json:"sweep_unit"`
	Clockwise   *press.Sense  `json:"clockwise,omitempty"` // nil: as key_unit has it
}

// A Unit is an ink in a printing unit: its sweep and its keys.
type Unit struct {
	Ink         string   `json:"ink"`
	Unit        *string  `json:"unit"` // name of the press's printing unit
	Pass        *int     `json:"pass"` // counted from 1
	File        *string  `json:"file"`
	Page        *int     `json:"page"`    // counted from 1
	Channel     *int     `json:"channel"` // counted from 1
	Curve       *string  `json:"curve"`   // its name
	Sweep       float64  `json:"sweep"`   // in the press's unit of sweep
	SweepChosen *string  `json:"sweep_chosen"`
	SweepReason *string  `json:"sweep_reason"`     // one sentence
	Charge      *string  `json:"charge,omitempty"` // how to ink the rollers first, in one sentence; nil: it is not known, or saves too little
	CoveragePct *float64 `json:"coverage_pct"`     // ink over the raster's area
	LengthMM    *float64 `json:"length_mm"`        // that the keys' coverages refer to
	ByTrain     *ByTrain `json:"by_train,omitempty"`
	AsRun       bool     `json:"as_run,omitempty"` // keys and sweep are those of a run that was passed
	Keys        []Key    `json:"keys"`             // by zone, from 1

	OKSweep *float64 `json:"-"` // what was finally run, from the CSV alone
}

// How a sweep came about.
const (
	Given = "given"
	Auto  = "auto"
)

// A Key is one key's setting.
type Key struct {
	Zone        int          `json:"zone"`
	LeftMM      *float64     `json:"left_mm"` // from the fountain's left end, in bench view
	RightMM     *float64     `json:"right_mm"`
	CoveragePct float64      `json:"coverage_pct"`
	OpeningPct  float64      `json:"opening_pct"` // exact, in % of travel
	Key         float64      `json:"key"`         // as set on the press, in its key unit
	KeyText     string       `json:"key_text"`    // the same as a person reads it
	State       curves.State `json:"state"`
	ShutAt      *float64     `json:"shut_at,omitempty"` // what the key shows when shut; nil: 0

	OKKey *float64 `json:"-"` // what was finally run, in the key unit, from the CSV alone
}

// UnitInput is what a unit is preset from.
type UnitInput struct {
	Form  *zones.Form // laid on the press that is preset
	Curve *curves.Curve
	Sweep *float64 // in the press's unit; nil chooses one

	Station press.Station // where the ink is printed; empty on a press without units
}

// New works out the keys of every unit of a press, and looks at the form
// for what the keys will not cure. takeOffPct, 0 to 100, is the least coverage
// at which a printing zone takes off enough ink; 0 is always enough, and ByKeys is
// what the zone's key can meter.
func New(job string, on *press.Press, units []UnitInput, takeOffPct float64) (*Preset, error) {
	return newBy(job, on, units, takeOffPct, byCurve)
}

func newBy(job string, on *press.Press, units []UnitInput, takeOffPct float64, settle settling) (*Preset, error) {
	if err := checkInput(on, units, takeOffPct); err != nil {
		return nil, err
	}
	var laid []laidUnit
	for _, in := range units {
		u, err := in.laid()
		if err != nil {
			return nil, err
		}
		laid = append(laid, u)
	}
	p, err := newPreset(job, on, laid)
	if err == nil {
		err = settle(p, laid)
	}
	if err != nil {
		return nil, err
	}
	for i := range laid {
		f := inspected{in: &laid[i], unit: &p.Units[i], press: p.Units[i].OnPress(on), form: laid[i].form}
		p.Warnings = append(p.Warnings, f.warnings(takeOffPct)...)
	}
	return p, nil
}

// checkInput refuses what is not there, and forms that lie elsewhere.
func checkInput(on *press.Press, units []UnitInput, takeOffPct float64) error {
	if err := checkPress(on); err != nil {
		return err
	}
	for i, in := range units {
		switch {
		case in.Form == nil:
			return fmt.Errorf("unit %d has no form; lay its separation on the press", i+1)
		case on.InUnit(in.Station.Unit) == nil:
			return fmt.Errorf("ink %s: press %s has no unit %s; name one that it has", in.Form.Ink(), settings.Quoted(on.Name), settings.Quoted(in.Station.Unit))
		case !in.Form.LiesOn(on):
			return fmt.Errorf("ink %s: the form is laid on another press; lay it on this one", in.Form.Ink())
		}
	}
	if takeOffPct != ByKeys && !inPct(takeOffPct) {
		return fmt.Errorf("a take-off of %s %% is outside 0 to 100; correct it", settings.Plain(takeOffPct))
	}
	return nil
}

var errNoPress = errors.New("there is no press; give one")

// checkPress refuses a press that was made by hand and cannot be.
func checkPress(on *press.Press) error {
	if on == nil {
		return errNoPress
	}
	return settings.InFile(on.Validate(), "press", "")
}

// laidUnit is what a form says of its unit, and how the unit is to be preset.
type laidUnit struct {
	zones.Source
	CoveragePct float64
	LengthMM    float64      // that coverages refer to; 0 is not known
	Zones       []zones.Zone // by number
	Warnings    []zones.Warning
	Placement   *zones.Placement // nil is not known; the same for all units
	Curve       *curves.Curve
	Sweep       *float64
	Factors     []float64 // by zone, of what the curve asks for; nil is 1
	Station     press.Station

	form *zones.Form
}

func (in UnitInput) laid() (laidUnit, error) {
	f := in.Form
	zoned, warnings, err := f.Zones()
	return laidUnit{
		Source: f.Source(), CoveragePct: f.CoveragePct(), LengthMM: f.ReferenceMM(), Zones: zoned,
		Warnings: append(f.Doubts(), warnings...), Placement: f.Placement(), Curve: in.Curve, Sweep: in.Sweep, Station: in.Station, form: f,
	}, err
}

func newPreset(job string, on *press.Press, units []laidUnit) (*Preset, error) {
	if len(units) == 0 {
		return nil, fmt.Errorf("job %s has no separations; name at least one", settings.Quoted(job))
	}
	p := &Preset{
		Format: Format,
		Job:    job,
		Press: StatedPress{
			Name: on.Name, ID: nilIfZero(on.ID), Zones: on.Fountain.Zones,
			ZoneWidthMM: new(on.Fountain.ZoneWidthMM), FirstZone: new(on.Fountain.FirstZone), Blade: nilIfZero(on.Fountain.Blade),
			KeyUnit: on.Keys.Unit, SweepUnit: on.Sweep.Unit, Clockwise: nilIfZero(on.Keys.Clockwise),
		},
		Placement: presetPlacement(units[0].Placement),
		Warnings:  []zones.Warning{},
	}
	for _, in := range units {
		on := on.InUnit(in.Station.Unit)
		if err := in.check(on); err != nil {
			return nil, err
		}
		if !sameWay(in.Placement, units[0].Placement) {
			return nil, fmt.Errorf("ink %s lies otherwise on the fountain than ink %s; place all separations of a form alike", in.Ink, units[0].Ink)
		}
		u := presetUnit(in, on)
		p.Units = append(p.Units, u)
		p.Warnings = append(append(p.Warnings, in.Warnings...), offScale(u, on.Keys)...)
	}
	if f := p.validate(); f != nil {
		return nil, f.inJob(p)
	}
	return p, nil
}

func (in laidUnit) check(on *press.Press) error {
	switch {
	case in.Curve == nil:
		return fmt.Errorf("ink %s has no curve; give one", in.Ink)
	case len(in.Zones) != on.Fountain.Zones:
		return fmt.Errorf("ink %s is measured in %d zones, the press has %d; measure it for this press", in.Ink, len(in.Zones), on.Fountain.Zones)
	case in.Sweep != nil && !on.Sweep.OnScale(*in.Sweep):
		s := on.Sweep
		return fmt.Errorf("ink %s: a sweep of %s cannot be set: the press sweeps from %s to %s %s in steps of %s; give one of these, or auto",
			in.Ink, settings.Plain(*in.Sweep), settings.Plain(s.From), settings.Plain(s.To), s.Unit, settings.Plain(s.Step))
	}
	err := in.Curve.Validate()
	if err == nil {
		err = on.Sweep.Takes(in.Curve)
	}
	if err != nil {
		return fmt.Errorf("ink %s: curve %s: %w", in.Ink, in.Curve.Name, err)
	}
	return nil
}

// presetUnit is one unit's settings; in has been checked.
func presetUnit(in laidUnit, on *press.Press) Unit {
	sweep := in.sweep(on)
	u := Unit{
		Ink: in.Ink, Unit: nilIfZero(in.Station.Unit), Pass: nilIfZero(in.Station.Pass), Curve: new(in.Curve.Name),
		Sweep: sweep.Sweep, SweepChosen: new(sweep.chosen),
		CoveragePct: new(in.CoveragePct), LengthMM: nilIfZero(in.LengthMM),
	}
	if in.File != "" {
		u.File = new(in.File)
	}
	if in.Page > 0 {
		u.Page = new(in.Page)
	}
	if in.Channel > 0 {
		u.Channel = new(in.Channel)
	}
	asked, offSheet := make([]float64, len(in.Zones)), make([]bool, len(in.Zones))
	for i, z := range in.Zones {
		asked[i] = curves.OpeningAt(in.asked(i), in.reference(on), u.Sweep)
		offSheet[i] = z.OffSheet
	}
	openings, states := on.Limits.Apply(asked, offSheet)
	for i, z := range in.Zones {
		key := on.Key(z.Number, openings[i], z.OffSheet)
		u.Keys = append(u.Keys, Key{
			Zone: z.Number, LeftMM: z.LeftMM, RightMM: z.RightMM, CoveragePct: z.CoveragePct,
			OpeningPct: openings[i], Key: key, KeyText: on.Keys.Text(key), State: states[i],
			ShutAt: shutAt(on.Keys, z.Number),
		})
	}
	u.SweepReason = new(sweep.reason(in, &u, on))
	return u
}

// asked is the opening that the i-th zone asks for at the curve's reference sweep.
func (in laidUnit) asked(i int) float64 {
	opening := in.Curve.At(in.Zones[i].CoveragePct)
	if in.Factors != nil {
		opening *= in.Factors[i]
	}
	return opening
}

// reference is the sweep that the unit's curve refers to.
func (in laidUnit) reference(on *press.Press) float64 { return on.ReferenceSweep(in.Curve) }

// offScale warns of keys that their own zero would take off the scale.
func offScale(u Unit, s press.KeyScale) []zones.Warning {
	var ws []zones.Warning
	for _, k := range u.Keys {
		if key := s.Key(k.Zone, k.OpeningPct); !s.OnScale(key) {
			text := fmt.Sprintf("the key of zone %d stands at %s, where its scale of 0 to %s ends: because of its own zero it would stand at %s; set that key's zero by hand", k.Zone, k.KeyText, s.Text(s.Travel), s.Text(key))
			ws = append(ws, zones.Warning{Ink: u.Ink, Zone: new(k.Zone), Code: CodeScale, Text: text})
		}
	}
	return ws
}

// Unit finds an ink's unit, be its name written in capitals or not; nil where
// there is none.
func (p *Preset) Unit(name string) *Unit {
	if p == nil {
		return nil
	}
	for i := range p.Units {
		if strings.EqualFold(p.Units[i].Ink, name) {
			return &p.Units[i]
		}
	}
	return nil
}

// FirstZone is the end where zone 1 is: as the preset says, else as the zones'
// places say; "" is not known.
func (p *Preset) FirstZone() press.End {
	switch {
	case p == nil:
		return ""
	case p.Press.FirstZone != nil:
		return *p.Press.FirstZone
	case len(p.Units) == 0 || len(p.Units[0].Keys) == 0:
		return ""
	}
	keys := p.Units[0].Keys
	first, last := keys[0].LeftMM, keys[len(keys)-1].LeftMM
	switch {
	case first == nil || last == nil || *first == *last:
		return ""
	case *first < *last:
		return press.Left
	}
	return press.Right
}
