package main

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// The screen is AM, its cell spanned by (14, 4) and (-4, 14) px: 174.5 lines an
// inch at 2540 dpi, turned by 15.9 degrees, repeating every 106 px both ways.
const (
	cellX  = 14
	cellY  = 4
	period = 106
	levels = 256
)

// screened holds the runs of every level's every row in one period: ink from
// [0] to [1], [2] to [3], and so on.
var screened = newScreen()

func newScreen() (s [levels][period][]int32) {
	threshold := thresholds()
	for level := range levels {
		for y := range period {
			var r runs
			r.width = period
			for x := range int32(period) {
				if threshold[y][x] < level {
					r.add(x, x+1)
				}
			}
			s[level][y] = r.ends
		}
	}
	return s
}

// thresholds ranks the pixels of a period by the height of a round dot's spot
// function and gives each the level, 0 to 254, above which it is inked.
func thresholds() (t [period][period]int) {
	var order []image.Point
	for y := range period {
		for x := range period {
			order = append(order, image.Pt(x, y))
		}
	}
	slices.SortStableFunc(order, func(a, b image.Point) int { return cmp.Compare(spot(b), spot(a)) })
	for i, p := range order {
		t[p.Y][p.X] = i * (levels - 1) / len(order)
	}
	return t
}

func spot(p image.Point) float64 {
	const area = cellX*cellX + cellY*cellY
	u := float64(p.X*cellX+p.Y*cellY) / area
	v := float64(p.Y*cellX-p.X*cellY) / area
	return math.Cos(2*math.Pi*u) + math.Cos(2*math.Pi*v)
}

// addScreened adds one period of a level, from pixel x on, up to pixel end.
func addScreened(to *runs, level uint8, x, end int32, y int) {
	r := screened[level][y%period]
	for i := 0; i < len(r); i += 2 {
		to.add(x+r[i], min(x+r[i+1], end))
	}
}

// A tint is a rectangle of one tone.
type tint struct {
	image.Rectangle
	level uint8
}

func newTint(r image.Rectangle, tone float64) *tint {
	return &tint{r, uint8(math.Round(tone * (levels - 1)))}
}

func (t *tint) bounds() image.Rectangle { return t.Rectangle }

func (t *tint) ink(y int, to *runs) {
	for x := t.Min.X; x < t.Max.X; x += period {
		addScreened(to, t.level, int32(x), int32(t.Max.X), y)
	}
}

func (t *tint) tones(_ int, line []byte) {
	for x := range line {
		line[x] = t.level
	}
}

// A picture is a rectangle of smooth tones with grain, screened one period at
// a time.
type picture struct {
	image.Rectangle
	seed   uint64
	band   int     // of rows whose levels are held
	levels []uint8 // one a period of that band
}

func newPicture(r image.Rectangle, seed uint64) *picture { return &picture{r, seed, -1, nil} }

func (p *picture) bounds() image.Rectangle { return p.Rectangle }

func (p *picture) ink(y int, to *runs) {
	p.hold(y/period, period)
	for i, level := range p.levels {
		addScreened(to, level, int32(p.Min.X+i*period), int32(p.Max.X), y)
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
	tone := 0.3 + 0.6*u + 0.25*math.Sin((3+s)*v+s) + 0.15*math.Cos((9-s/2)*u*v+s)
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
