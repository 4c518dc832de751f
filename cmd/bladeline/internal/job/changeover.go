package job

import (
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A Change says from which job to which a press is changed over.
type Change struct {
	Last    string           // a file; "" goes from pass to pass of This
	This    string           // a file
	Rest    bool             // keys of either that were not read ran as preset
	Press   string           // of both: a file, or the name of one that ships; "" is the one that ships under the presets' name, if any
	Follows []Choice[string] // inks of Last that stand where inks of This are to run
}

// ChangeOver reads the jobs and works out what becomes of the keys.
func ChangeOver(c Change) (*preset.ChangeOver, error) {
	var on *press.Press
	var err error
	if c.Press != "" {
		if on, _, err = LoadPress(c.Press); err != nil {
			return nil, err
		}
	}
	last, this := preset.Compared{File: c.Last}, preset.Compared{File: c.This}
	if c.Last != "" {
		if last.Preset, err = LoadRun(c.Last, c.Rest); err != nil {
			return nil, err
		}
	}
	if this.Preset, err = LoadRun(c.This, c.Rest); err != nil {
		return nil, err
	}
	if on == nil {
		on = shippedForBoth(last, this)
	}
	follows, err := Choose(OfFollows, c.Follows, unitInks(this.Preset))
	if err != nil {
		return nil, err
	}
	return preset.Change(last, this, follows, on)
}

// shippedForBoth is the press that ships and is that of both jobs, nil where none is.
func shippedForBoth(last, this preset.Compared) *press.Press {
	on, _ := shippedFor(this.Preset, this.File)
	if on != nil && last.Preset != nil && last.Preset.IsFor(on, last.File) != nil {
		return nil
	}
	return on
}
