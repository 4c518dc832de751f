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
// late, and where it settles off.
func (s *stage) littleWords(out *Ink, overallPct float64) []string {
	var late, light, heavy []preset.Key
	least, most, floor := 0.0, 0.0, false
	for i := range out.Zones {
		z, k := &out.Zones[i], s.unit.Keys[i]
		if !z.Prints || s.waits[i] {
			continue
		}
		if near := out.StartUp.Near.Sheets; z.NearAfter == nil || near != nil && *z.NearAfter >= *near+seenSheets {
			late = append(late, k)
		}
		switch off := z.beside(overallPct); {
		case off <= -GoodPct:
			light, least = append(light, k), min(least, off)
		case off >= GoodPct:
			heavy, most = append(heavy, k), max(most, off)
			floor = floor || k.State == curves.Floor
		}
	}
	var texts []string
	if len(late) > 0 {
		texts = append(texts, fmt.Sprintf("%s: less than %d %% prints there; its film comes later, and is not waited for", preset.Spans(late), judgedPct))
	}
	if len(light)+len(heavy) > 0 {
		texts = append(texts, fmt.Sprintf("where less than %d %% prints, %s; %s", judgedPct, littleOffWords(light, least, heavy, most), littleMoves(light, heavy, floor)))
	}
	return texts
}

// littleOffWords say how far the films of such zones settle off.
func littleOffWords(light []preset.Key, least float64, heavy []preset.Key, most float64) string {
	words := func(keys []preset.Key, off float64, way string) string {
		settle := "settle up to"
		if len(keys) == 1 {
			settle = "settles"
		}
		return fmt.Sprintf("%s %s %.0f %% %s", preset.Spans(keys), settle, math.Abs(off), way)
	}
	switch {
	case len(heavy) == 0:
		return words(light, least, "light")
	case len(light) == 0:
		return words(heavy, most, "heavy")
	}
	return words(light, least, "light") + ", and " + words(heavy, most, "heavy")
}

// littleMoves say what to do about it.
func littleMoves(light, heavy []preset.Key, floor bool) string {
	together := func(do string, keys []preset.Key) string {
		if len(keys) == 1 {
			return fmt.Sprintf("%s key %d", do, keys[0].Zone)
		}
		return do + " those of " + preset.Spans(keys) + " together"
	}
	var moves []string
	if len(light) > 0 {
		moves = append(moves, together("open", light))
	}
	switch {
	case floor && len(light) == 0:
		return "the floor holds keys there: a take-off bar takes ink off"
	case len(heavy) > 0 && !floor:
		moves = append(moves, together("close", heavy))
	}
	return "keys there feed the zones beside them nearly as much as their own: " + strings.Join(moves, " and ") + ", by a step, and only once a sheet shows it"
}
