package preset

import (
	"testing"

	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a preset must not state, at the bounds of each, and where it is said to
// stand.
func TestFlawsAtTheirBounds(t *testing.T) {
	for place, change := range map[string]func(p *Preset){
		"press.zones":                  func(p *Preset) { p.Press.Zones = 201 },
		"press.zone_width_mm":          func(p *Preset) { p.Press.ZoneWidthMM = new(0.0) },
		"units":                        func(p *Preset) { p.Units = nil },
		"units[0].page":                func(p *Preset) { p.Units[0].Page = new(0) },
		"units[0].channel":             func(p *Preset) { p.Units[0].Channel = new(0) },
		"units[1].length_mm":           func(p *Preset) { p.Units[1].LengthMM = new(0.0) },
		"units[0].keys[2].left_mm":     func(p *Preset) { k := &p.Units[0].Keys[2]; k.LeftMM, k.RightMM = new(5.0), new(5.0) },
		"units[0].keys[0].key_text":    func(p *Preset) { p.Units[0].Keys[0].KeyText = "-0.24999895" },
		"units[1].keys[0].left_mm":     func(p *Preset) { k := &p.Units[1].Keys[0]; k.LeftMM, k.RightMM = nil, new(5.0) },
		"units[1].keys[1].opening_pct": func(p *Preset) { p.Units[1].Keys[1].OpeningPct = 100.001 },
		"warnings[0]":                  func(p *Preset) { p.Warnings = []zones.Warning{{Ink: "Black", Code: "low", Text: "so", Zone: new(0)}} },
	} {
		p := gull(t)
		change(p)
		require.NotNil(t, p.validate(), place)
		assert.Equal(t, place, p.validate().path())
	}
	for what, change := range map[string]func(p *Preset){
		"a key to a millionth":  func(p *Preset) { p.Units[0].Keys[0].KeyText = "-0.24999905" },
		"a zone's warning":      func(p *Preset) { p.Warnings = []zones.Warning{{Ink: "Black", Code: "low", Text: "so", Zone: new(3)}} },
		"first of all channels": func(p *Preset) { p.Units[0].Channel, p.Units[0].Page = new(1), new(1) },
	} {
		p := gull(t)
		change(p)
		assert.Nil(t, p.validate(), what)
	}
	p := presetOf(t, zonestest.Press(200, 5), unitOf(t, "Black", make([]float64, 200)...))
	assert.Nil(t, p.validate(), "200 zones")
}

// In a job a flaw is said of its ink and its zone, and of neither where it is
// of the whole.
func TestFlawsInAJob(t *testing.T) {
	p := gull(t)
	for want, f := range map[string]problem{
		`job "Gull poster, night": it is so`:                                   {-1, -1, "job", "it is so"},
		`job "Gull poster, night": press.name: it is so`:                       {-1, -1, "press.name", "it is so"},
		`job "Gull poster, night", ink "Harbour Red": ink: it is so`:           {0, -1, "ink", "it is so"},
		`job "Gull poster, night", ink "Black": job: it is so`:                 {1, -1, "job", "it is so"},
		`job "Gull poster, night", ink "Harbour Red", zone 1: key: it is so`:   {0, 0, "key", "it is so"},
		`job "Gull poster, night", ink "Black", zone 2: opening_pct: it is so`: {1, 1, "opening_pct", "it is so"},
	} {
		assert.EqualError(t, f.inJob(p), want)
	}
}

func TestWhatIsNoSweep(t *testing.T) {
	assert.Equal(t, "0 feeds no ink; a sweep is above 0", notSweep(0))
	assert.Equal(t, "0.0000000001 is on no press's scale", notSweep(1e-10))
}
