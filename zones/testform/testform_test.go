package testform

import (
	"bytes"
	"context"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"bladeline/coverage"
	"bladeline/coverage/bilevel"
	"bladeline/examples"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// testing.TB and rapid.T, as both are used here.
type checker interface {
	require.TestingT
	Helper()
}

// asMeasured holds every zone of a form's files against what measuring finds.
func asMeasured(t checker, dir string, f *Form) {
	for ending, write := range map[string]func(io.Writer) error{"tif": f.WriteTIFF, "png": f.WritePNG} {
		if ending == "png" && f.DPI != bilevel.DPIOfPNG(f.DPI) {
			continue
		}
		path := filepath.Join(dir, "test_K."+ending)
		var b bytes.Buffer
		require.NoError(t, write(&b))
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o666))
		maps, err := coverage.MeasureFiles(context.Background(), []coverage.Input{{Path: path}}, coverage.Options{})
		require.NoError(t, err)
		form, err := zones.Lay(maps[0], f.Press, zones.Placement{LeadEdge: zones.Bottom})
		require.NoError(t, err)
		zoned, warnings, err := form.Zones()
		require.NoError(t, err)
		require.Empty(t, warnings, "a form of the press's own lies on it")
		for i, z := range zoned {
			require.InDelta(t, f.Zones[i].CoveragePct, z.CoveragePct, 1e-9, "%s: zone %d", ending, z.Number)
			require.Equal(t, f.Zones[i].OffSheet, z.OffSheet, "%s: zone %d", ending, z.Number)
		}
	}
}

func shipped(t *testing.T) map[string]*press.Press {
	all := map[string]*press.Press{}
	entries, err := examples.Files.ReadDir(".")
	require.NoError(t, err)
	for _, e := range entries {
		if ok, _ := filepath.Match("*.press.toml", e.Name()); !ok {
			continue
		}
		data, err := examples.Files.ReadFile(e.Name())
		require.NoError(t, err)
		if all[e.Name()], err = press.Parse(e.Name(), data); err != nil {
			t.Fatal(err)
		}
	}
	require.Len(t, all, 3)
	return all
}

func TestShippedPressesAsMeasured(t *testing.T) {
	for name, on := range shipped(t) {
		for _, dpi := range []float64{300, bilevel.DPIOfPNG(600)} {
			f, err := New(on, Options{GripperMM: DefaultGripperMM, DPI: dpi})
			require.NoError(t, err, name)
			asMeasured(t, t.TempDir(), f)
			for _, z := range f.Zones {
				halfRow := 50 / (f.referenceMM() * f.perMM()) * 1.01
				assert.InDelta(t, f.Steps[z.Step-1].CoveragePct, z.CoveragePct, halfRow, "%s: zone %d is as its step, but for half a row", name, z.Number)
			}
			assert.GreaterOrEqual(t, len(f.Steps), leastSteps, name)
			assert.GreaterOrEqual(t, f.PerStep, LeastZones, name)
			assert.GreaterOrEqual(t, float64(f.PerStep)/2*on.Fountain.ZoneWidthMM, BlurMM, name)
		}
	}
}

// randomPress is any that a form goes on.
func randomPress(t *rapid.T) *press.Press {
	on := zonestest.Press(rapid.IntRange(1, 60).Draw(t, "zones"), rapid.Float64Range(8, 60).Draw(t, "zone width"))
	on.Fountain.FirstZone = rapid.SampledFrom([]press.End{press.Left, press.Right}).Draw(t, "first zone")
	on.PrintLengthMM = rapid.SampledFrom([]float64{0, 300, 412.5, 719.9}).Draw(t, "print length")
	return on
}

func TestRandomPressesAsMeasured(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		on := randomPress(r)
		o := Options{GripperMM: rapid.Float64Range(0, 20).Draw(r, "gripper"), DPI: bilevel.DPIOfPNG(rapid.Float64Range(72, 250).Draw(r, "dpi"))}
		o.WidthMM = on.Fountain.WidthMM() * rapid.SampledFrom([]float64{1, 0.9, 0.5}).Draw(r, "sheet")
		o.LengthMM = rapid.Float64Range(180, 300).Draw(r, "length")
		f, err := New(on, o)
		if err != nil {
			assert.Regexp(r, `; (make it longer|give a wider one)$`, err.Error())
			return
		}
		dir, err := os.MkdirTemp("", "testform")
		require.NoError(r, err)
		defer os.RemoveAll(dir)
		asMeasured(r, dir, f)
	})
}

// What is bare stays bare: the grippers' margin to the row, and the other edges.
func TestEdgesAreBare(t *testing.T) {
	for name, on := range shipped(t) {
		f, err := New(on, Options{GripperMM: 10, DPI: 254}) // 10 px a mm
		require.NoError(t, err)
		var lowest, leftmost, rightmost int32 = 0, math.MaxInt32, 0
		for y := range f.height {
			ends := f.Row(y, nil)
			require.True(t, slices.IsSorted(ends), "row %d", y)
			if len(ends) == 0 {
				continue
			}
			lowest = int32(y)
			leftmost, rightmost = min(leftmost, ends[0]), max(rightmost, ends[len(ends)-1])
		}
		assert.Equal(t, int32(f.height-100-1), lowest, "%s: ink begins at the grippers' margin", name)
		edge := int32(10 * min(5, on.Fountain.ZoneWidthMM/4))
		assert.GreaterOrEqual(t, leftmost, edge, name)
		assert.LessOrEqual(t, rightmost, int32(f.width)-edge, name)
		for y := range 5 * 10 {
			assert.Empty(t, f.Row(y, nil), "%s: row %d of the tail edge", name, y)
		}
	}
}

// A strip 8 mm long, as wide as the zone but for the gap and the edge, stands in
// every zone: by hand, at 10 px a mm.
func TestStripInEveryZone(t *testing.T) {
	on := zonestest.Press(6, 30)
	for _, end := range []press.End{press.Left, press.Right} {
		on.Fountain.FirstZone = end
		f, err := New(on, Options{LengthMM: 400, GripperMM: 12, DPI: 254})
		require.NoError(t, err)
		assert.Equal(t, []int32{50, 295, 305, 595, 605, 895, 905, 1195, 1205, 1495, 1505, 1750}, f.Row(4000-120-170-20-40, nil))
		assert.Equal(t, 80, f.strip.to-f.strip.from)
	}
}

// The order neither slopes nor bows: what is left of either is little beside what
// a sorted order has.
func TestOrderIsLevel(t *testing.T) {
	for n := leastSteps; n <= mostSteps; n++ {
		at := make([]float64, n)
		for i := range at {
			at[i] = (2*float64(i)+1)/float64(n) - 1
		}
		sorted := coverages(5, 60, n)
		order := inOrder(sorted, at)
		assert.ElementsMatch(t, sorted, order)
		assert.Less(t, imbalance(order, at), 0.06*imbalance(sorted, at), "%d steps: %v", n, order)
	}
}

// The numbers stand over their zones, whichever end is the first: a number's ink lies
// within its own zone, and is the same at either end.
func TestNumbersFollowFirstZone(t *testing.T) {
	inkOf := func(end press.End, number int) (ink int32) {
		on := zonestest.Press(10, 30)
		on.Fountain.FirstZone = end
		f, err := New(on, Options{LengthMM: 400, GripperMM: 12, DPI: 254})
		require.NoError(t, err)
		z := f.Zones[number-1]
		for y := f.height - 120 - 160; y < f.height-120-55; y++ { // numbers alone, no coverages
			ends := f.markRow(y, nil)
			for i := 0; i < len(ends); i += 2 {
				if from, to := float64(ends[i]), float64(ends[i+1]); from > f.column(z.LeftMM)+10 && to < f.column(z.RightMM)-10 {
					ink += ends[i+1] - ends[i]
				}
			}
		}
		return ink
	}
	seen := map[int32]int{}
	for number := 1; number <= 10; number++ {
		ink := inkOf(press.Left, number)
		assert.Positive(t, ink)
		assert.Equal(t, ink, inkOf(press.Right, number), "the number %d has the same ink at either end", number)
		seen[ink]++
	}
	assert.Greater(t, len(seen), 6, "and other numbers have other ink")
}

func TestRefusals(t *testing.T) {
	on := zonestest.Press(6, 30)
	of := func(change func(*press.Press, *Options)) error {
		p, o := *on, Options{LengthMM: 400, GripperMM: 12, DPI: 600}
		change(&p, &o)
		_, err := New(&p, o)
		return err
	}
	for want, change := range map[string]func(*press.Press, *Options){
		"zones of 7 mm are too narrow for a strip that a densitometer reads; it takes 8 mm":                        func(p *press.Press, _ *Options) { p.Fountain.ZoneWidthMM = 7 },
		"a gripper margin of -1 mm is outside 0 to 100; measure what the grippers take of the sheet":               func(_ *press.Press, o *Options) { o.GripperMM = -1 },
		`press "Two-colour 26-inch" states no print_length_mm; add it, or say how long the form is to be`:          func(p *press.Press, o *Options) { p.PrintLengthMM, o.LengthMM = 0, 0 },
		"a form 100 mm long has no room for strip and steps; it takes 113 mm, with the grippers' margin":           func(_ *press.Press, o *Options) { o.LengthMM = 100 },
		"a form 400 mm long is longer than the 300 mm that the press prints; make it shorter":                      func(p *press.Press, _ *Options) { p.PrintLengthMM = 300 },
		"a sheet 181 mm wide does not lie on the fountain of 180 mm; give the width of the sheet across the press": func(_ *press.Press, o *Options) { o.WidthMM = 181 },
		"no zone lies wholly on a sheet 20 mm wide; give a wider one":                                              func(_ *press.Press, o *Options) { o.WidthMM = 20 },
		"60 dpi is no resolution of a plate; give 72 to 5080":                                                      func(_ *press.Press, o *Options) { o.DPI = 60 },
	} {
		assert.EqualError(t, of(change), want)
	}
	assert.NotPanics(t, func() {
		for _, bad := range []float64{math.NaN(), math.Inf(1), -1} {
			assert.Error(t, of(func(_ *press.Press, o *Options) { o.DPI = bad }))
			assert.Error(t, of(func(_ *press.Press, o *Options) { o.LengthMM = bad }))
			assert.Error(t, of(func(_ *press.Press, o *Options) { o.WidthMM = bad }))
			assert.Error(t, of(func(_ *press.Press, o *Options) { o.GripperMM = bad }))
		}
	})
	_, err := New(nil, Options{})
	assert.Error(t, err)
}

// The same form has the same bytes.
func TestSameBytes(t *testing.T) {
	var all [2]bytes.Buffer
	for i := range all {
		f, err := New(zonestest.Press(6, 30), Options{LengthMM: 300, GripperMM: 12, DPI: 100})
		require.NoError(t, err)
		require.NoError(t, f.WritePDF(&all[i]))
		require.NoError(t, f.WriteTIFF(&all[i]))
	}
	assert.Equal(t, all[0].Bytes(), all[1].Bytes())
}
