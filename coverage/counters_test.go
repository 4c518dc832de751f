package coverage

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"testing"

	"bladeline/coverage/internal/raster"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A sampleKind is one kind of packed rows that counters read.
type sampleKind struct {
	bits, samples int
	little        bool
}

func (k sampleKind) String() string {
	return fmt.Sprintf("%d bits, %d samples, little %v", k.bits, k.samples, k.little)
}

func (k sampleKind) counter() counter {
	return newCounter(&raster.Header{Bits: k.bits, LittleEndian: k.little}, k.samples)
}

// sample is sample i of a packed row, read bit by bit.
func (k sampleKind) sample(row []byte, i int) (v uint32) {
	if k.bits == 16 && k.little {
		return uint32(binary.LittleEndian.Uint16(row[2*i:]))
	}
	for at := i * k.bits; at < (i+1)*k.bits; at++ {
		v = v<<1 | uint32(row[at/8]>>(7-at%8)&1)
	}
	return v
}

// packed are rows that stand stride bytes apart; the bits behind a row's last
// sample are as random as all others.
type packed struct {
	sampleKind
	width, height, stride int
	data                  []byte
}

func randomRows(rng *rand.Rand, k sampleKind, width, height, gap int) packed {
	rowBytes := (width*k.samples*k.bits + 7) / 8
	p := packed{sampleKind: k, width: width, height: height, stride: rowBytes + gap}
	p.data = make([]byte, (height-1)*p.stride+rowBytes)
	for i := range p.data {
		p.data[i] = byte(rng.Uint32())
	}
	return p
}

// requireCounted gives the rows to c, some at a time, flushes its cells after
// every row of them, its lanes at the end, and compares with sums taken sample by sample.
func (p packed) requireCounted(t require.TestingT, c counter, some int) {
	n := p.width * p.samples
	cuts := randomSpans(p.width, p.samples)
	lanes, rows := make([]uint32, n), make([]uint64, p.height*p.samples)
	c.reset(n)
	gotLanes, gotRows := make([]uint32, n), make([]uint64, len(rows))
	for first := 0; first < p.height; first += maxCell {
		cells := make([]uint32, len(cuts.got))
		behind := min(first+maxCell, p.height)
		for y := first; y < behind; y++ {
			for i := range n {
				v := p.sample(p.data[y*p.stride:], i)
				lanes[i] += v
				rows[y*p.samples+i%p.samples] += uint64(v)
				cells[cuts.at(i)*p.samples+i%p.samples] += v
			}
		}
		for y := first; y < behind; y += some {
			end := min(y+some, behind)
			c.add(p.data[y*p.stride:(end-1)*p.stride+(n*p.bits+7)/8], p.stride, gotRows[y*p.samples:end*p.samples])
		}
		c.flushCells(gotLanes, cuts)
		require.Equal(t, cells, cuts.got, "spans of %v, width %d", p.sampleKind, p.width)
	}
	c.flushLanes(gotLanes)
	require.Equal(t, lanes, gotLanes, "lanes of %v, width %d", p.sampleKind, p.width)
	require.Equal(t, rows, gotRows, "rows of %v, width %d", p.sampleKind, p.width)
}

// randomSpans cut a row of lanes between pixels, the same way for the same row.
func randomSpans(width, samples int) *spans {
	rng := rand.New(rand.NewPCG(uint64(width), uint64(samples)))
	s := &spans{samples: samples}
	for at := 0; at < width; {
		at = min(width, at+1+rng.IntN(maxCell))
		s.cells, s.ends = append(s.cells, len(s.cells)), append(s.ends, at*samples)
	}
	s.got, s.total = make([]uint32, len(s.ends)*samples), make([]uint32, len(s.ends)*samples)
	return s
}

// at is the span that a lane lies in.
func (s *spans) at(lane int) (span int) {
	for s.ends[span] <= lane {
		span++
	}
	return span
}

// TestCountersWithoutVectors runs what other processors do, and those without AVX2.
func TestCountersWithoutVectors(t *testing.T) {
	defer func(had bool) { hasVectors = had }(hasVectors)
	hasVectors = false
	TestCountersEqualNaiveSums(t)
	TestCountersEqualNaiveSumsInAnyPortions(t)
	TestCountersHoldARowOfCellsOfFullInk(t)
	TestCountersHoldMostRowsOfFullInk(t)
	TestCountersHoldWideRowsOfFullInk(t)
	TestEdgesEqualNaiveSums(t)
	TestEdgesHoldMostRows(t)
}

var depths = []sampleKind{{bits: 1}, {bits: 2}, {bits: 4}, {bits: 8}, {bits: 16}, {bits: 16, little: true}}

// Every depth and number of samples at widths around whole bytes, words and
// the pieces that rows are counted in.
func TestCountersEqualNaiveSums(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, k := range depths {
		for k.samples = 1; k.samples <= 32; k.samples++ {
			c := k.counter()
			for _, width := range []int{1, 7, 8, 9, 63, 64, 65, 129} {
				randomRows(rng, k, width, 1+rng.IntN(40), rng.IntN(3)).requireCounted(t, c, 1+rng.IntN(40))
			}
		}
	}
}

// Rows in any number up to a whole row of cells, given in any portions, to a
// counter that has been used before.
func TestCountersEqualNaiveSumsInAnyPortions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(depths).Draw(t, "depth")
		k.samples = rapid.IntRange(1, 32).Draw(t, "samples")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		c := k.counter()
		width := rapid.IntRange(1, max(1, 4200/k.samples/k.bits))
		again := width.Draw(t, "width")
		for _, width := range []int{again, again, width.Draw(t, "other width")} {
			height := rapid.IntRange(1, maxCell).Draw(t, "height")
			p := randomRows(rng, k, width, height, rapid.IntRange(0, 9).Draw(t, "gap"))
			p.requireCounted(t, c, rapid.IntRange(1, height).Draw(t, "portion"))
		}
	})
}

// maxCell rows of full ink are the most that a counter holds until its
// cells are flushed, mostRows until its lanes are.
func TestCountersHoldARowOfCellsOfFullInk(t *testing.T) {
	for _, k := range depths {
		for _, samples := range []int{1, 3, 4} {
			k.samples = samples
			fullInk(k, 100, maxCell).requireCounted(t, k.counter(), maxCell)
			fullInk(k, 3000, maxCell).requireCounted(t, k.counter(), maxCell)
		}
	}
}

func TestCountersHoldMostRowsOfFullInk(t *testing.T) {
	for _, k := range depths {
		k.samples = 1
		fullInk(k, 9, mostRows).requireCounted(t, k.counter(), maxCell)
	}
}

// A row's own ink does not overflow either, however wide it is.
func TestCountersHoldWideRowsOfFullInk(t *testing.T) {
	for _, k := range depths {
		k.samples = 1
		fullInk(k, 300_000, 2).requireCounted(t, k.counter(), 2)
	}
}

func fullInk(k sampleKind, width, height int) packed {
	p := randomRows(rand.New(rand.NewPCG(1, 2)), k, width, height, 0)
	for i := range p.data {
		p.data[i] = 0xff
	}
	return p
}

// Runs against the same pixels painted one by one.
func TestEdgesEqualNaiveSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(1, 600).Draw(t, "width")
		var e edges
		for range 2 {
			e.reset(width)
			cuts := randomSpans(width, 1)
			want, got := make([]uint32, width), make([]uint32, width)
			for range rapid.IntRange(1, 3).Draw(t, "rows of cells") {
				cells := make([]uint32, len(cuts.got))
				for range rapid.IntRange(1, 20).Draw(t, "rows") {
					ends, ink := randomRuns(t, width), uint64(0)
					for i := 0; i < len(ends); i += 2 {
						for x := ends[i]; x < ends[i+1]; x++ {
							want[x]++
							cells[cuts.at(int(x))]++
							ink++
						}
					}
					require.Equal(t, ink, e.add(ends))
				}
				e.flushCells(got, cuts)
				require.Equal(t, cells, cuts.got)
			}
			e.flushLanes(got)
			require.Equal(t, want, got)
		}
	})
}

// As many rows as are counted at once, of ink but for one pixel.
func TestEdgesHoldMostRows(t *testing.T) {
	var e edges
	e.reset(9)
	cuts := randomSpans(9, 1)
	for range mostRows {
		require.EqualValues(t, 8, e.add([]int32{0, 4, 5, 9}))
	}
	got := make([]uint32, 9)
	e.flushCells(got, cuts)
	e.flushLanes(got)
	full := uint32(mostRows)
	require.Equal(t, []uint32{full, full, full, full, 0, full, full, full, full}, got)
	require.Equal(t, make([]uint16, 10), e.steps)
}

// Steps and counts that wrap, as those of many rows do.
func TestStepsEqualNaiveSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		steps := rapid.SliceOfN(rapid.Uint16(), 0, 300).Draw(t, "steps")
		before := rapid.Uint16().Draw(t, "before")
		want, covered := uint32(0), before
		for _, step := range steps {
			covered += step
			want += uint32(covered)
		}
		got, last := sumSteps(steps, before)
		require.Equal(t, want, got)
		require.Equal(t, covered, last)
	})
}

// randomRuns are ends of runs, rising and within the row, two a run.
func randomRuns(t *rapid.T, width int) (ends []int32) {
	for at := -1; ; {
		at += rapid.IntRange(1, 40).Draw(t, "step")
		if at > width {
			return ends[:len(ends)&^1]
		}
		ends = append(ends, int32(at))
	}
}

// BenchmarkCounter counts rows of a plate's width, in bytes a second.
func BenchmarkCounter(b *testing.B) {
	for _, k := range []sampleKind{
		{bits: 1, samples: 1},
		{bits: 1, samples: 4},
		{bits: 2, samples: 1},
		{bits: 4, samples: 1},
		{bits: 8, samples: 1},
		{bits: 8, samples: 3},
		{bits: 8, samples: 4},
		{bits: 16, samples: 1},
		{bits: 16, samples: 4, little: true},
	} {
		b.Run(fmt.Sprintf("%d-bit, %d samples", k.bits, k.samples), func(b *testing.B) {
			const rowBytes, height = 12_000, 208
			p := randomRows(rand.New(rand.NewPCG(1, 2)), k, rowBytes*8/k.bits/k.samples, height, 0)
			c, rows := k.counter(), make([]uint64, height*k.samples)
			lanes, cuts := make([]uint32, p.width*k.samples), randomSpans(p.width, k.samples)
			c.reset(len(lanes))
			b.SetBytes(int64(len(p.data)))
			for b.Loop() {
				c.add(p.data, p.stride, rows)
				c.flushCells(lanes, cuts)
			}
		})
	}
}
