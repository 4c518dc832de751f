package press

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"bladeline/curves"
	"bladeline/curves/settings"
)

// pressFile is a press as its file states it; nil is absent.
type pressFile struct {
	Name          string             `toml:"name"`
	ID            *string            `toml:"id"`
	PrintLengthMM *float64           `toml:"print_length_mm"`
	Fountain      fountainFile       `toml:"fountain"`
	Keys          keysFile           `toml:"keys"`
	Sweep         sweepFile          `toml:"sweep"`
	Curves        map[string]any     `toml:"curves"` // a file, or a table of files for a paper
	Units         []unitFile         `toml:"units"`
	Inks          map[string]inkFile `toml:"inks"`
	Train         *trainFile         `toml:"train"`
}

type fountainFile struct {
	Zones             *int     `toml:"zones"`
	ZoneWidthMM       *float64 `toml:"zone_width_mm"`
	FirstZone         string   `toml:"first_zone"`
	Blade             string   `toml:"blade"`
	NeighbourLimitPct *float64 `toml:"neighbour_limit_pct"`
}

type keysFile struct {
	Unit        string    `toml:"unit"`
	Travel      *float64  `toml:"travel"`
	Step        *float64  `toml:"step"`
	FloorPct    *float64  `toml:"floor_pct"`
	CeilingPct  *float64  `toml:"ceiling_pct"`
	OffSheetPct *float64  `toml:"off_sheet_pct"`
	Zero        []float64 `toml:"zero"`
	ZeroByHand  []float64 `toml:"zero_by_hand"`
	Clockwise   string    `toml:"clockwise"`
}

type sweepFile struct {
	Unit      string   `toml:"unit"`
	From      *float64 `toml:"from"`
	To        *float64 `toml:"to"`
	Step      *float64 `toml:"step"`
	Reference *float64 `toml:"reference"`

	WorkingFrom *float64 `toml:"working_from"`
	WorkingTo   *float64 `toml:"working_to"`
}

type inkFile struct {
	TargetDensity    *float64 `toml:"target_density"`
	DensityLimit     *float64 `toml:"density_limit"`
	DensityRatePerUM *float64 `toml:"density_rate_per_um"`
	FilmUM           *float64 `toml:"film_um"`
	SpecificGravity  *float64 `toml:"specific_gravity"`
}

// MaxZones is the most keys that a fountain has.
const MaxZones = 200

// Parse reads a press from TOML. Required are name, zones, zone_width_mm,
// first_zone, blade, the keys' unit, travel and step, and all of sweep but its
// working range; a one-piece blade also states its neighbour_limit_pct. Where they
// are absent floor_pct is 0, ceiling_pct 100 and off_sheet_pct 0; clockwise is as
// SenseOf has it. file names the source in errors, which are of type
// *settings.FileError.
func Parse(file string, data []byte) (*Press, error) {
	var raw pressFile
	if err := settings.Decode(file, data, &raw); err != nil {
		return nil, err
	}
	if err := textsFirst(file, data, raw.Curves); err != nil {
		return nil, err
	}
	r := rules{file: file}
	p := raw.press(&r)
	r.laid(p.Train)
	if r.err != nil {
		return nil, r.err
	}
	return p, nil
}

func (raw pressFile) press(r *rules) *Press {
	p := &Press{
		Name:     r.line("name", raw.Name),
		ID:       r.optionalLine("id", raw.ID),
		Fountain: raw.Fountain.fountain(r),
	}
	p.PrintLengthMM = r.within("print_length_mm", raw.PrintLengthMM, new(0.0), over(0), 10_000)
	p.Keys = raw.Keys.scale(r, p.Fountain.Zones)
	p.Limits = raw.limits(r)
	p.Sweep = raw.Sweep.scale(r, "sweep.")
	p.Units = raw.units(r, p)
	common, byPaper := r.curveFiles(raw.Curves)
	p.Curves, p.DefaultCurve, p.ByPaper = common.Own, common.Default, byPaper
	p.Inks = r.inks(raw.Inks)
	p.Train = raw.Train.train(r, p)
	return p
}

func (raw fountainFile) fountain(r *rules) Fountain {
	f := Fountain{ZoneWidthMM: r.within("fountain.zone_width_mm", raw.ZoneWidthMM, nil, 1, 1000)}
	switch {
	case raw.Zones == nil:
		r.missing("fountain.zones")
	case *raw.Zones < 1 || *raw.Zones > MaxZones:
		r.fail("fountain.zones", fmt.Sprintf("%d keys are outside 1 to %d", *raw.Zones, MaxZones), "count the keys of the fountain")
	default:
		f.Zones = *raw.Zones
	}
	f.FirstZone = End(r.oneOf("fountain.first_zone", raw.FirstZone, string(Left), string(Right)))
	f.Blade = Blade(r.oneOf("fountain.blade", raw.Blade, string(Segmented), string(OnePiece)))
	return f
}

func (raw keysFile) scale(r *rules, zones int) KeyScale {
	s := KeyScale{
		Unit:   KeyUnit(r.oneOf("keys.unit", raw.Unit, string(Percent), string(Notch), string(Turn))),
		Travel: r.within("keys.travel", raw.Travel, nil, over(0), 1e6),
	}
	s.Step = r.within("keys.step", raw.Step, nil, over(0), s.Travel)
	if steps := s.Travel / s.Step; math.Abs(steps-math.Round(steps)) > 1e-6*steps {
		r.fail("keys.step", fmt.Sprintf("a travel of %s is not a whole number of steps of %s", settings.Plain(s.Travel), settings.Plain(s.Step)), "write the travel and the step that the keys have")
	}
	s.Zero = r.zeros("keys.zero", raw.Zero, zones, s.Travel)
	s.ZeroByHand = r.zeros("keys.zero_by_hand", raw.ZeroByHand, zones, s.Travel)
	if raw.Clockwise != "" {
		s.Clockwise = Sense(r.oneOf("keys.clockwise", raw.Clockwise, string(Closes), string(Opens)))
	}
	return s
}

// zeros are what keys show when closed, one a key, or none.
func (r *rules) zeros(place string, zero []float64, zones int, travel float64) []float64 {
	if len(zero) != 0 && len(zero) != zones {
		r.fail(place, fmt.Sprintf("%d values for %d keys", len(zero), zones), "write one for every key, from zone 1, or none")
	}
	for i, z := range zero {
		r.within(fmt.Sprintf("%s: zone %d", place, i+1), &z, nil, -travel, travel)
	}
	return zero
}

func (raw pressFile) limits(r *rules) curves.Limits {
	l := curves.Limits{
		FloorPct:   r.within("keys.floor_pct", raw.Keys.FloorPct, new(0.0), 0, 100),
		CeilingPct: r.within("keys.ceiling_pct", raw.Keys.CeilingPct, new(100.0), over(0), 100),
	}
	if l.FloorPct > l.CeilingPct {
		r.fail("keys.floor_pct", fmt.Sprintf("the floor, %s, is above the ceiling, %s", settings.Plain(l.FloorPct), settings.Plain(l.CeilingPct)), "exchange or correct them")
	}
	l.OffSheetPct = r.within("keys.off_sheet_pct", raw.Keys.OffSheetPct, new(0.0), 0, l.CeilingPct)
	var unlimited *float64
	if raw.Fountain.Blade == string(Segmented) {
		unlimited = new(100.0)
	}
	neighbour := r.within("fountain.neighbour_limit_pct", raw.Fountain.NeighbourLimitPct, unlimited, over(0), 100)
	if raw.Fountain.Blade == string(OnePiece) {
		l.NeighbourPct = neighbour
	}
	return l
}

// scale is a sweep whose keys stand at a place in the file.
func (raw sweepFile) scale(r *rules, place string) curves.SweepScale {
	s := curves.SweepScale{
		Unit:      r.line(place+"unit", raw.Unit),
		From:      r.within(place+"from", raw.From, nil, over(0), 1e6),
		To:        r.within(place+"to", raw.To, nil, over(0), 1e6),
		Step:      r.within(place+"step", raw.Step, nil, over(0), 1e6),
		Reference: r.within(place+"reference", raw.Reference, nil, over(0), 1e6),

		WorkingFrom: r.within(place+"working_from", raw.WorkingFrom, new(0.0), over(0), 1e6),
		WorkingTo:   r.within(place+"working_to", raw.WorkingTo, new(0.0), over(0), 1e6),
	}
	if utf8.RuneCountInString(s.Unit) > 20 {
		r.fail(place+"unit", settings.Quoted(s.Unit)+" is too long for a unit", "write 20 letters at most")
	}
	if err := s.Validate(); err != nil && r.err == nil {
		r.err = settings.InFile(err, r.file, place)
	}
	return s
}

func (raw inkFile) ink(r *rules, table string) Ink {
	unknown := new(0.0)
	ink := Ink{
		TargetDensity:    r.within(table+".target_density", raw.TargetDensity, unknown, over(0), 5),
		DensityLimit:     r.within(table+".density_limit", raw.DensityLimit, unknown, over(0), 5),
		DensityRatePerUM: r.within(table+".density_rate_per_um", raw.DensityRatePerUM, unknown, over(0), 100),
		FilmUM:           r.within(table+".film_um", raw.FilmUM, unknown, over(0), 100),
		SpecificGravity:  r.within(table+".specific_gravity", raw.SpecificGravity, unknown, over(0), 20),
	}
	if ink.DensityLimit > 0 && ink.TargetDensity >= ink.DensityLimit {
		r.fail(table+".target_density", fmt.Sprintf("%s is not below density_limit = %s, which no film exceeds", settings.Plain(ink.TargetDensity), settings.Plain(ink.DensityLimit)), "correct one of them")
	}
	return ink
}

// rules check a press's values, and keep the first that is wrong.
type rules struct {
	file string
	err  error
}

func (r *rules) fail(place, what, do string) {
	if r.err == nil {
		r.err = &settings.FileError{File: r.file, Place: place, What: what, Do: do}
	}
}

func (r *rules) missing(place string) {
	r.fail(place, "is missing", "the press's file must state it")
}

// over is the least number above v: "more than v", where "from v" is asked for.
func over(v float64) float64 { return math.Nextafter(v, math.Inf(1)) }

// within is the value of a number from low to high, or its default; without a
// default it must be there.
func (r *rules) within(place string, v, absent *float64, low, high float64) float64 {
	switch {
	case v == nil && absent == nil:
		r.missing(place)
		return 0
	case v == nil:
		return *absent
	case !(*v >= low && *v <= high):
		r.fail(place, fmt.Sprintf("%s is outside %s", settings.Plain(*v), span(low, high)), "correct it")
	}
	return *v
}

func span(low, high float64) string {
	if low == over(0) {
		return fmt.Sprintf("what it can be, above 0 and up to %s", settings.Plain(high))
	}
	return fmt.Sprintf("%s to %s", settings.Plain(low), settings.Plain(high))
}

func (r *rules) oneOf(place, v string, known ...string) string {
	switch {
	case v == "":
		r.missing(place)
	case !slices.Contains(known, v):
		r.fail(place, settings.Quoted(v)+" is not known", "write "+strings.Join(known, " or "))
	}
	return v
}

// line is a text that goes on labels: one line, and not blank.
func (r *rules) line(place, v string) string {
	switch {
	case strings.TrimSpace(v) == "":
		r.missing(place)
	case !settings.IsLine(v):
		r.fail(place, settings.Quoted(v)+" is not a single line of text", "write one, in UTF-8")
	}
	return v
}

// optionalLine is a line, or empty where none is stated.
func (r *rules) optionalLine(place string, v *string) string {
	if v == nil {
		return ""
	}
	return r.line(place, *v)
}

func (r *rules) inks(raw map[string]inkFile) map[string]Ink {
	inks := map[string]Ink{}
	r.distinct("inks", slices.Sorted(maps.Keys(raw)))
	for _, name := range slices.Sorted(maps.Keys(raw)) {
		inks[name] = raw[name].ink(r, "inks."+name)
	}
	return inks
}

// distinct refuses inks that differ in capitals alone.
func (r *rules) distinct(table string, names []string) {
	seen := map[string]string{}
	for _, name := range names {
		key := strings.ToLower(name)
		if first, ok := seen[key]; ok {
			r.fail(table+"."+name, fmt.Sprintf("is the same ink as %s: capitals make no difference", settings.Quoted(first)), "keep one of the two")
		}
		seen[key] = name
	}
}
