package main

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"
)

// Tones have levels from 0, bare, to 255, solid.
const levels = 256

// A screen says of every pixel of one period whether a level inks it; the
// period is a square, set side by side in both directions.
type screen struct {
	// thresholds are the levels, 0 to 254, above which a pixel is inked, by row
	// and column.
	thresholds [][]uint8
	// step is the side in px of the squares in which a picture has one tone.
	step int
}

// add inks what a level inks of row y, from pixel x to pixel end; a period
// begins at pixel origin.
func (s *screen) add(to *runs, level uint8, y int, x, end, origin int32) {
	period := int32(len(s.thresholds))
	row := s.thresholds[y%int(period)]
	for at := (x - origin) % period; x < end; at = 0 {
		n := min(end-x, period-at)
		to.screened(row[at:at+n], level, x)
		x += n
	}
}

// screened adds the pixels from x on whose thresholds are below a level.
func (r *runs) screened(thresholds []uint8, level uint8, x int32) {
	if level == levels-1 {
		r.add(x, x+int32(len(thresholds)))
		return
	}
	start, inked := int32(0), false
	for i, t := range thresholds {
		if t < level == inked {
			continue
		}
		if inked {
			r.add(start, x+int32(i))
		}
		start, inked = x+int32(i), !inked
	}
	if inked {
		r.add(start, x+int32(len(thresholds)))
	}
}

// newScreen makes a screen of a name.
func newScreen(name string, dpi int, lpi, degrees float64) (*screen, error) {
	step := max(1, dpi/300) // 300 dpi is a picture's usual resolution
	if dot, ok := dots[name]; ok {
		l, err := newLattice(dpi, lpi, degrees)
		if err != nil {
			return nil, err
		}
		return &screen{l.thresholds(dot, 0.01), step}, nil
	}
	switch name {
	case "cell":
		return &screen{firstLattice.thresholds(cosines, 0), firstLattice.period()}, nil
	case "stochastic":
		return &screen{enlarged(dispersed(), max(1, (dpi+635)/1270)), step}, nil // spots of about 20 µm
	case "stochastic-fine":
		return &screen{dispersed(), step}, nil // spots of a pixel
	case "clustered":
		return &screen{clustered(), step}, nil
	}
	return nil, fmt.Errorf("-screen %s: not known; take cell, round, elliptic, line, stochastic, stochastic-fine or clustered", name)
}

// A lattice is an AM screen's: n cells lie along the vector (a, b) px, and as
// many across it.
type lattice struct{ a, b, n int }

// firstLattice is 174.5 lines an inch at 2540 dpi, turned by 15.9 degrees.
var firstLattice = lattice{14, 4, 1}

// newLattice approaches a ruling and an angle of 0 to 90 degrees as near as
// periods of longest px allow, in which the angle's tangent is rational.
func newLattice(dpi int, lpi, degrees float64) (lattice, error) {
	const longest = 1000
	pitch := float64(dpi) / lpi
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	best, least := lattice{}, math.Inf(1)
	for n := 1; pitch >= 4 && float64(n)*pitch < longest; n++ {
		x, y := float64(n)*pitch*cos, float64(n)*pitch*sin
		l := lattice{int(math.Round(x)), int(math.Round(y)), n}
		off := math.Hypot(x-float64(l.a), y-float64(l.b)) / float64(n)
		if l.period() <= longest && off < least {
			best, least = l, off
		}
	}
	if best.n == 0 {
		return best, fmt.Errorf("-lpi %g, -angle %g: no lattice of cells of 4 px or more repeats in %d px; take others", lpi, degrees, longest)
	}
	return best, nil
}

// period is after how many px the lattice repeats both along a row and down a
// column.
func (l lattice) period() int { return (l.a*l.a + l.b*l.b) / gcd(l.a, l.b) }

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// thresholds inks the pixels of a period in the order of a dot's height, to
// which noise is added so that the dots of a period grow at one time and not
// one after the other.
func (l lattice) thresholds(dot func(u, v float64) float64, noise float64) [][]uint8 {
	area := float64(l.a*l.a + l.b*l.b)
	return ranked(l.period(), func(x, y int) float64 {
		height := dot(float64((x*l.a+y*l.b)*l.n)/area, float64((y*l.a-x*l.b)*l.n)/area)
		return height + noise*float64(hash(0, x, y))/math.MaxUint64
	})
}

// dots are the shapes of AM's dots: their heights over a place in the lattice,
// in cells.
var dots = map[string]func(u, v float64) float64{
	"round":    func(u, v float64) float64 { return -math.Hypot(offCentre(u), offCentre(v)) },
	"elliptic": func(u, v float64) float64 { return -math.Hypot(0.7*offCentre(u), offCentre(v)) },
	"line":     func(u, v float64) float64 { return 0.05*math.Cos(2*math.Pi*u) - math.Abs(offCentre(v)) },
}

func offCentre(u float64) float64 { return u - math.Round(u) }

// cosines is a dot that is round in light tones and dark ones, square between.
func cosines(u, v float64) float64 { return math.Cos(2*math.Pi*u) + math.Cos(2*math.Pi*v) }

// ranked gives the pixels of a period their thresholds: the highest is inked
// first and, of pixels equally high, the first in the order of reading.
func ranked(period int, height func(x, y int) float64) [][]uint8 {
	type pixel struct {
		image.Point
		height float64
	}
	var order []pixel
	for y := range period {
		for x := range period {
			order = append(order, pixel{image.Pt(x, y), height(x, y)})
		}
	}
	slices.SortStableFunc(order, func(a, b pixel) int { return cmp.Compare(b.height, a.height) })
	t := square[uint8](period)
	for i, p := range order {
		t[p.Y][p.X] = uint8(i * (levels - 1) / len(order))
	}
	return t
}

// square returns rows of zeros, as many as their length.
func square[T any](side int) [][]T {
	rows := make([][]T, side)
	for y := range rows {
		rows[y] = make([]T, side)
	}
	return rows
}
