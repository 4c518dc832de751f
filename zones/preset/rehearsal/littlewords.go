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

// A littleSpan is of such zones whose film settles off to one side.
type littleSpan struct {
	do    string // with their keys
	way   string // that it is off
	worst float64
	keys  []preset.Key
	moved []preset.Key // of these, those that a step brings nearer
	held  bool         // the floor holds one
}

// littleWords name the zones that makeready does not wait for, where their film comes
// late, and where it settles off.
func (s *stage) littleWords(out *Ink, overallPct float64) []string {
	var late []preset.Key
	light, heavy := littleSpan{do: "open", way: "light"}, littleSpan{do: "close", way: "heavy"}
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
			light.add(s, k, off)
		case off >= GoodPct:
			heavy.add(s, k, off)
		}
	}
	var texts []string
	if len(late) > 0 {
		texts = append(texts, fmt.Sprintf("%s: less than %d %% prints there; its film comes later, and is not waited for", preset.Spans(late), judgedPct))
	}
	var spans []littleSpan
	for _, sp := range []littleSpan{light, heavy} {
		if len(sp.keys) > 0 {
			spans = append(spans, sp)
		}
	}
	if len(spans) > 0 {
		texts = append(texts, fmt.Sprintf("where less than %d %% prints, %s; %s", judgedPct, littleOffWords(spans), littleMoves(spans)))
	}
	return texts
}

func (sp *littleSpan) add(s *stage, k preset.Key, offPct float64) {
	sp.keys = append(sp.keys, k)
	if math.Abs(offPct) > math.Abs(sp.worst) {
		sp.worst = offPct
	}
	sp.held = sp.held || offPct > 0 && k.State == curves.Floor
	if from, to := s.move(k, offPct); from != to {
		sp.moved = append(sp.moved, k)
	}
}

// littleOffWords say how far the films of such zones settle off.
func littleOffWords(spans []littleSpan) string {
	var texts []string
	for _, sp := range spans {
		settle := "settle up to"
		if len(sp.keys) == 1 {
			settle = "settles"
		}
		texts = append(texts, fmt.Sprintf("%s %s %.0f %% %s", preset.Spans(sp.keys), settle, math.Abs(sp.worst), sp.way))
	}
	return strings.Join(texts, ", and ")
}

// littleMoves say what to do about it.
func littleMoves(spans []littleSpan) string {
	var moves []string
	held := false
	for _, sp := range spans {
		held = held || sp.held
		switch {
		case sp.held || len(sp.moved) == 0:
		case len(sp.moved) == 1:
			moves = append(moves, fmt.Sprintf("%s key %d", sp.do, sp.moved[0].Zone))
		default:
			moves = append(moves, sp.do+" those of "+preset.Spans(sp.moved)+" together")
		}
	}
	switch {
	case len(moves) > 0:
		return "keys there feed the zones beside them nearly as much as their own: " + strings.Join(moves, " and ") + ", by a step, and only once a sheet shows it"
	case held:
		return "the floor holds keys there: a take-off bar takes ink off"
	}
	return "that is less than a step of the key" + finer
}
