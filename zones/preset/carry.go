package preset

import (
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// carriedUnit is a unit that was run, carried over to the zones of a press.
type carriedUnit struct {
	unit     *Unit
	zones    []zones.Zone // of the press
	factors  []float64    // what was fed over what the preset fed, by zone
	lengthMM float64      // that coverages refer to; 0 is not known
	cutZones []int        // that print, and lie partly beyond the press
	opened   []int        // that were opened from shut, which no factor says
}

// carried lays a unit on the press: a zone there gets of each zone that was run the
// ink of so much of it as lies over it, and the mean of their factors, each weighed
// by its ink.
func (r Reprint) carried(u *Unit) (*carriedUnit, error) {
	places, err := r.places(u)
	if err != nil {
		return nil, err
	}
	c := &carriedUnit{unit: u}
	factors := u.factors(r.travel(), &c.opened)
	ratio, length := r.lengths(u)
	c.lengthMM = length
	reached := make([]bool, len(u.Keys))
	for number := 1; number <= r.On.Fountain.Zones; number++ {
		left, right := r.On.Fountain.ZoneMM(number)
		z, factor := u.shared(left, right, places, factors, reached)
		z.Number, z.CoveragePct = number, z.CoveragePct*ratio
		if z.CoveragePct > 100+1e-9 {
			return nil, &settings.FileError{Place: fmt.Sprintf("ink %s", settings.Quoted(u.Ink)), What: fmt.Sprintf("zone %d of press %s would be covered %.1f %%", number, settings.Quoted(r.On.Name), z.CoveragePct), Do: "correct print_length_mm of the presses"}
		}
		z.CoveragePct = min(z.CoveragePct, 100)
		c.zones, c.factors = append(c.zones, z), append(c.factors, factor)
	}
	return c, c.beyond(r, places, reached)
}

// shared is the zone from left to right, of what lies over it of a unit's zones in
// their places, and its factor. It notes which of them reach it.
func (u *Unit) shared(left, right float64, places [][2]float64, factors []float64, reached []bool) (z zones.Zone, factor float64) {
	z = zones.Zone{LeftMM: &left, RightMM: &right, OffSheet: true}
	var ink, fed, width, plain float64
	for i, k := range u.Keys {
		over := min(right, places[i][1]) - max(left, places[i][0])
		if over <= placeMM {
			continue
		}
		reached[i] = true
		z.OffSheet = z.OffSheet && k.State == curves.OffSheet
		ink, fed = ink+k.CoveragePct*over, fed+k.CoveragePct*over*factors[i]
		width, plain = width+over, plain+over*factors[i]
	}
	z.CoveragePct = ink / (right - left)
	switch {
	case ink > 0:
		return z, fed / ink
	case width > 0:
		return z, plain / width
	}
	return z, 1
}

// placeMM is less than any zone, and more than what writing places cost.
const placeMM = 1e-6

// beyond refuses a unit that prints where the press has no zone, and notes where it
// may.
func (c *carriedUnit) beyond(r Reprint, places [][2]float64, reached []bool) error {
	end := r.On.Fountain.WidthMM()
	for i, k := range c.unit.Keys {
		switch {
		case !k.Prints():
		case !reached[i]:
			return &settings.FileError{
				Place: fmt.Sprintf("ink %s, zone %d", settings.Quoted(c.unit.Ink), k.Zone),
				What:  fmt.Sprintf("it prints %.1f mm beyond the fountain of press %s", max(-places[i][0], places[i][1]-end), settings.Quoted(r.On.Name)), Do: "take a wider press",
			}
		case places[i][0] < -placeMM || places[i][1] > end+placeMM:
			c.cutZones = append(c.cutZones, k.Zone)
		}
	}
	return nil
}

// places are where the zones that were run lie on the press, mm from its left end:
// as on their own, centre on centre.
func (r Reprint) places(u *Unit) ([][2]float64, error) {
	var places [][2]float64
	for _, k := range u.Keys {
		left, right := k.LeftMM, k.RightMM
		if left == nil && r.From != nil {
			l, r := r.From.Fountain.ZoneMM(k.Zone)
			left, right = &l, &r
		}
		if left == nil && r.Run.SamePress(r.On) {
			l, r := r.On.Fountain.ZoneMM(k.Zone)
			left, right = &l, &r
		}
		if left == nil {
			return nil, &settings.FileError{Place: fmt.Sprintf("ink %s, zone %d, left_mm", settings.Quoted(u.Ink), k.Zone), What: "where the zone lies is not stated", Do: "name the press that it ran on"}
		}
		places = append(places, [2]float64{*left, *right})
	}
	width := 0.0
	for _, p := range places {
		width = max(width, p[1])
	}
	for i := range places {
		move := (r.On.Fountain.WidthMM() - width) / 2
		places[i][0], places[i][1] = places[i][0]+move, places[i][1]+move
	}
	return places, nil
}

// lengths are the length that the press's coverages refer to, and by what factor a
// coverage of the unit's is another there; 1 where either length is not known.
func (r Reprint) lengths(u *Unit) (ratio, there float64) {
	here := 0.0
	switch {
	case u.LengthMM != nil:
		here = *u.LengthMM
	case r.Run.SamePress(r.On):
		here = r.On.PrintLengthMM
	case r.From != nil:
		here = r.From.PrintLengthMM
	}
	there = r.On.PrintLengthMM
	if here == 0 || there == 0 {
		return 1, max(here, there)
	}
	return here / there, there
}

// lengthKnown tells whether coverages could be carried over by their lengths.
func (r Reprint) lengthKnown(u *Unit) bool {
	return r.Run.SamePress(r.On) || (u.LengthMM != nil || r.From != nil && r.From.PrintLengthMM > 0) == (r.On.PrintLengthMM > 0)
}

// travel is that of the keys that were run; 0 is not known.
func (r Reprint) travel() float64 {
	switch {
	case r.From != nil:
		return r.From.Keys.Travel
	case r.Run.SamePress(r.On):
		return r.On.Keys.Travel
	}
	return 0
}

// factors are what was fed over what the preset fed, opening × sweep, by zone. A key
// that was not read is taken as preset. One that was opened from shut has no factor
// but the sweep's, and is put among opened.
func (u *Unit) factors(travel float64, opened *[]int) []float64 {
	sweeps := u.SweepRun() / u.Sweep
	openings := u.OpeningsRun(travel)
	factors := make([]float64, len(u.Keys))
	for i, k := range u.Keys {
		factors[i] = sweeps
		switch {
		case openings[i] == nil:
		case k.OpeningPct > 0:
			factors[i] *= *openings[i] / k.OpeningPct
		case *openings[i] > 0 && k.State != curves.OffSheet:
			*opened = append(*opened, k.Zone)
		}
	}
	return factors
}

// says what was carried over, and how.
func (c *carriedUnit) says(r Reprint, curve *curves.Curve, sweepRun bool) string {
	text := "a reprint of what was run" + r.day()
	if r.Run.SamePress(r.On) {
		text += ": of every zone what the curve " + curve.Name + " asks for"
	} else {
		text += fmt.Sprintf(" on %s: the coverages of its zones, laid on this press's centre on centre; of every zone what the curve %s asks for", r.Run.Press.Name, curve.Name)
	}
	least, most := math.Inf(1), 0.0
	for i, z := range c.zones {
		if z.CoveragePct >= printsPct {
			least, most = min(least, c.factors[i]), max(most, c.factors[i])
		}
	}
	if most > 0 {
		text += fedTimes(least, most)
	}
	if sweepRun && r.Run.SamePress(r.On) {
		text += "; the sweep is the one that was run"
	}
	return text
}

// fedTimes says by what the curve's openings were multiplied, from the least to the
// most.
func fedTimes(least, most float64) string {
	low, high := fmt.Sprintf("%.2f", least), fmt.Sprintf("%.2f", most)
	switch {
	case low == "1.00" && high == low:
		return ", as the ink was run just as preset"
	case low == high:
		return ", times what was fed there over what was preset (" + low + ")"
	}
	return ", times what was fed there over what was preset (" + low + " to " + high + ")"
}

// warnings are of what was carried over as well as it could be.
func (c *carriedUnit) warnings(r Reprint) []zones.Warning {
	ws := c.unit.unreadWarning()
	warn := func(text string) {
		ws = append(ws, zones.Warning{Ink: c.unit.Ink, Code: CodeCarried, Text: text})
	}
	if !r.Run.SamePress(r.On) {
		warn(fmt.Sprintf("coverages were carried over from %d zones to %d and not measured, so that what stands near a zone's border may belong to its neighbour: preset from the separations where you have them", len(c.unit.Keys), len(c.zones)))
		if !r.lengthKnown(c.unit) {
			warn("the lengths that the coverages refer to are not all known, and were taken to be the same")
		}
	}
	if len(c.cutZones) > 0 {
		warn(fmt.Sprintf("%s partly beyond the fountain of this press: look whether the form fits", zonesWere(c.cutZones)))
	}
	if far := farFactors(c.zones, c.factors); len(far) > 0 {
		warn(fmt.Sprintf("%s fed more than twice or less than half of what was preset, and that is carried over: look whether it was misread", zonesWere(far)))
	}
	if len(c.opened) > 0 {
		warn(fmt.Sprintf("%s opened from shut, which is not carried over", zonesWere(c.opened)))
	}
	return ws
}
