package zones

import (
	"math"
	"testing"

	"bladeline/coverage"
	"bladeline/zones/press"

	"github.com/stretchr/testify/require"
)

func lay(t require.TestingT, m *coverage.Map, on *press.Press, at Placement) *Form {
	f, err := Lay(m, on, at)
	require.NoError(t, err)
	return f
}

// zonesOf are a separation's zones on a press.
func zonesOf(m *coverage.Map, on *press.Press, at Placement) ([]Zone, []Warning, error) {
	f, err := Lay(m, on, at)
	if err != nil {
		return nil, nil, err
	}
	return f.Zones()
}

// splitIn divides a separation into n zones.
func splitIn(m *coverage.Map, n int, at Placement) ([]Zone, error) {
	f, err := Lay(m, nil, at)
	if err != nil {
		return nil, err
	}
	return f.Split(n)
}

func solidM2(m *coverage.Map, at Placement) (float64, error) {
	f, err := Lay(m, nil, at)
	if err != nil {
		return 0, err
	}
	return f.SolidM2()
}

func coverages(zones []Zone) []float64 {
	var cs []float64
	for _, z := range zones {
		cs = append(cs, z.CoveragePct)
	}
	return cs
}

func placed(t testing.TB, m *coverage.Map, on *press.Press, p Placement) []Zone {
	zones, warnings, err := zonesOf(m, on, p)
	require.NoError(t, err)
	require.Empty(t, warnings)
	return zones
}

func inDeltas(t require.TestingT, want, got []float64, delta float64) {
	require.Len(t, got, len(want))
	for i := range want {
		require.InDelta(t, want[i], got[i], delta, "zone %d", i+1)
	}
}

var notFinite = []float64{math.NaN(), math.Inf(1), math.Inf(-1)}
