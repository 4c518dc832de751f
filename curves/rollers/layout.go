package rollers

import (
	"cmp"
	"math"
	"slices"
)

// What a train may have. A printing unit has some thirty rollers at most.
const (
	MaxRollers    = 60
	LeastRollerMM = 10.0 // diameter of a roller, the ductor among them
	MostRollerMM  = 500.0
	LeastPlateMM  = 50.0 // diameter of the plate cylinder
	MostPlateMM   = 1000.0
)

// Lay lays a train in the plane: the plate about the origin, turning clockwise,
// the blanket below it, form rollers on the plate where AtDeg says, or spread over
// its top in their order, the first to the left, where the plate comes from the
// blanket. A roller that touches two laid ones is tangent to both, on the side
// away from what is there; one that touches a single one lies where AtDeg says, or
// where it finds a place that leaves room for the rest. The ductor comes last.
//
// Refused are names that are not known, or twice there; rollers that nothing
// holds; those that no ink reaches, or that reach no plate; two that touch and
// would turn against each other; diameters that no roller has; and rollers that
// find no place, or only one where they overlap. So two nips of a surface lie 5.2 mm
// apart or more, a sixth of the thinnest roller's circumference. Errors are of type
// *settings.FileError, whose place names the roller. Lay takes less
// than a tenth of a second, whatever the train.
func Lay(t Train) (*Laid, error) {
	g, err := graphOf(t)
	if err != nil {
		return nil, err
	}
	if err := g.check(); err != nil {
		return nil, err
	}
	l := newLayout(g)
	if !l.lay(len(t.Rollers) + 1) {
		return nil, l.problem
	}
	return l.result(), nil
}

// A layout is rollers on their way to their places. Surfaces are counted as a
// graph counts them.
type layout struct {
	*graph
	circles []Circle
	laid    []bool
	spread  map[int]float64 // where form rollers lie on the plate when nothing says so
	tries   int             // that are left
	least   int             // rollers that were still to be laid when problem was met
	problem error           // what stood in the way where most were laid
}

// mostTries bounds the places that are tried in all. The trains that people
// describe take less than a hundred; it is there for riddles.
const mostTries = 30_000

func newLayout(g *graph) *layout {
	l := &layout{
		graph: g, circles: make([]Circle, len(g.touch)), laid: make([]bool, len(g.touch)),
		spread: g.spreadForms(), tries: mostTries, least: math.MaxInt,
	}
	for at, d := range g.diameters {
		l.circles[at] = Circle{DiameterMM: d, Clockwise: g.clockwise[at]}
	}
	l.circles[g.blanket].YMM = -g.diameters[g.plate]
	l.laid[g.plate], l.laid[g.blanket] = true, true
	return l
}

// lay finds places for the surfaces that are left, so many, and tells whether it did:
// depth first, taking back what leaves no room for the rest.
func (l *layout) lay(left int) bool {
	if left == 0 {
		return true
	}
	at := l.next()
	places, free, err := l.places(at)
	fitted := false
	for _, c := range places {
		if l.tries--; l.tries < 0 {
			break
		}
		obstacle := l.obstacle(at, c)
		if obstacle != nil {
			err = cmp.Or(err, obstacle)
			continue
		}
		fitted = true
		l.circles[at], l.laid[at] = c, true
		if l.lay(left - 1) {
			return true
		}
		l.laid[at] = false
	}
	if free && err != nil {
		err = l.noPlace(at)
	}
	if !fitted && err != nil && left < l.least {
		l.least, l.problem = left, err
	}
	return false
}

// next is the surface to lay next: form rollers first, then what is tangent to two
// laid ones, or held at an angle, then what has a choice; the ductor last.
func (l *layout) next() int {
	best, most := l.ductor, -1
	for at := range l.train.Rollers {
		if l.laid[at] {
			continue
		}
		bases := l.bases(at)
		rank := len(bases)
		switch {
		case rank == 0:
			continue
		case l.touch[at][0] == l.plate:
			rank = 4
		case rank > 1:
			rank = 3
		default:
			if _, held := l.heldAt(at, bases[0]); held {
				rank = 2
			}
		}
		if rank > most {
			best, most = at, rank
		}
	}
	return best
}

// bases are the laid surfaces that one touches.
func (l *layout) bases(at int) []int {
	var laid []int
	for _, other := range l.touch[at] {
		if l.laid[other] {
			laid = append(laid, other)
		}
	}
	return laid
}

// heldAt is where on a base a surface is said to lie, by its own at_deg or by
// the base's.
func (l *layout) heldAt(at, base int) (deg float64, held bool) {
	if v := l.atDeg[at]; v != nil && l.touch[at][0] == base {
		return turned(*v, 0), true
	}
	if v := l.atDeg[base]; v != nil && l.touch[base][0] == at {
		return turned(*v, 180), true
	}
	return 0, false
}

// stepDeg is the distance of places that are tried on a roller.
const stepDeg = 10

// places are where a surface could lie, the likeliest first; free tells that
// it has its choice round a single roller. Where there is none err says why.
func (l *layout) places(at int) (places []Circle, free bool, err error) {
	bases := l.bases(at)
	if len(bases) > 1 {
		places = l.tangent(at, bases[0], bases[1])
		if len(places) == 0 {
			err = l.outOfReach(at, bases[0], bases[1])
		}
		return places, false, err
	}
	base := bases[0]
	if deg, held := l.heldAt(at, base); held {
		return []Circle{l.on(base, at, deg)}, false, nil
	}
	from := degrees(l.circles[base].XMM, l.circles[base].YMM) // away from the plate
	if base == l.plate {
		from = l.spread[at]
	}
	places = append(places, l.on(base, at, from))
	for off := stepDeg; off < 180; off += stepDeg {
		places = append(places, l.on(base, at, from+float64(off)), l.on(base, at, from-float64(off)))
	}
	if base == l.plate {
		places = slices.DeleteFunc(places, func(c Circle) bool { return l.early(at, c) })
	}
	return places, true, nil
}

// early tells whether a form roller at a place would ink the plate before one that
// comes before it.
func (l *layout) early(at int, c Circle) bool {
	behind := func(c Circle) float64 { return turned(270, -l.circles[l.plate].towards(c)) } // the blanket, as the plate turns
	for before := range at {
		if l.touch[before][0] == l.plate && l.atDeg[before] == nil && behind(c) < behind(l.circles[before]) {
			return true
		}
	}
	return false
}

// on is a surface where it lies on a base at an angle.
func (l *layout) on(base, at int, deg float64) Circle {
	b, c := l.circles[base], l.circles[at]
	sin, cos := math.Sincos(deg * math.Pi / 180)
	reach := (b.DiameterMM + c.DiameterMM) / 2
	c.XMM, c.YMM = b.XMM+reach*cos, b.YMM+reach*sin
	return c
}

// tangent are the places where a surface touches two laid ones: the one that is
// said, if any is, comes first, else the one that is further from what is there.
func (l *layout) tangent(at, first, second int) []Circle {
	a, b, c := l.circles[first], l.circles[second], l.circles[at]
	ra, rb := (a.DiameterMM+c.DiameterMM)/2, (b.DiameterMM+c.DiameterMM)/2
	dx, dy := b.XMM-a.XMM, b.YMM-a.YMM
	d := math.Hypot(dx, dy)
	along := (d*d + ra*ra - rb*rb) / (2 * d) // from a's centre towards b's
	off2 := ra*ra - along*along
	if !(off2 >= 0) {
		return nil
	}
	off := math.Sqrt(off2)
	var places []Circle
	for _, side := range []float64{off, -off} {
		c.XMM = a.XMM + (along*dx-side*dy)/d
		c.YMM = a.YMM + (along*dy+side*dx)/d
		places = append(places, c)
	}
	x, y := l.middle()
	away := func(c Circle) float64 { return math.Hypot(c.XMM-x, c.YMM-y) }
	if away(places[1]) > away(places[0]) {
		slices.Reverse(places)
	}
	if deg, held := l.heldAt(at, l.touch[at][0]); held && l.laid[l.touch[at][0]] {
		from := l.circles[l.touch[at][0]]
		slices.SortStableFunc(places, func(p, q Circle) int {
			return cmp.Compare(apartDeg(from.towards(p), deg), apartDeg(from.towards(q), deg))
		})
	}
	return places
}

// middle is the mean of the centres of what is laid.
func (l *layout) middle() (x, y float64) {
	n := 0.0
	for at, c := range l.circles {
		if l.laid[at] && at != l.blanket {
			x, y, n = x+c.XMM, y+c.YMM, n+1
		}
	}
	return x / n, y / n
}

// How exactly a roller meets what it need not be tangent to.
const (
	contactMM = 1.0 // a third roller, which soft rubber evens out
	heldDeg   = 5.0 // an angle that is said though the nips give it
	roundOff  = 1e-6
)

// obstacle says what is in the way of a surface at a place; nil where it lies well.
func (l *layout) obstacle(at int, c Circle) error {
	for other, o := range l.circles {
		if !l.laid[other] {
			continue
		}
		gap := math.Hypot(c.XMM-o.XMM, c.YMM-o.YMM) - (c.DiameterMM+o.DiameterMM)/2
		touches := slices.Contains(l.touch[at], other)
		switch {
		case touches && math.Abs(gap) > contactMM:
			return l.misses(at, other, gap)
		case !touches && gap < -roundOff:
			return l.overlaps(at, other, -gap)
		}
		if deg, held := l.heldAt(at, other); held && apartDeg(o.towards(c), deg) > heldDeg {
			return l.lies(at, other, o.towards(c))
		}
	}
	return nil
}

// result is the train as it was laid.
func (l *layout) result() *Laid {
	laid := &Laid{Plate: l.circles[l.plate], Blanket: l.circles[l.blanket], Ductor: l.circles[l.ductor], Rollers: l.circles[:len(l.train.Rollers)]}
	for _, nip := range l.nips {
		a, b := nip[0], nip[1]
		deg := l.circles[a].towards(l.circles[b])
		laid.Nips = append(laid.Nips, Nip{A: l.index(a), B: l.index(b), ADeg: deg, BDeg: turned(deg, 180)})
	}
	return laid
}

// towards is the direction from a circle's centre to another's, 0 to 360.
func (c Circle) towards(o Circle) float64 { return degrees(o.XMM-c.XMM, o.YMM-c.YMM) }

func degrees(x, y float64) float64 { return turned(math.Atan2(y, x)*180/math.Pi, 0) }

// turned is an angle turned by another, 0 to 360.
func turned(deg, by float64) float64 {
	deg = math.Mod(deg+by, 360)
	if deg < 0 {
		deg += 360
	}
	return deg
}

// apartDeg is the angle between two directions, 0 to 180.
func apartDeg(a, b float64) float64 { return math.Abs(turned(a-b, 180) - 180) }
