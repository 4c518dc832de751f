package rollers

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves/settings"
)

// A graph is which surfaces of a train touch. Rollers are counted as the train
// has them; the ductor, the plate and the blanket come behind them.
type graph struct {
	train                  Train
	ductor, plate, blanket int
	diameters              []float64
	atDeg                  []*float64
	touch                  [][]int  // what each touches: what it names itself comes first, a form roller's plate before that
	nips                   [][2]int // all of them, in the order of the rollers
	clockwise              []bool   // which way each turns
}

// graphOf finds what touches in a train.
func graphOf(t Train) (*graph, error) {
	n := len(t.Rollers)
	if n == 0 || n > MaxRollers {
		return nil, &settings.FileError{Place: "rollers", What: fmt.Sprintf("%d rollers are outside 1 to %d", n, MaxRollers), Do: "name the rollers of one printing unit"}
	}
	g := &graph{train: t, ductor: n, plate: n + 1, blanket: n + 2, touch: make([][]int, n+3), clockwise: make([]bool, n+3)}
	for _, r := range t.Rollers {
		g.diameters, g.atDeg = append(g.diameters, r.DiameterMM), append(g.atDeg, r.AtDeg)
	}
	g.diameters = append(g.diameters, t.Ductor.DiameterMM, t.PlateMM, t.PlateMM)
	g.atDeg = append(g.atDeg, t.Ductor.AtDeg, nil, nil)
	if err := g.sizes(); err != nil {
		return nil, err
	}
	numbers, err := g.numbers()
	if err != nil {
		return nil, err
	}
	for at, r := range t.Rollers {
		if r.Kind == FormRoller {
			g.join(at, g.plate)
		}
		for _, name := range r.Touches {
			other, known := numbers[strings.ToLower(name)]
			switch {
			case !known:
				return nil, g.unknown(g.place(at)+"touches", name)
			case other == at:
				return nil, g.fail(at, "touches", "it cannot touch itself", "name the rollers beside it")
			}
			g.join(at, other)
		}
	}
	fed, known := numbers[strings.ToLower(t.Ductor.Touches)]
	if !known {
		return nil, g.unknown("ductor.touches", t.Ductor.Touches)
	}
	g.join(g.ductor, fed)
	g.sortTouches(numbers)
	return g, nil
}

// join adds a nip, once.
func (g *graph) join(a, b int) {
	if !slices.Contains(g.touch[a], b) {
		g.nips = append(g.nips, [2]int{a, b})
		g.touch[a], g.touch[b] = append(g.touch[a], b), append(g.touch[b], a)
	}
}

// sortTouches puts what a roller names itself before what names it.
func (g *graph) sortTouches(numbers map[string]int) {
	for at, r := range g.train.Rollers {
		rank := func(other int) int {
			if other == g.plate {
				return -1
			}
			named := func(name string) bool { return numbers[strings.ToLower(name)] == other }
			if own := slices.IndexFunc(r.Touches, named); own >= 0 && other != g.ductor {
				return own
			}
			return len(r.Touches) + other
		}
		slices.SortStableFunc(g.touch[at], func(a, b int) int { return rank(a) - rank(b) })
	}
}

// sizes refuses diameters and angles that no roller has.
func (g *graph) sizes() error {
	if d := g.train.PlateMM; !(d >= LeastPlateMM && d <= MostPlateMM) {
		return &settings.FileError{Place: "plate_mm", What: outside(d, LeastPlateMM, MostPlateMM), Do: "write the diameter of the plate cylinder in mm"}
	}
	for at, d := range g.diameters[:g.plate] {
		if !(d >= LeastRollerMM && d <= MostRollerMM) {
			return g.fail(at, "diameter_mm", outside(d, LeastRollerMM, MostRollerMM), "write its diameter in mm")
		}
		if deg := g.atDeg[at]; deg != nil && !(math.Abs(*deg) <= 360) {
			return g.fail(at, "at_deg", outside(*deg, -360, 360), "count degrees counter-clockwise from the right")
		}
	}
	return nil
}

func outside(v, low, high float64) string {
	return fmt.Sprintf("%s is outside %s to %s", settings.Plain(v), settings.Plain(low), settings.Plain(high))
}

// numbers are the rollers by name, in small letters.
func (g *graph) numbers() (map[string]int, error) {
	numbers := map[string]int{}
	for at, r := range g.train.Rollers {
		key := strings.ToLower(r.Name)
		switch _, twice := numbers[key]; {
		case !settings.IsName(r.Name):
			return nil, &settings.FileError{Place: fmt.Sprintf("rollers: roller %d: name", at+1), What: "it has no name of one line", Do: "give it one, as the press room calls it"}
		case key == "plate" || key == "blanket" || key == "ductor":
			return nil, g.fail(at, "name", "is what another part of the press is called", "name the roller otherwise")
		case twice:
			return nil, g.fail(at, "name", "two rollers have this name: capitals make no difference", "name them apart")
		}
		numbers[key] = at
	}
	return numbers, nil
}

// check refuses what cannot run: rollers that hang on nothing, ink that does not
// get from the ductor to the plate, rollers that would turn against each other.
func (g *graph) check() error {
	if len(g.touch[g.plate]) == 0 {
		return &settings.FileError{Place: "rollers", What: "no roller inks the plate", Do: `give those that touch it kind = "form"`}
	}
	for at := range g.train.Rollers {
		if len(g.touch[at]) == 0 {
			return g.fail(at, "touches", "nothing holds it", "name the rollers that it touches")
		}
	}
	if err := g.turn(); err != nil {
		return err
	}
	fed := g.reached(g.ductor)
	for at := range g.train.Rollers {
		if !fed[at] {
			return g.fail(at, "touches", "no chain of rollers leads from the ductor to it", "name the rollers that it touches, or take it out")
		}
	}
	if !fed[g.plate] {
		return &settings.FileError{Place: "ductor.touches", What: "no chain of rollers leads from the ductor to the plate", Do: "name what the rollers between touch"}
	}
	return nil
}

// turn finds which way each surface turns: those that touch, opposite ways.
func (g *graph) turn() error {
	seen := make([]bool, len(g.touch))
	g.clockwise[g.plate] = true
	for at := g.plate; at >= 0; at-- {
		if err := g.turnFrom(at, seen); err != nil {
			return err
		}
	}
	return nil
}

// turnFrom follows the nips from a surface that turns to all that it turns.
func (g *graph) turnFrom(start int, seen []bool) error {
	if seen[start] {
		return nil
	}
	seen[start] = true
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		for _, other := range g.touch[at] {
			switch {
			case !seen[other]:
				seen[other], g.clockwise[other] = true, !g.clockwise[at]
				queue = append(queue, other)
			case g.clockwise[other] == g.clockwise[at]:
				return g.against(at, other)
			}
		}
	}
	return nil
}

// reached tells which surfaces a chain of rollers joins to one.
func (g *graph) reached(from int) []bool {
	seen := make([]bool, len(g.touch))
	seen[from] = true
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		for _, other := range g.touch[queue[0]] {
			if !seen[other] {
				seen[other] = true
				if other != g.plate { // which joins form rollers, but leads no ink from one to the next
					queue = append(queue, other)
				}
			}
		}
	}
	return seen
}

// spreadForms are where form rollers lie on the plate when nothing says so: in
// their order over its top, a quarter of their diameter between neighbours, and
// closer where they are many.
func (g *graph) spreadForms() map[int]float64 {
	const gap, most = 1.25, 260 // of their diameters; degrees from the first to the last
	var forms []int
	for at, r := range g.train.Rollers {
		if r.Kind == FormRoller {
			forms = append(forms, at)
		}
	}
	turns := make([]float64, len(forms)) // from the first
	for i := 1; i < len(forms); i++ {
		a, b := g.diameters[forms[i-1]], g.diameters[forms[i]]
		ra, rb, chord := (g.train.PlateMM+a)/2, (g.train.PlateMM+b)/2, gap*(a+b)/2
		cos := (ra*ra + rb*rb - chord*chord) / (2 * ra * rb)
		turns[i] = turns[i-1] + math.Acos(max(cos, -1))*180/math.Pi
	}
	total := turns[len(turns)-1]
	shrink := min(1, most/max(total, 1))
	places := map[int]float64{}
	for i, at := range forms {
		places[at] = 90 + (total/2-turns[i])*shrink
	}
	return places
}

// index is a surface as nips count it.
func (g *graph) index(at int) int {
	switch at {
	case g.plate:
		return PlateSurface
	case g.ductor:
		return DuctorSurface
	}
	return at
}
