package preset

import (
	"testing"

	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A press of the same name whose zones lie otherwise is another one, of JSON
// and of CSV, which states neither their width nor where the first is.
func TestAnotherPressOfTheName(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	for what, change := range map[string]func(f *press.Fountain){
		"width": func(f *press.Fountain) { f.ZoneWidthMM = 30 },
		"end":   func(f *press.Fountain) { f.FirstZone = press.Right },
	} {
		other := *on
		change(&other.Fountain)
		p := presetOf(t, on, unitOf(t, "Black", 10, 20))
		p.Units[0].Keys[0].LeftMM, p.Units[0].Keys[0].RightMM = new(0.0), new(31.75)
		require.NoError(t, p.IsFor(on, "p.json"), what)
		assert.ErrorContains(t, p.IsFor(&other, "p.json"), " is not ", what)
		p.Press.ZoneWidthMM, p.Press.FirstZone = nil, nil
		require.NoError(t, p.IsFor(on, "p.csv"), what)
		assert.ErrorContains(t, p.IsFor(&other, "p.csv"), `p.csv: ink "Black", zone 1, left_mm: the zone lies from 0 to 31.75 mm, and on press`, what)
	}
}

// A key that was edited to where its opening does not stand; a zero that was
// found since is no such thing.
func TestKeyBesideItsOpening(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	p := presetOf(t, on, unitOf(t, "Black", 10, 20))
	on.Keys.Zero = []float64{3, -3}
	require.NoError(t, p.IsFor(on, "p.json"))
	k := &p.Units[0].Keys[1]
	k.Key, k.KeyText = 150, "150"
	assert.ErrorContains(t, p.IsFor(on, "p.json"), `p.json: ink "Black", zone 2, key: 150 is open by 153.0 %, and opening_pct says `)
}
