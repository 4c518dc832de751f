package rastertest

import (
	"math"
	"math/rand/v2"
)

// A Nature is a kind of random picture.
type Nature int

const (
	Noise    Nature = iota // every sample for itself
	Runs                   // runs of random lengths, some longer than 2560 where there is room
	Halftone               // round dots on a turned grid, growing from left to right
	Text                   // short strokes in lines
	Tone                   // a smooth gradient under light noise
	Blank                  // all zeros
	Solid                  // all full
	Natures                // how many there are
)

// String names the nature, for subtests.
func (n Nature) String() string {
	return [...]string{"noise", "runs", "halftone", "text", "tone", "blank", "solid"}[n]
}

// Random returns a picture of a nature; the same seed gives the same picture.
func Random(seed uint64, nature Nature, width, height, samples, bits int) *Picture {
	p := New(width, height, samples, bits)
	r := rand.New(rand.NewPCG(seed, uint64(nature)))
	for s := range samples {
		switch nature {
		case Noise:
			p.fill(s, func(_, _ int) uint16 { return p.value(r) })
		case Runs:
			p.runs(s, r)
		case Halftone:
			p.dots(s, r)
		case Text:
			p.strokes(s, r)
		case Tone:
			p.tone(s, r)
		case Solid:
			p.fill(s, func(_, _ int) uint16 { return p.Full() })
		}
	}
	return p
}

func (p *Picture) value(r *rand.Rand) uint16 { return uint16(r.UintN(uint(p.Full()) + 1)) }

func (p *Picture) fill(s int, at func(x, y int) uint16) {
	for y := range p.Height {
		for x := range p.Width {
			p.Set(x, y, s, at(x, y))
		}
	}
}

// runs leaves some rows as the one above and draws the others anew, with
// lengths spread evenly over their logarithm.
func (p *Picture) runs(s int, r *rand.Rand) {
	for y := range p.Height {
		var v uint16
		left := 0
		again := y > 0 && r.IntN(3) == 0
		for x := range p.Width {
			if left == 0 {
				left = int(math.Exp2(13 * r.Float64()))
				v = p.Full() - v
				if r.IntN(4) == 0 {
					v = p.value(r)
				}
			}
			left--
			p.Set(x, y, s, v)
			if again {
				p.Set(x, y, s, p.At(x, y-1, s))
			}
		}
	}
}

// dots draws dots 6 to 20 px apart at an angle of its own for every sample.
func (p *Picture) dots(s int, r *rand.Rand) {
	pitch := 6 + 14*r.Float64()
	sin, cos := math.Sincos(math.Pi * r.Float64())
	p.fill(s, func(x, y int) uint16 {
		u := (float64(x)*cos + float64(y)*sin) / pitch
		v := (float64(y)*cos - float64(x)*sin) / pitch
		height := (2 + math.Cos(2*math.Pi*u) + math.Cos(2*math.Pi*v)) / 4
		if height < 1-float64(x)/float64(p.Width) {
			return 0
		}
		return p.Full()
	})
}

// strokes draws vertical, level and slanting strokes in lines 12 px apart.
func (p *Picture) strokes(s int, r *rand.Rand) {
	for top := 2; top+8 <= p.Height; top += 12 {
		for left := 2; left+6 <= p.Width; left += 5 + r.IntN(6) {
			dx, dy := r.IntN(2), 1
			if r.IntN(3) == 0 {
				dx, dy = 1, 0
			}
			for i := range 5 {
				p.Set(left+i*dx, top+i*dy, s, p.Full())
				p.Set(left+i*dx+dy, top+i*dy+1-dy, s, p.Full())
			}
		}
	}
}

func (p *Picture) tone(s int, r *rand.Rand) {
	slope := r.Float64()
	full := float64(p.Full())
	p.fill(s, func(x, y int) uint16 {
		at := slope*float64(x)/float64(p.Width) + (1-slope)*float64(y)/float64(p.Height)
		return uint16(math.Max(0, math.Min(full, math.Round(full*at+2*r.NormFloat64()))))
	})
}
