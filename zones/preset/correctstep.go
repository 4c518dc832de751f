package preset

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves/ink"
	"bladeline/zones"
	"bladeline/zones/press"
)

// LessThanAStep is the note on a key whose scale has no setting that is nearer.
const LessThanAStep ink.CorrectionNote = "less than a step"

// byStep is a correction of a key that moves in steps. A damped correction that
// its step would swallow, sheet after sheet, moves the key one step where the
// whole one comes to half a step or more: there the next step is nearer to what
// is wanted, or as near. Where it does not, the key stays, and the note says so.
func (k Key) byStep(scale press.KeyScale, printedPct float64, c ink.Correction) ink.Correction {
	was, whole := k.printedKey(), printedPct*(c.FilmRatio-1)
	if c.Note == ink.Unmeasured || c.Note == ink.Closed || whole == 0 || scale.Key(k.Zone, c.OpeningPct) != scale.Key(k.Zone, printedPct) {
		return c
	}
	stepPct := 100 * scale.Step / scale.Travel
	if math.Abs(whole) >= stepPct/2-sameFeedPct {
		c.OpeningPct = scale.Opening(k.Zone, was+math.Copysign(scale.Step, whole))
	} else if c.Note == "" && math.Abs(c.FilmRatio-1) >= readableRatio {
		c.Note = LessThanAStep
	}
	return c
}

const (
	readableRatio = 0.005 // a film is said to so much
	sameFeedPct   = 1e-9  // what goes through binary fractions
	rightShare    = 0.1   // of the film, within which a sheet is right: about ±0.05 of density
)

// betweenSteps warns of films that are off and stay so, as no step is nearer.
func (c *CorrectedUnit) betweenSteps() []zones.Warning {
	var off []string
	for _, k := range c.Keys {
		if k.Note == LessThanAStep && math.Abs(k.FilmRatio-1) > rightShare {
			off = append(off, fmt.Sprint(k.Zone))
		}
	}
	if len(off) == 0 {
		return nil
	}
	text := fmt.Sprintf("the film is more than 10 %% off in zones %s, by less than half a step of their keys, which stay", strings.Join(off, ", "))
	return []zones.Warning{{Ink: c.Ink, Code: CodeDensity, Text: text}}
}
