package preset

import (
	"cmp"
	"fmt"
	"slices"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Change says how the keys go from where last left them to where this has them,
// in every printing unit, and then from pass to pass of this. Both are taken as
// they were finally run, where they are OK files, and as they were preset else.
// What stands in a unit after a job is what ran there in its last pass.
//
// Where last.Preset is nil nothing stands but the first pass of this.
//
// An ink of the first pass goes where follows says, by the ink of this the ink of
// last that stands there; else into the unit that both jobs name; else, where one
// of them names none, to where the same ink stands, and what is then left one
// after the other.
//
// on, which may be nil, is the press of both. With it keys that were run are held
// against its scale, and it is said in how many rounds one blade is bent.
//
// Errors are of type *settings.FileError.
func Change(last, this Compared, follows map[string]string, on *press.Press) (*ChangeOver, error) {
	if this.Preset == nil {
		return nil, errNoPreset
	}
	c := changer{last: last, this: this, on: on}
	if err := c.check(); err != nil {
		return nil, err
	}
	stand, passes, err := c.begin()
	if err != nil {
		return nil, err
	}
	result := c.head()
	if err := c.onlyFirst(follows, passes[0]); err != nil {
		return nil, err
	}
	for i, pass := range passes {
		if i > 0 {
			follows = nil // they are of the job before
		}
		step, err := c.step(stand, pass, follows)
		if err != nil {
			return nil, err
		}
		result.Steps = append(result.Steps, step)
	}
	return result, nil
}

// changer works a change-over out.
type changer struct {
	last, this Compared
	on         *press.Press
}

// check refuses jobs that cannot follow each other.
func (c changer) check() error {
	for _, side := range []Compared{c.last, c.this} {
		if side.Preset == nil {
			continue
		}
		err := side.Preset.validateIn(side.File)
		if err == nil && c.on != nil {
			err = side.Preset.IsFor(c.on, side.File)
		}
		if err != nil {
			return err
		}
		for i := range side.Preset.Units {
			u := &side.Preset.Units[i]
			ran := comparer{a: side, b: side, press: u.OnPress(c.on)}
			if err := ran.settable(u); err != nil {
				return settings.InFile(err, side.File, "")
			}
		}
	}
	if c.last.Preset == nil {
		return nil
	}
	return c.otherPress()
}

// otherPress says what shows that the two are of different presses.
func (c changer) otherPress() error {
	last, this := c.last.Preset.Press, c.this.Preset.Press
	differs := func(place string, here, there any) error {
		return &settings.FileError{
			File: c.this.File, Place: place, What: fmt.Sprintf("%v here, and %v in %s", here, there, c.last.File),
			Do: "name two jobs of one press",
		}
	}
	switch {
	case last.ID != nil && this.ID != nil && *last.ID != *this.ID:
		return differs("press_id", settings.Quoted(*this.ID), settings.Quoted(*last.ID))
	case (last.ID == nil || this.ID == nil) && last.Name != this.Name:
		return differs("press", settings.Quoted(this.Name), settings.Quoted(last.Name))
	case last.Zones != this.Zones:
		return differs("zones", this.Zones, last.Zones)
	case last.KeyUnit != this.KeyUnit:
		return differs("key_unit", this.KeyUnit, last.KeyUnit)
	case last.SweepUnit != this.SweepUnit:
		return differs("sweep_unit", settings.Quoted(this.SweepUnit), settings.Quoted(last.SweepUnit))
	case last.ZoneWidthMM != nil && this.ZoneWidthMM != nil && !near(*last.ZoneWidthMM, *this.ZoneWidthMM):
		return differs("zone_width_mm", settings.Plain(*this.ZoneWidthMM), settings.Plain(*last.ZoneWidthMM))
	}
	first, here := c.last.Preset.FirstZone(), c.this.Preset.FirstZone()
	if first != "" && here != "" && first != here {
		return differs("first_zone", settings.Quoted(string(here)), settings.Quoted(string(first)))
	}
	return nil
}

// head is what is said of the two jobs.
func (c changer) head() *ChangeOver {
	result := &ChangeOver{
		Format: ChangeFormat, This: c.this.File, ThisJob: c.this.Preset.Job, ThisWasRun: c.this.Preset.WasRun(),
		Press: c.this.Preset.Press, Steps: []ChangeStep{},
	}
	if last := c.last.Preset; last != nil {
		result.Last, result.LastJob, result.LastWasRun = &c.last.File, &last.Job, last.WasRun()
	}
	c.complete(&result.Press)
	result.StatesShut = c.statesShut()
	return result
}

// statesShut tells whether one of the jobs, or the press in one of their units,
// says that keys are shut elsewhere than at 0.
func (c changer) statesShut() bool {
	for _, side := range []*Preset{c.last.Preset, c.this.Preset} {
		if side == nil {
			continue
		}
		offZero := func(u Unit) bool { return c.on != nil && !u.OnPress(c.on).Keys.CountsFromShut() }
		if side.StatesShut() || slices.ContainsFunc(side.Units, offZero) {
			return true
		}
	}
	return false
}

// complete adds what this, which may be a CSV, does not state of the press, and the
// last job or the press does.
func (c changer) complete(on *StatedPress) {
	end := c.this.Preset.FirstZone()
	if last := c.last.Preset; last != nil {
		end = cmp.Or(end, last.FirstZone())
		on.Blade = cmp.Or(on.Blade, last.Press.Blade)
		on.ZoneWidthMM = cmp.Or(on.ZoneWidthMM, last.Press.ZoneWidthMM)
		on.Clockwise = cmp.Or(on.Clockwise, last.Press.Clockwise)
	}
	if c.on != nil {
		end = cmp.Or(end, c.on.Fountain.FirstZone)
		on.Blade = cmp.Or(on.Blade, &c.on.Fountain.Blade)
		on.Clockwise = cmp.Or(on.Clockwise, nilIfZero(c.on.Keys.Clockwise))
	}
	on.FirstZone = nilIfZero(end)
}

// sense is what turning a screw of the press clockwise does.
func (c changer) sense() press.Sense {
	on := c.this.Preset.Press
	c.complete(&on)
	return on.Sense()
}

// begin is what stands at first, and the passes that come.
func (c changer) begin() (*standing, [][]*Unit, error) {
	passes := c.this.Preset.passes()
	if c.last.Preset != nil {
		stand := &standing{}
		for _, pass := range c.last.Preset.passes() {
			stand.ran(pass)
		}
		return stand, passes, nil
	}
	if len(passes) == 1 {
		return nil, nil, &settings.FileError{File: c.this.File, What: "runs in a single pass, so nothing changes from pass to pass", Do: "name two jobs, the one that ran before and then this one"}
	}
	stand := &standing{}
	stand.ran(passes[0])
	stand.ours = slices.Clone(stand.units)
	return stand, passes[1:], nil
}

// onlyFirst refuses inks that are to follow those of the last job and run in a
// later pass.
func (c changer) onlyFirst(follows map[string]string, first []*Unit) error {
	for _, u := range c.this.Preset.Units {
		runs := func(of *Unit) bool { return of.Ink == u.Ink }
		if _, asked := follows[u.Ink]; asked && !slices.ContainsFunc(first, runs) {
			return &settings.FileError{
				File: c.this.File, Place: "ink " + settings.Quoted(u.Ink),
				What: "does not run in the first pass, which alone follows another job", Do: "leave it out, or correct its pass",
			}
		}
	}
	return nil
}

// step is what is done before a pass, after which its units stand.
func (c changer) step(stand *standing, pass []*Unit, follows map[string]string) (ChangeStep, error) {
	matches, err := stand.match(pass, follows)
	if err != nil {
		return ChangeStep{}, settings.InFile(err, c.last.File, "")
	}
	step := ChangeStep{Pass: pass[0].Pass, Units: []UnitChange{}, Idle: stand.idle(matches)}
	for i, u := range pass {
		change := c.unit(matches[i].before, u)
		if matches[i].by != "" {
			change.MatchedBy = new(matches[i].by)
		}
		if before := matches[i].before; slices.Contains(stand.ours, before) {
			change.PassWas = new(before.pass())
		}
		change.InkStandsIn = stand.elsewhere(u.Ink, matches[i].before)
		step.Units = append(step.Units, change)
	}
	stand.take(pass, matches)
	return step, nil
}

// Changes are what is done in every unit that was measured, from what the sheet
// was printed with to what it is corrected to; on is the press.
// Of nothing that was corrected there are none.
func (c *Corrected) Changes(on *press.Press) *ChangeOver {
	if c == nil || c.Preset == nil || c.printed.Preset == nil {
		return nil
	}
	to := changer{last: c.printed, this: Compared{c.printed.File, c.Preset}, on: on}
	result := to.head()
	step := ChangeStep{Units: []UnitChange{}, Idle: []IdleUnit{}}
	for i := range c.Units {
		if c.Units[i].Measured {
			step.Units = append(step.Units, to.unit(&c.printed.Preset.Units[i], &c.Preset.Units[i]))
		}
	}
	result.Steps = append(result.Steps, step)
	return result
}
