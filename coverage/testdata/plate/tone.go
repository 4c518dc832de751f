package main

import (
	"image"
	"math"
)

// A tint is a rectangle of one tone.
type tint struct {
	image.Rectangle
	screen *screen
	level  uint8
}

func newTint(r image.Rectangle, s *screen, tone float64) *tint {
	return &tint{r, s, uint8(math.Round(tone * (levels - 1)))}
}

func (t *tint) bounds() image.Rectangle { return t.Rectangle }

func (t *tint) ink(y int, to *runs) {
	t.screen.add(to, t.level, y, int32(t.Min.X), int32(t.Max.X), int32(t.Min.X))
}

func (t *tint) tones(_ int, line []byte) {
	for x := range line {
		line[x] = t.level
	}
}

// A picture is a rectangle of smooth tones with grain, screened one of the
// screen's steps at a time.
type picture struct {
	image.Rectangle
	screen *screen
	tone   float64 // of its left edge, about
	seed   uint64
	band   int     // of rows whose levels are held
	levels []uint8 // one a step of that band
}

func newPicture(r image.Rectangle, s *screen, tone float64, seed uint64) *picture {
	return &picture{r, s, tone, seed, -1, nil}
}

func (p *picture) bounds() image.Rectangle { return p.Rectangle }

func (p *picture) ink(y int, to *runs) {
	step := p.screen.step
	p.hold(y/step, step)
	for i, level := range p.levels {
		x := p.Min.X + i*step
		p.screen.add(to, level, y, int32(x), int32(min(x+step, p.Max.X)), int32(p.Min.X))
	}
}

// hold works out the levels of one band of rows, a step of pixels to a level.
func (p *picture) hold(band, step int) {
	if band == p.band {
		return
	}
	p.band, p.levels = band, p.levels[:0]
	for x := p.Min.X; x < p.Max.X; x += step {
		p.levels = append(p.levels, p.level(x, band*step))
	}
}

func (p *picture) tones(y int, line []byte) {
	for x := range line {
		line[x] = p.level(p.Min.X+x, y)
	}
}

// level is a slope with two soft waves over it and grain of 4 levels at most.
func (p *picture) level(x, y int) uint8 {
	u := float64(x-p.Min.X) / float64(p.Dx())
	v := float64(y-p.Min.Y) / float64(p.Dy())
	s := float64(p.seed % 11)
	tone := p.tone + 0.6*u + 0.25*math.Sin((3+s)*v+s) + 0.15*math.Cos((9-s/2)*u*v+s)
	grain := float64(hash(p.seed, x, y)%9) - 4
	return uint8(math.Max(0, math.Min(levels-1, math.Round(tone*(levels-1)+grain))))
}

// hash scatters its arguments: the finalizer of splitmix64 (Steele, Lea and
// Flood, 2014).
func hash(seed uint64, x, y int) uint64 {
	z := seed<<48 ^ uint64(x)<<24 ^ uint64(y)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
