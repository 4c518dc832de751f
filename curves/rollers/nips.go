package rollers

import "math"

// exchange splits the films of two rollers in a nip: of both together the upper
// keeps one share, the lower takes the other.
func exchange(up, down []float64, keeps, passes float64) {
	down = down[:len(up)]
	for j, u := range up {
		both := u + down[j]
		up[j], down[j] = keeps*both, passes*both
	}
}

// ink has a form roller ink a row of the plate: where the plate takes ink, both
// leave with half of what they bring.
func ink(form, plate, cover []float64) {
	plate, cover = plate[:len(form)], cover[:len(form)]
	for j, f := range form {
		half := 0.5 * (f + plate[j])
		plate[j] = half
		form[j] = f + cover[j]*(half-f)
	}
}

// print has the plate ink a row of the blanket, and the blanket the paper, which
// takes the share tau.
func print(plate, blanket, paper []float64, tau float64) {
	blanket, paper = blanket[:len(plate)], paper[:len(plate)]
	for j, p := range plate {
		half := 0.5 * (p + blanket[j])
		plate[j] = half
		paper[j] = tau * half
		blanket[j] = half - paper[j]
	}
}

// An overlap is how the columns of two rollers lie over each other where they
// have moved sideways. Column j of the upper one faces the place j + shift + u of
// the lower, between two columns. It exchanges ink with four of them, weighted as
// Lagrange's cubic through them is at that place; the lower one's columns
// exchange with the same four and weights. Weights of two columns would smear ink
// sideways at each nip. So all ink stays, and a film that is even stays even.
//
// Towards the ends, where one of the four is not there, two columns exchange by
// linear weights, and what hangs over exchanges nothing.
type overlap struct {
	shift         int
	cubic, linear [4]float64 // of the lower roller's columns from shift − 1 on
	lo, hi        int        // columns of the upper roller that have all four, as have those that they face
}

// overlapAt is the overlap where the lower roller stands t columns further to the
// right than the upper.
func overlapAt(t float64, columns int) overlap {
	k := math.Floor(-t)
	u, shift := -t-k, int(k)
	o := overlap{
		shift: shift,
		cubic: [4]float64{
			-u * (1 - u) * (2 - u) / 6,
			(1 - u*u) * (2 - u) / 2,
			u * (1 + u) * (2 - u) / 2,
			-u * (1 - u*u) / 6,
		},
		linear: [4]float64{0, 1 - u, u, 0},
		lo:     max(2, 1-shift),
		hi:     min(columns-1, columns-2-shift),
	}
	if o.hi <= o.lo { // beyond all columns, as seen from either roller
		o.lo = 2*columns + max(shift, -shift)
		o.hi = o.lo
	}
	return o
}

// A side is one roller of such a nip.
type side struct {
	films []float64
	shift int     // of its columns against the upper roller's
	share float64 // that it has of both films
	pairs int     // 1 or −1: which way the other's columns follow each other in the weights
}

// exchange is the nip of two rollers that lie so. It needs room for two rows.
func (o *overlap) exchange(up, down []float64, keeps, passes float64, room []float64) {
	upper, lower := &side{up, 0, keeps, 1}, &side{down, o.shift, passes, -1}
	newUp, newDown := room[:len(up)], room[len(up):2*len(up)]
	o.ends(newUp, upper, lower)
	o.ends(newDown, lower, upper)
	o.middle(up, down, keeps, passes)
	o.settle(upper, newUp)
	o.settle(lower, newDown)
}

// ends works out the films of one side outside the middle.
func (o *overlap) ends(to []float64, own, other *side) {
	lo, hi := o.within(own)
	for i := 0; i < len(to); i++ {
		if i == lo {
			if i = hi; i == len(to) {
				return
			}
		}
		to[i] = o.end(i, own, other)
	}
}

// within is the middle in a side's own columns.
func (o *overlap) within(s *side) (lo, hi int) {
	return min(o.lo+s.shift, len(s.films)), min(o.hi+s.shift, len(s.films))
}

// end works out the film of one column outside the middle.
func (o *overlap) end(i int, own, other *side) float64 {
	film := own.films[i]
	to := film
	for k := -1; k <= 2; k++ {
		place := i - own.shift + own.pairs*k
		j := place + other.shift
		if j < 0 || j >= len(other.films) {
			continue
		}
		weight := o.linear[k+1]
		if place >= o.lo && place < o.hi {
			weight = o.cubic[k+1]
		}
		to += weight * (own.share*other.films[j] - other.share*film)
	}
	return to
}

// settle writes the ends.
func (o *overlap) settle(s *side, films []float64) {
	lo, hi := o.within(s)
	copy(s.films[:lo], films)
	copy(s.films[hi:], films[hi:])
}

// middle exchanges where all columns are there. It reads each film before it
// writes it.
func (o *overlap) middle(up, down []float64, keeps, passes float64) {
	if o.hi > len(up) {
		return
	}
	up = up[o.lo-2 : o.hi+1]
	down = down[o.lo+o.shift-1 : o.hi+o.shift+2]
	down = down[:len(up)]
	w0, w1, w2, w3 := o.cubic[0], o.cubic[1], o.cubic[2], o.cubic[3]
	u0, u1, u2 := up[0], up[1], up[2]
	d0, d1, d2 := down[0], down[1], down[2]
	for j := 3; j < len(up); j++ {
		u3, d3 := up[j], down[j]
		up[j-1] = keeps * (u2 + (w0*d0 + w1*d1 + w2*d2 + w3*d3))
		down[j-2] = passes * (d1 + (w0*u3 + w1*u2 + w2*u1 + w3*u0))
		u0, u1, u2 = u1, u2, u3
		d0, d1, d2 = d1, d2, d3
	}
}
