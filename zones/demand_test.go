package zones

import (
	"math"
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The fullest band has as much ink as it says, and no band of the same length,
// wherever it lies, has more. The zones' profiles add up to all ink.
func TestFullestBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := make([][]uint64, rapid.IntRange(1, 30).Draw(t, "height"))
		for y := range rows {
			rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), 12, 12).Draw(t, "row")
		}
		m := zonestest.MapOf(255, 25.4, 25.4, rows...)
		m.Cells = zonestest.CellsOf(rows, rapid.IntRange(1, 5).Draw(t, "side"), 1)
		on := zonestest.Press(4, 3.5)
		on.PrintLengthMM = rapid.Float64Range(1, 400).Draw(t, "length")
		at := Placement{ShiftMM: rapid.Float64Range(-1, 1).Draw(t, "shift")}
		form := lay(t, m, on, at)
		var all float64
		for i := range 4 {
			left, right := 3.5*float64(i), 3.5*float64(i+1)
			p := newProfile(&form.pieces[0].view, form.pieces[0].px(left), form.pieces[0].px(right))
			all += new(cursor).before(p, 1000)
			b := form.Fullest(left, right, on.PrintLengthMM/10)
			pct := func(from, to float64) float64 {
				return 100 * (new(cursor).before(p, to) - new(cursor).before(p, from)) / ((to - from) * 3.5 * 255)
			}
			length := on.PrintLengthMM / 10
			require.InDelta(t, length, b.ToMM-b.FromMM, 1e-9)
			require.InDelta(t, pct(b.FromMM, b.ToMM), b.CoveragePct, 1e-9)
			from := rapid.Float64Range(0, max(0, float64(m.Height)-length)).Draw(t, "from")
			require.LessOrEqual(t, pct(from, from+length), b.CoveragePct+1e-9)
		}
		require.InEpsilon(t, float64(m.Total())+1, all+1, 1e-9)
	})
}

// Where cells lie within zones, a profile is the naive sum of the pixels.
func TestProfileAgainstNaiveSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := make([][]uint64, 12)
		for y := range rows {
			rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), 12, 12).Draw(t, "row")
		}
		m := zonestest.MapOf(255, 25.4, 25.4, rows...)
		m.Cells = zonestest.CellsOf(rows, 2, 3)
		v := newView(m)
		p := newProfile(&v, 4, 8)
		for mm := 0; mm <= 12; mm += 3 {
			var sum uint64
			for _, row := range rows[12-mm:] {
				for _, v := range row[4:8] {
					sum += v
				}
			}
			require.InDelta(t, float64(sum), new(cursor).before(p, float64(mm)), 1e-6)
		}
	})
}

// Worked by hand, rows of 1 mm from the tail edge down: the left half bears ink 1
// mm from the lead edge and 6 to 8, the right half none. The press prints 12 mm, of
// which the form is 10: free are 5 mm between, and 4 from 8 on.
func TestFreeLength(t *testing.T) {
	m := zonestest.Drawn(25.4, "....", "....", "#...", ".#..", "....", "....", "....", "....", "....", "##..")
	m.Cells = zonestest.CellsOf([][]uint64{{0, 0, 0, 0}, {0, 0, 0, 0}, {1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {1, 1, 0, 0}}, 1, 1)
	on := zonestest.Press(2, 2)
	for lengthMM, free := range map[float64][]float64{12: {5, 12}, 20: {12, 20}, 0: {5, 10}} {
		on.PrintLengthMM = lengthMM
		form := lay(t, m, on, Placement{})
		require.InDelta(t, free[0], form.FreeMM(0, 2), 1e-9, "%g mm", lengthMM)
		require.InDelta(t, free[1], form.FreeMM(2, 4), 1e-9, "%g mm", lengthMM)
	}
	require.Zero(t, lay(t, m, on, Placement{}).FreeMM(2, 2))

	on.PrintLengthMM = 12
	require.Equal(t, Band{FromMM: 1, ToMM: 6}, lay(t, m, on, Placement{}).Free(0, 2), "of the left half")
	require.InDelta(t, 12, lay(t, m, on, Placement{}).FreeMM(math.Nextafter(2, 0), 4), 1e-9, "what rounding leaves of an edge is no ink")
}

// In bands the left half of that form, on a press that prints 12 mm: a solid
// millimetre at the lead edge, two that are half covered from 6 on.
func TestAlongByHand(t *testing.T) {
	m := zonestest.Drawn(25.4, "....", "....", "#...", ".#..", "....", "....", "....", "....", "....", "##..")
	m.Cells = zonestest.CellsOf([][]uint64{{0, 0, 0, 0}, {0, 0, 0, 0}, {1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 0, 0}, {1, 1, 0, 0}}, 1, 1)
	on := zonestest.Press(2, 2)
	on.PrintLengthMM = 12
	form := lay(t, m, on, Placement{})
	require.InDeltaSlice(t, []float64{100, 0, 0, 0, 0, 0, 50, 50, 0, 0, 0, 0}, form.Along(0, 2, 12), 1e-9)
	require.InDeltaSlice(t, []float64{50, 0, 0, 50, 0, 0}, form.Along(0, 2, 6), 1e-9)
	require.InDelta(t, 12, form.AlongMM(), 1e-9)
	require.Nil(t, form.Along(2, 2, 6))
}

// The bands of a zone are all of its ink: their mean is what it is covered.
func TestAlongIsAllInk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := make([][]uint64, rapid.IntRange(1, 30).Draw(t, "height"))
		for y := range rows {
			rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), 10, 10).Draw(t, "row")
		}
		m := zonestest.MapOf(255, 25.4, 25.4, rows...)
		m.Cells = zonestest.CellsOf(rows, 1, rapid.IntRange(1, 5).Draw(t, "side"))
		on := zonestest.Press(5, 2)
		on.PrintLengthMM = rapid.Float64Range(30, 60).Draw(t, "length")
		form := lay(t, m, on, Placement{})
		zoned, _, err := form.Zones()
		require.NoError(t, err)
		for _, z := range zoned {
			var mean float64
			n := rapid.IntRange(1, 40).Draw(t, "bands")
			for _, pct := range form.Along(*z.LeftMM, *z.RightMM, n) {
				mean += pct / float64(n)
			}
			require.InDelta(t, z.CoveragePct, mean*form.AlongMM()/form.ReferenceMM(), 1e-6, "zone %d", z.Number)
		}
	})
}
