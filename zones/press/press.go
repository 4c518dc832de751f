package press

import (
	"fmt"
	"strings"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
)

// A Press is what the presetting of its keys needs to know of a press.
type Press struct {
	Name          string
	ID            string  // stays when the press is renamed; may be empty
	PrintLengthMM float64 // along the running direction; 0: the raster's own length
	Fountain      Fountain
	Keys          KeyScale
	Limits        curves.Limits
	Sweep         curves.SweepScale
	Units         []Unit                // in the order that the sheet meets them; none are named: all inks have one scale and sweep
	DefaultCurve  string                // file, relative to the press's; may be empty
	Curves        map[string]string     // file of each ink that has a curve of its own
	ByPaper       map[string]CurveFiles // by the paper that they are for
	Inks          map[string]Ink
	Train         *rollers.Train // of each of its units; nil: its file states none
}

// A Fountain is the ink fountain across the press.
type Fountain struct {
	Zones       int
	ZoneWidthMM float64
	FirstZone   End // where zone 1 is
	Blade       Blade
}

// An End is an end of the fountain in bench view: the printed sheet face up,
// lead edge nearest you.
type End string

// The ends.
const (
	Left  End = "left"
	Right End = "right"
)

// Blade is how the fountain's blade is made.
type Blade string

// The kinds of blade.
const (
	Segmented Blade = "segmented" // every key moves a piece of its own
	OnePiece  Blade = "one-piece" // all keys bend the same sheet of steel
)

// An Ink is what is known of an ink. Zero is not known.
type Ink struct {
	TargetDensity    float64 // reflection density of a solid to aim at
	DensityLimit     float64 // density that no film, however thick, exceeds
	DensityRatePerUM float64 // how fast density nears its limit, per µm of film
	FilmUM           float64 // film of a solid on the sheet, µm
	SpecificGravity  float64 // g/cm³
}

// Keys stand 15 to 45 mm apart (common practice, no source). Some presses for small
// sheets have a few wider ones; a decimal point that slipped makes ten times as much.
const doubtfulZoneMM = 60

// Doubt says that the keys stand further apart than on any press; "" where they do
// not.
func (f Fountain) Doubt() string {
	if f.ZoneWidthMM <= doubtfulZoneMM {
		return ""
	}
	return fmt.Sprintf("the press's keys stand %s mm apart, and on presses they stand 15 to 45 mm apart (common practice): measure from one key to the next, and correct zone_width_mm in the press's file", settings.Plain(f.ZoneWidthMM))
}

// WidthMM is the length of the fountain across the press.
func (f Fountain) WidthMM() float64 { return float64(f.Zones) * f.ZoneWidthMM }

// ZoneMM are the ends of a zone from the fountain's left end, in bench view.
func (f Fountain) ZoneMM(zone int) (left, right float64) {
	i := zone - 1
	if f.FirstZone == Right {
		i = f.Zones - zone
	}
	return float64(i) * f.ZoneWidthMM, float64(i+1) * f.ZoneWidthMM
}

// CurveFile is the file of the curve for an ink, relative to the press's file;
// empty where the press names none.
func (p *Press) CurveFile(ink string) string {
	if p == nil {
		return ""
	}
	if file, ok := lookup(p.Curves, ink); ok {
		return file
	}
	return p.DefaultCurve
}

// ReferenceSweep is the sweep that a curve refers to: its own or, where it states
// none, the press's.
func (p *Press) ReferenceSweep(c *curves.Curve) float64 {
	switch {
	case c != nil && c.ReferenceSweep > 0:
		return c.ReferenceSweep
	case p == nil:
		return 0
	}
	return p.Sweep.Reference
}

// Ink is what the press's file says of an ink.
func (p *Press) Ink(name string) (Ink, bool) {
	if p == nil {
		return Ink{}, false
	}
	return lookup(p.Inks, name)
}

// lookup finds an ink by its name, be it written in capitals or not.
func lookup[V any](table map[string]V, ink string) (V, bool) {
	for name, v := range table {
		if strings.EqualFold(name, ink) {
			return v, true
		}
	}
	var none V
	return none, false
}

// Amount is a setting of a press's scale, in words.
func Amount(v float64, unit string) string {
	if unit == string(Notch) && v != 1 {
		unit = "notches"
	}
	return fmt.Sprintf("%s %s", settings.Plain(v), unit)
}
