package preset

import (
	"testing"

	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/require"
)

// BenchmarkPreset presets one ink of a large plate, whose Map is at hand, as a
// page does on every drag.
func BenchmarkPreset(b *testing.B) {
	m, on, curve := zonestest.Plate(97_200, 75_600), zonestest.Press(32, 32.5), zonestest.LineCurve(b)
	for name, at := range map[string]zones.Placement{
		"bottom": {}, "top": {LeadEdge: zones.Top}, "left": {LeadEdge: zones.Left}, "right": {LeadEdge: zones.Right}, "mirrored": {Mirrored: true},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				form, err := zones.Lay(m, on, at)
				require.NoError(b, err)
				_, err = New("Gull poster", on, []UnitInput{{Form: form, Curve: curve}}, 10)
				require.NoError(b, err)
			}
		})
	}
}
