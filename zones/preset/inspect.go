package preset

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/zones"
	"bladeline/zones/press"
)

// printsPct is the least coverage of a zone that prints. What stands in a zone
// with less is a trim or register mark, and needs no warning. Common practice,
// no source.
const printsPct = 0.2

// inspected is one unit and its form as it prints. What is found that the keys
// will not cure is a warning an ink and finding. Its text names all zones; its
// zone is the one where the finding is worst.
type inspected struct {
	in    *laidUnit
	unit  *Unit
	press *press.Press
	form  *zones.Form
}

func (f *inspected) warnings(takeOffPct float64) []zones.Warning {
	if f.form.Blank() {
		return []zones.Warning{{Ink: f.unit.Ink, Code: CodeEmpty, Text: "there is no ink in this separation: leave the unit out, or export it again"}}
	}
	return slices.Concat(f.low(takeOffPct), f.keyWarnings(), f.uneven())
}

// warning is about a zone, the worst of those that its text names.
func (f *inspected) warning(code string, zone int, format string, args ...any) []zones.Warning {
	return []zones.Warning{{Ink: f.unit.Ink, Zone: &zone, Code: code, Text: fmt.Sprintf(format, args...)}}
}

// keys are the printing keys that are wanted, by zone.
func (f *inspected) keys(wanted func(Key) bool) []Key {
	var found []Key
	for _, k := range f.unit.Keys {
		if k.CoveragePct >= printsPct && wanted(k) {
			found = append(found, k)
		}
	}
	return found
}

// extremes are the first of the least and the first of the greatest of keys.
func extremes(keys []Key, figure func(Key) float64) (least, greatest Key) {
	compare := func(a, b Key) int {
		switch x, y := figure(a), figure(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	}
	least = slices.MinFunc(keys, compare)
	return least, slices.MaxFunc(keys, compare)
}

func covered(k Key) float64 { return k.CoveragePct }

// Spans names the zones of keys, which come by number: "zones 2, 5 to 8 and 11".
func Spans(keys []Key) string {
	var parts []string
	for i := 0; i < len(keys); {
		from := i
		for i++; i < len(keys) && keys[i].Zone == keys[i-1].Zone+1; i++ {
		}
		first, last := keys[from].Zone, keys[i-1].Zone
		switch last - first {
		case 0:
			parts = append(parts, fmt.Sprint(first))
		case 1:
			parts = append(parts, fmt.Sprint(first), fmt.Sprint(last))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", first, last))
		}
	}
	if len(keys) == 1 {
		return "zone " + parts[0]
	}
	return "zones " + listed(parts)
}

// listed joins words as a sentence does.
func listed(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// pctSpan is "7.1 %" or "0.8 to 4.3 %".
func pctSpan(low, high float64) string {
	a, b := fmt.Sprintf("%.1f", low), fmt.Sprintf("%.1f", high)
	if a == b {
		return a + " %"
	}
	return a + " to " + b + " %"
}
