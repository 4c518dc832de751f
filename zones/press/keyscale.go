package press

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bladeline/curves/settings"
)

// KeyUnit is what a key's scale counts.
type KeyUnit string

// The units of key scales.
const (
	Percent KeyUnit = "%"
	Notch   KeyUnit = "notch"
	Turn    KeyUnit = "turn" // of the screw, counted from closed
)

// A KeyScale is the scale that the keys of a press are set by.
type KeyScale struct {
	Unit   KeyUnit
	Travel float64   // fully open, in Unit
	Step   float64   // the scale's division; Travel is a whole number of them
	Zero   []float64 // what each key shows when closed, in Unit, from zone 1; empty: 0

	ZeroByHand []float64 // Zero as it was before any was learned; empty: none was
	Clockwise  Sense     // what that turn of a screw does; "": as Unit has it
}

// ShutAt is what the key of a zone, counted from 1, shows when it is shut, in Unit.
func (s KeyScale) ShutAt(zone int) float64 {
	if 1 <= zone && zone <= len(s.Zero) {
		return s.Zero[zone-1]
	}
	return 0
}

// CountsFromShut tells whether every key shows 0 when it is shut.
func (s KeyScale) CountsFromShut() bool {
	return !slices.ContainsFunc(s.Zero, func(z float64) bool { return z != 0 })
}

// halfTolerance is how far below a half, in steps, still counts as the half:
// 12.499999999999 is 12.5 that went through binary fractions.
const halfTolerance = 1e-9

// Key is where to set the key of a zone, counted from 1, for an opening in %
// of travel: on the scale, with the key's own zero, on the nearest step,
// halves up.
func (s KeyScale) Key(zone int, openingPct float64) float64 {
	return s.rounded(zone, openingPct, nearest)
}

// The ways to round to a step, as what is added before the rest is cut off. Up and
// down a tenth of a step is none: no hand sets it, and zeros are not known so well.
const (
	down    = 0.1
	nearest = 0.5 + halfTolerance
	up      = 0.9
)

func (s KeyScale) rounded(zone int, openingPct, way float64) float64 {
	v := openingPct/100*s.Travel + s.ShutAt(zone)
	steps := math.Floor(v/s.Step + way)
	if den := s.denominator(); den > 0 {
		return steps / den
	}
	return math.Round(steps*s.Step*1e9) / 1e9
}

// Opening is the opening in % of travel that a key of a zone, counted from 1,
// stands for; the key's own zero may take it below 0 or above 100.
func (s KeyScale) Opening(zone int, key float64) float64 {
	return 100 * (key - s.ShutAt(zone)) / s.Travel
}

// OpeningPct is Opening of a blade that cannot close further than shut.
func (s KeyScale) OpeningPct(zone int, key float64) float64 { return max(0, s.Opening(zone, key)) }

// OnScale tells whether a key's setting lies from closed to fully open.
func (s KeyScale) OnScale(key float64) bool {
	return key >= 0 && key <= s.Travel+halfTolerance*s.Step
}

// Holds tells whether a key can be set so: on the scale, and on one of its steps.
func (s KeyScale) Holds(key float64) bool {
	steps := key / s.Step
	return s.OnScale(key) && math.Abs(steps-math.Round(steps)) < 1e-6
}

// denominator is 1/Step where that is a whole number, as of eighths; else 0.
func (s KeyScale) denominator() float64 {
	den := math.Round(1 / s.Step)
	if !(den <= 1e9) || math.Abs(1/s.Step-den) > 1e-6*den {
		return 0
	}
	return den
}

// Text is a setting as a person reads it: turns as "1 3/8" in lowest terms,
// everything else, and turns whose step is no fraction 1/n, as a decimal.
func (s KeyScale) Text(key float64) string {
	if s.Unit == Turn {
		return fraction(key, s.denominator())
	}
	return settings.Decimal(key)
}

// Words says what the scale is, for people.
func (s KeyScale) Words() string {
	unit, ends := "% of travel", "0 closed to %s fully open"
	switch s.Unit {
	case Turn:
		unit = "turns of the screw"
	case Notch:
		unit = "notches"
	}
	if !s.CountsFromShut() {
		ends = "counted from each key's own 0, which need not be where it is shut, and fully open %s further than that"
	}
	text := fmt.Sprintf("%s, "+ends+", in steps of %s", unit, s.Text(s.Travel), s.Text(s.Step))
	if way := SenseOf(s.Unit, s.Clockwise); way != "" {
		text += "; " + way.Words()
	}
	return text
}

// fraction writes v with a denominator; where v is no multiple of 1/den, or
// den is 0, as a decimal.
func fraction(v, den float64) string {
	parts := math.Round(math.Abs(v) * den)
	if den == 0 || math.Abs(math.Abs(v)*den-parts) > 1e-6 || parts >= 1e15 {
		return settings.Decimal(v)
	}
	n, d := int64(parts), int64(den)
	var words []string
	if whole := n / d; whole != 0 || n == 0 {
		words = append(words, strconv.FormatInt(whole, 10))
	}
	if rest := n % d; rest != 0 {
		g := gcd(rest, d)
		words = append(words, fmt.Sprintf("%d/%d", rest/g, d/g))
	}
	text := strings.Join(words, " ")
	if v < 0 && n != 0 {
		text = "-" + text
	}
	return text
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// maxDenominator is the finest division looked for where a step is not known.
const maxDenominator = 64

// KeyText is KeyScale.Text where the step is not known, as in a preset's file.
func KeyText(unit KeyUnit, key float64) string {
	if unit != Turn {
		return settings.Decimal(key)
	}
	for den := 1.0; den <= maxDenominator; den++ {
		if n := math.Round(key * den); math.Abs(key*den-n) < 1e-9 {
			return fraction(key, den)
		}
	}
	return settings.Decimal(key)
}
