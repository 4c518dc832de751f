package rehearsal

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
	"bladeline/zones/preset"
)

// Where little prints, little of what a key feeds is taken off in its own zone, and the
// oscillators carry the rest to those beside: on the trains that ship with keys of 31.75
// and 32.5 mm a key moves the film of the zones beside by three quarters of what it moves
// its own. So these zones are named together, and none of their keys is told a place.

// littleOff tells whether zones that print too little to be waited for settle off by
// enough to be seen.
func (s *stage) littleOff(out *Ink, overallPct float64) bool {
	for i := range out.Zones {
		if z := &out.Zones[i]; z.Prints && !s.waits[i] && math.Abs(z.beside(overallPct)) >= GoodPct {
			return true
		}
	}
	return false
}

// littleWords name the zones that makeready does not wait for, where their film comes
// late or settles off.
func (s *stage) littleWords(out *Ink, overallPct float64) string {
	var keys []preset.Key
	late, least, most, floor := false, 0.0, 0.0, false
	for i := range out.Zones {
		z := &out.Zones[i]
		if !z.Prints || s.waits[i] {
			continue
		}
		comesLate := z.NearAfter == nil || out.StartUp.Near.Sheets != nil && *z.NearAfter >= *out.StartUp.Near.Sheets+seenSheets
		off := z.beside(overallPct)
		if !comesLate && math.Abs(off) < GoodPct {
			continue
		}
		keys, late = append(keys, s.unit.Keys[i]), late || comesLate
		least, most = min(least, off), max(most, off)
		floor = floor || off >= GoodPct && s.unit.Keys[i].State == curves.Floor
	}
	if len(keys) == 0 {
		return ""
	}
	var parts []string
	if late {
		parts = append(parts, "its film comes later, and is not waited for")
	}
	if least <= -GoodPct || most >= GoodPct {
		parts = append(parts, littleOffWords(len(keys), least, most), littleMoves(len(keys), least, most, floor))
	}
	return fmt.Sprintf("%s: less than %d %% prints there; %s", preset.Spans(keys), judgedPct, strings.Join(parts, "; "))
}

// littleOffWords say how far the films of so many such zones settle off.
func littleOffWords(zones int, least, most float64) string {
	var ways []string
	for _, w := range []struct {
		off float64
		way string
	}{{least, "light"}, {most, "heavy"}} {
		if math.Abs(w.off) >= GoodPct {
			ways = append(ways, fmt.Sprintf("%.0f %% %s", math.Abs(w.off), w.way))
		}
	}
	upTo := ""
	if zones > 1 {
		upTo = "up to "
	}
	return "the film settles " + upTo + strings.Join(ways, " and "+upTo)
}

// littleMoves say what to do about it.
func littleMoves(zones int, least, most float64, floor bool) string {
	do := "open"
	switch {
	case least <= -GoodPct && most >= GoodPct:
		do = "move"
	case floor:
		return "the floor holds keys there: a take-off bar takes ink off"
	case most >= GoodPct:
		do = "close"
	}
	if zones == 1 {
		return "a key there feeds the zones beside it nearly as much as its own: " + do + " it by a step, and only once a sheet shows it"
	}
	return "keys there feed the zones beside them nearly as much as their own: " + do + " them together, by a step, and only once a sheet shows it"
}
