package preset

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A problem is what makes a preset unusable, and where it stands.
type problem struct {
	unit, key int // indices; -1: not in one
	field     string
	what      string
}

// path is the place in the JSON.
func (f *problem) path() string {
	s := ""
	if f.unit >= 0 {
		s = fmt.Sprintf("units[%d].", f.unit)
	}
	if f.key >= 0 {
		s += fmt.Sprintf("keys[%d].", f.key)
	}
	return s + f.field
}

// inJob is the problem as an error of the job that is being preset.
func (f *problem) inJob(p *Preset) error {
	place := "job " + settings.Quoted(p.Job)
	if f.unit >= 0 {
		place += ", ink " + settings.Quoted(p.Units[f.unit].Ink)
	}
	if f.unit < 0 && f.field == "job" {
		return fmt.Errorf("%s: %s", place, f.what)
	}
	if f.key >= 0 {
		place += fmt.Sprintf(", zone %d", p.Units[f.unit].Keys[f.key].Zone)
	}
	return fmt.Errorf("%s: %s: %s", place, f.field, f.what)
}

var errNoPreset = errors.New("there is no preset; give one")

// Validate tells what is wrong with a preset; one that was made or read here has
// nothing. Errors are of type *settings.FileError, with the path in the JSON as
// the place.
func (p *Preset) Validate() error { return p.validateIn("") }

// validateIn is Validate with a file's name in the error.
func (p *Preset) validateIn(file string) error {
	if p == nil {
		return errNoPreset
	}
	if f := p.validate(); f != nil {
		return &settings.FileError{File: file, Place: f.path(), What: f.what, Do: cureOf(f.what)}
	}
	return nil
}

// validate is the first thing wrong with a preset, nil where nothing is.
func (p *Preset) validate() *problem {
	if field, what := p.validateFields(); what != "" {
		return &problem{-1, -1, field, what}
	}
	if field, what := p.Placement.validate(); what != "" {
		return &problem{-1, -1, "placement." + field, what}
	}
	if field, what := p.Form.validate(); what != "" {
		return &problem{-1, -1, "form." + field, what}
	}
	inks := map[string]bool{}
	for i := range p.Units {
		u := &p.Units[i]
		if field, what := u.validateFields(p.Press.Zones); what != "" {
			return &problem{i, -1, field, what}
		}
		if inks[strings.ToLower(u.Ink)] {
			return &problem{i, -1, "ink", fmt.Sprintf("%s has a unit already; name every ink once", settings.Quoted(u.Ink))}
		}
		inks[strings.ToLower(u.Ink)] = true
		for j := range u.Keys {
			if field, what := u.Keys[j].validate(j + 1); what != "" {
				return &problem{i, j, field, what}
			}
		}
	}
	for i, w := range p.Warnings {
		if what := validateWarning(w, p.Press.Zones); what != "" {
			return &problem{-1, -1, fmt.Sprintf("warnings[%d]", i), what}
		}
	}
	return nil
}

// validateFields checks what a preset states of the job and the press.
func (p *Preset) validateFields() (field, what string) {
	switch on := p.Press; {
	case p.Format != Format:
		return "format", fmt.Sprintf("%s is not %q; give a preset", settings.Quoted(p.Format), Format)
	case !settings.IsLine(p.Job):
		return "job", notLine(p.Job)
	case !settings.IsName(on.Name):
		return "press.name", notLine(on.Name)
	case on.ID != nil && !settings.IsName(*on.ID):
		return "press.id", notLine(*on.ID)
	case p.Paper != nil && !settings.IsName(*p.Paper):
		return "paper", notLine(*p.Paper)
	case p.RunLength != nil && !(*p.RunLength >= 1 && *p.RunLength <= MaxRun):
		return "run_length", fmt.Sprintf("%d is not a number of sheets; a run has 1 to %d", *p.RunLength, MaxRun)
	case p.Date != nil && !IsDate(*p.Date):
		return "date", fmt.Sprintf("%s is not a day; write it like 2026-11-26", settings.Quoted(*p.Date))
	case on.Zones < 1 || on.Zones > press.MaxZones:
		return "press.zones", fmt.Sprintf("%d zones are outside 1 to %d", on.Zones, press.MaxZones)
	case on.ZoneWidthMM != nil && !(*on.ZoneWidthMM > 0 && *on.ZoneWidthMM <= maxMM):
		return "press.zone_width_mm", fmt.Sprintf("%s is not a width", settings.Plain(*on.ZoneWidthMM))
	case on.FirstZone != nil && *on.FirstZone != press.Left && *on.FirstZone != press.Right:
		return "press.first_zone", fmt.Sprintf("%s is neither left nor right", settings.Quoted(string(*on.FirstZone)))
	case on.Blade != nil && *on.Blade != press.Segmented && *on.Blade != press.OnePiece:
		return "press.blade", fmt.Sprintf("%s is neither segmented nor one-piece", settings.Quoted(string(*on.Blade)))
	case on.KeyUnit != press.Percent && on.KeyUnit != press.Notch && on.KeyUnit != press.Turn:
		return "press.key_unit", fmt.Sprintf("%s is not %%, notch or turn", settings.Quoted(string(on.KeyUnit)))
	case on.Clockwise != nil && *on.Clockwise != press.Closes && *on.Clockwise != press.Opens:
		return "press.clockwise", fmt.Sprintf("%s is neither closes nor opens", settings.Quoted(string(*on.Clockwise)))
	case !settings.IsName(on.SweepUnit):
		return "press.sweep_unit", notLine(on.SweepUnit)
	case len(p.Units) == 0:
		return "units", "there are none; a preset has at least one"
	case p.Warnings == nil:
		return "warnings", "the list is missing; write [] where there are none"
	}
	return "", ""
}

// validateFields checks what a unit states beside its keys.
func (u *Unit) validateFields(zoneCount int) (field, what string) {
	switch {
	case !settings.IsName(u.Ink):
		return "ink", notLine(u.Ink)
	case u.Unit != nil && !settings.IsName(*u.Unit):
		return "unit", notLine(*u.Unit)
	case u.Pass != nil && !(*u.Pass >= 1 && *u.Pass <= maxPass):
		return "pass", fmt.Sprintf("%d is not a pass; passes count from 1, up to %d", *u.Pass, maxPass)
	case u.Curve != nil && !settings.IsLine(*u.Curve):
		return "curve", notLine(*u.Curve)
	case u.File != nil && !settings.IsLine(*u.File):
		return "file", notLine(*u.File)
	case u.Page != nil && *u.Page < 1:
		return "page", "pages count from 1"
	case u.Channel != nil && *u.Channel < 1:
		return "channel", "channels count from 1"
	case !curves.IsSweep(u.Sweep):
		return "sweep", notSweep(u.Sweep)
	case u.OKSweep != nil && !curves.IsSweep(*u.OKSweep):
		return "ok_sweep", notSweep(*u.OKSweep)
	case u.SweepChosen != nil && *u.SweepChosen != Given && *u.SweepChosen != Auto:
		return "sweep_chosen", fmt.Sprintf("%s is neither given nor auto", settings.Quoted(*u.SweepChosen))
	case u.Charge != nil && !settings.IsLine(*u.Charge):
		return "charge", notLine(*u.Charge)
	case u.LengthMM != nil && !(*u.LengthMM > 0 && *u.LengthMM <= maxMM):
		return "length_mm", fmt.Sprintf("%s is not a print length", settings.Plain(*u.LengthMM))
	case u.CoveragePct != nil && !inPct(*u.CoveragePct):
		return "coverage_pct", notPct(*u.CoveragePct)
	case u.ByTrain != nil && len(u.ByTrain.FilmOffPct) != zoneCount:
		return "by_train.film_off_pct", fmt.Sprintf("it has %d films where the press has %d zones; every zone has one", len(u.ByTrain.FilmOffPct), zoneCount)
	case u.ByTrain != nil && u.ByTrain.FilmUM != nil && !(*u.ByTrain.FilmUM > 0 && *u.ByTrain.FilmUM <= maxFilmUM):
		return "by_train.film_um", fmt.Sprintf("%s is no film", settings.Plain(*u.ByTrain.FilmUM))
	case len(u.Keys) != zoneCount:
		return "keys", fmt.Sprintf("ink %s has %d keys where the press has %d zones; every zone has one", settings.Quoted(u.Ink), len(u.Keys), zoneCount)
	}
	return "", ""
}

// validate is what is wrong with the key of a zone.
func (k *Key) validate(zone int) (field, what string) {
	read, err := press.ParseKey(k.KeyText)
	switch {
	case k.Zone != zone:
		return "zone", fmt.Sprintf("zone %d stands where zone %d belongs; every zone has one key", k.Zone, zone)
	case (k.LeftMM == nil) != (k.RightMM == nil):
		return "left_mm", "one border of the zone is known and the other is not"
	case k.LeftMM != nil && !(*k.LeftMM < *k.RightMM && math.Abs(*k.LeftMM) <= maxMM && math.Abs(*k.RightMM) <= maxMM):
		return "left_mm", fmt.Sprintf("the zone from %s to %s mm is not the width of a zone", settings.Plain(*k.LeftMM), settings.Plain(*k.RightMM))
	case !inPct(k.CoveragePct):
		return "coverage_pct", notPct(k.CoveragePct)
	case !inPct(k.OpeningPct):
		return "opening_pct", notPct(k.OpeningPct)
	case !(math.Abs(k.Key) <= maxKey):
		return "key", fmt.Sprintf("%s is on no key's scale", settings.Plain(k.Key))
	case k.ShutAt != nil && !(math.Abs(*k.ShutAt) <= maxKey):
		return "shut_at", fmt.Sprintf("%s is on no key's scale", settings.Plain(*k.ShutAt))
	case err != nil:
		return "key_text", err.Error()
	case !sameKey(read, k.Key):
		return "key_text", fmt.Sprintf("%s is not the key, %s; correct one of them", settings.Quoted(k.KeyText), settings.Plain(k.Key))
	}
	switch k.State {
	case curves.Set, curves.Floor, curves.Ceiling, curves.Neighbour, curves.OffSheet:
		return "", ""
	}
	return "state", fmt.Sprintf("%s is not a state of a key", settings.Quoted(string(k.State)))
}

func validateWarning(w zones.Warning, zoneCount int) string {
	switch {
	case !settings.IsLine(w.Ink) || !settings.IsName(w.Code) || !settings.IsName(w.Text):
		return "ink, code and text are single lines, and a warning has a code and a text"
	case w.Zone != nil && (*w.Zone < 1 || *w.Zone > zoneCount):
		return fmt.Sprintf("zone %d is outside 1 to %d", *w.Zone, zoneCount)
	}
	return ""
}

// maxKey is beyond every scale, and small enough for all digits of an eighth.
const maxKey = 1e8

// maxMM is wider than every press. With it, and with the bounds of curves.IsSweep,
// nothing that is reckoned from a preset overflows.
const maxMM = 1e6

// maxFilmUM is thicker than any film on a sheet.
const maxFilmUM = 1000

// MaxRun is more sheets than any run has.
const MaxRun = 1_000_000_000

// maxPass is more than any sheet goes through a press.
const maxPass = 100

// IsDate tells whether a text is a day as a preset states it: 2026-11-26.
func IsDate(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}

func notSweep(v float64) string {
	if v <= 0 {
		return fmt.Sprintf("%s feeds no ink; a sweep is above 0", settings.Plain(v))
	}
	return fmt.Sprintf("%s is on no press's scale", settings.Plain(v))
}

// sameKey tells whether two readings are one setting; a text like "1/3" and a
// number differ in the last digits.
func sameKey(a, b float64) bool { return math.Abs(a-b) <= 1e-6 }

func inPct(v float64) bool    { return v >= 0 && v <= 100 }
func notPct(v float64) string { return fmt.Sprintf("%s is outside 0 to 100", settings.Plain(v)) }

func notLine(s string) string {
	return fmt.Sprintf("%s is not a single line of text; write one, in UTF-8", settings.Quoted(s))
}
