package testform

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bladeline/zones/press"
)

// A Step is a run of neighbouring zones that are covered alike.
type Step struct {
	CoveragePct float64 // that its zones are meant to have, within half a row of the raster
	Zones       []int   // from the left
}

// How wide a step is, and how many there are. Rollers that oscillate carry ink
// some 25 mm to either side (common practice, no source). The middle of a step,
// where its strip is best read, lies at least so far from both of its ends. A curve
// takes five coverages, which rules where zones are few.
const (
	BlurMM     = 25.0
	LeastZones = 3
	leastSteps = 5
	mostSteps  = 12
)

// stepZones are the zones that a step should have at least, an odd number, so that
// its middle is that of a zone.
func stepZones(zoneMM float64) int {
	return max(LeastZones, 2*int(math.Ceil(BlurMM/zoneMM-0.5))+1)
}

// laySteps gives every zone on the sheet its step.
func (f *Form) laySteps() error {
	on := f.onSheet()
	if len(on) == 0 {
		return fmt.Errorf("no zone lies wholly on a sheet %g mm wide; give a wider one", f.WidthMM)
	}
	n := len(on) / stepZones(f.Press.Fountain.ZoneWidthMM)
	n = min(max(n, leastSteps), mostSteps, len(on))
	f.Steps, f.PerStep = make([]Step, n), len(on)/n
	for i, at := range spread(len(on), n) {
		f.Steps[at].Zones = append(f.Steps[at].Zones, on[i])
		f.Zones[on[i]-1].Step = at + 1
	}
	f.strip = f.fromLead(f.GripperMM+labelMM+spaceMM, f.GripperMM+labelMM+spaceMM+stripMM)
	f.field = f.fromLead(f.GripperMM+labelMM+2*spaceMM+stripMM, f.LengthMM-edgeMM-tailMM)
	f.lines = max(1, int(math.Round(float64(f.field.to-f.field.from)/f.perMM()/pitchMM)))
	referenceMM := cmp.Or(f.Press.PrintLengthMM, f.LengthMM)
	fieldMM := f.LengthMM - edgeMM - tailMM - f.GripperMM - labelMM - stripMM - 2*spaceMM
	least := max(leastPct, math.Ceil(100*(stripMM+labelMM/4)/referenceMM))
	most := min(mostPct, math.Floor(least+60*fieldMM/referenceMM))
	if most < 3*least {
		return fmt.Errorf("a form %g mm long has no room for steps from %g to %g %%, three times as much; make it longer", f.LengthMM, least, 3*least)
	}
	for i, pct := range inOrder(coverages(least, most, n), f.middles()) {
		f.Steps[i].CoveragePct = pct
	}
	return nil
}

// onSheet are the zones that lie on the sheet, from the left.
func (f *Form) onSheet() []int {
	var on []int
	for _, z := range f.Zones {
		if z.Step > 0 {
			on = append(on, z.Number)
		}
	}
	if f.Press.Fountain.FirstZone == press.Right {
		slices.Reverse(on)
	}
	return on
}

// spread says which of n steps each of so many zones belongs to. Zones that are
// left over make the outer steps wider, which the sheet's edge is beside.
func spread(zones, n int) []int {
	wide := make([]int, n)
	for i := range wide {
		wide[i] = zones / n
	}
	for i := range zones % n {
		at := i / 2
		if i%2 == 1 {
			at = n - 1 - at
		}
		wide[at]++
	}
	var steps []int
	for at, w := range wide {
		steps = append(steps, slices.Repeat([]int{at}, w)...)
	}
	return steps
}

// coverages are n steps from the least to the most, each as many times the one
// before, in whole %.
func coverages(least, most float64, n int) []float64 {
	all := make([]float64, n)
	for i := range all {
		share := 0.5
		if n > 1 {
			share = float64(i) / float64(n-1)
		}
		all[i] = math.Round(least * math.Pow(most/least, share))
	}
	return all
}

// middles are where the steps' middles lie across, from -1 to 1.
func (f *Form) middles() []float64 {
	half := f.Press.Fountain.WidthMM() / 2
	var all []float64
	for _, s := range f.Steps {
		first, last := f.Zones[s.Zones[0]-1], f.Zones[s.Zones[len(s.Zones)-1]-1]
		all = append(all, (first.LeftMM+last.RightMM)/2/half-1)
	}
	return all
}

// inOrder puts coverages in an order that neither slopes from side to side nor
// bows from the middle to both: a blade that stands askew, or bends, then does not
// look like a curve. From the greatest in the middle it swaps any two that lower
// the imbalance until none do.
func inOrder(sorted, at []float64) []float64 {
	order := make([]float64, len(sorted))
	for i, pct := range sorted {
		place := i / 2
		if i%2 == 1 {
			place = len(sorted) - 1 - place
		}
		order[place] = pct
	}
	least := imbalance(order, at)
	for better := true; better; {
		better = false
		for i := range order {
			for j := range i {
				order[i], order[j] = order[j], order[i]
				if now := imbalance(order, at); now < least-1e-12 {
					least, better = now, true
				} else {
					order[i], order[j] = order[j], order[i]
				}
			}
		}
	}
	return order
}

// imbalance is how much logarithms of coverages go with the place across and with
// its square.
func imbalance(order, at []float64) float64 {
	n := float64(len(order))
	var mean, square float64
	for i, pct := range order {
		mean, square = mean+math.Log(pct)/n, square+at[i]*at[i]/n
	}
	var slope, bow float64
	for i, pct := range order {
		slope += (math.Log(pct) - mean) * at[i]
		bow += (math.Log(pct) - mean) * (at[i]*at[i] - square)
	}
	return slope*slope + bow*bow
}
