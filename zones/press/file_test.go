package press

import (
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// boundsPress states everything that a press's file can.
const boundsPress = `name = "p"
print_length_mm = 480
[fountain]
zones = 4
zone_width_mm = 30
first_zone = "left"
blade = "one-piece"
neighbour_limit_pct = 50
[keys]
unit = "%"
travel = 100
step = 1
floor_pct = 0
ceiling_pct = 100
off_sheet_pct = 0
[sweep]
unit = "strokes"
from = 10
to = 90
step = 2
reference = 45
[inks.Black]
density_rate_per_um = 1
film_um = 1
specific_gravity = 1
`

// pressBounds are lines of the file, and what they can be changed to and what
// not, at each bound.
var pressBounds = map[string]bounds{
	"print_length_mm = 480":                {[]string{"print_length_mm = 0.001", "print_length_mm = 10000"}, []string{"print_length_mm = 0", "print_length_mm = 10000.001"}},
	"zones = 4":                            {[]string{"zones = 1", "zones = 200"}, []string{"zones = 0", "zones = 201"}},
	"zone_width_mm = 30":                   {[]string{"zone_width_mm = 1", "zone_width_mm = 1000"}, []string{"zone_width_mm = 0.999", "zone_width_mm = 1000.001"}},
	"neighbour_limit_pct = 50":             {[]string{"neighbour_limit_pct = 0.001", "neighbour_limit_pct = 100"}, []string{"neighbour_limit_pct = 0", "neighbour_limit_pct = 100.001"}},
	"travel = 100\nstep = 1\n":             {[]string{"travel = 0.5\nstep = 0.5\n", "travel = 1000000\nstep = 1\n"}, []string{"travel = 0\nstep = 1\n", "travel = 1000001\nstep = 1\n", "travel = 1\nstep = 2\n", "travel = 1\nstep = 0\n"}},
	"floor_pct = 0":                        {[]string{"floor_pct = 100"}, []string{"floor_pct = -0.001", "floor_pct = 100.001"}},
	"ceiling_pct = 100":                    {[]string{"ceiling_pct = 0.001"}, []string{"ceiling_pct = 0", "ceiling_pct = 100.001"}},
	"off_sheet_pct = 0":                    {[]string{"off_sheet_pct = 100"}, []string{"off_sheet_pct = -0.001", "off_sheet_pct = 100.001"}},
	"ceiling_pct = 100\noff_sheet_pct = 0": {[]string{"ceiling_pct = 80\noff_sheet_pct = 80"}, []string{"ceiling_pct = 80\noff_sheet_pct = 80.001", "ceiling_pct = 80\nfloor_pct = 80.001"}},
	`unit = "strokes"`:                     {[]string{`unit = "` + strings.Repeat("ä", 20) + `"`}, []string{`unit = "` + strings.Repeat("ä", 21) + `"`, `unit = " "`}},
	"from = 10":                            {[]string{"from = 0.5"}, []string{"from = 0", "from = 90"}},
	"to = 90\nstep = 2":                    {[]string{"to = 1000000\nstep = 100000"}, []string{"to = 1000001\nstep = 100000"}},
	"density_rate_per_um = 1":              {[]string{"density_rate_per_um = 0.001", "density_rate_per_um = 100"}, []string{"density_rate_per_um = 0", "density_rate_per_um = 100.001"}},
	"film_um = 1":                          {[]string{"film_um = 0.001", "film_um = 100"}, []string{"film_um = 0", "film_um = 100.001"}},
	"specific_gravity = 1":                 {[]string{"specific_gravity = 0.001", "specific_gravity = 20"}, []string{"specific_gravity = 0", "specific_gravity = 20.001"}},
	"[inks.Black]":                         {[]string{"[inks.Black]\ntarget_density = 0.001", "[inks.Black]\ntarget_density = 5", "[inks.Black]\ndensity_limit = 0.001", "[inks.Black]\ndensity_limit = 5", "[inks.Black]\ndensity_limit = 0.5\ntarget_density = 0.499"}, []string{"[inks.Black]\ntarget_density = 0", "[inks.Black]\ntarget_density = 5.001", "[inks.Black]\ndensity_limit = 0", "[inks.Black]\ndensity_limit = 5.001", "[inks.Black]\ndensity_limit = 0.5\ntarget_density = 0.5"}},
}

func TestPressFileAtItsBounds(t *testing.T) {
	requireBounds(t, boundsPress, pressBounds)
}

// bounds are what a line can be changed to, and what not.
type bounds struct{ taken, refused []string }

func requireBounds(t *testing.T, text string, lines map[string]bounds) {
	for line, to := range lines {
		require.Contains(t, text, line)
		for _, taken := range to.taken {
			_, err := Parse("p.toml", []byte(strings.Replace(text, line, taken, 1)))
			assert.NoError(t, err, taken)
		}
		for _, refused := range to.refused {
			_, err := Parse("p.toml", []byte(strings.Replace(text, line, refused, 1)))
			assert.Error(t, err, refused)
		}
	}
}

// What a file leaves out is not known, or is as if there were no such limit.
func TestPressFileThatLeavesThingsOut(t *testing.T) {
	text := boundsPress
	for _, line := range []string{"print_length_mm = 480\n", "neighbour_limit_pct = 50\n", "floor_pct = 0\n", "ceiling_pct = 100\n", "off_sheet_pct = 0\n", "density_rate_per_um = 1\n", "film_um = 1\n", "specific_gravity = 1\n"} {
		require.Contains(t, text, line)
		text = strings.Replace(text, line, "", 1)
	}
	p, err := Parse("p.toml", []byte(strings.Replace(text, "one-piece", "segmented", 1)))
	require.NoError(t, err)
	assert.Equal(t, curves.Limits{CeilingPct: 100}, p.Limits)
	assert.Zero(t, p.PrintLengthMM)
	assert.Equal(t, map[string]Ink{"Black": {}}, p.Inks)
	_, err = Parse("p.toml", []byte(text))
	assert.ErrorContains(t, err, "p.toml: fountain.neighbour_limit_pct: is missing")
}

// The first of two errors is told, and what a number above 0 can be.
func TestFirstErrorOfAPressFile(t *testing.T) {
	text := strings.Replace(strings.Replace(boundsPress, "travel = 100", "travel = 0", 1), "to = 90", "to = 5", 1)
	_, err := Parse("p.toml", []byte(text))
	assert.EqualError(t, err, "p.toml: keys.travel: 0 is outside what it can be, above 0 and up to 1000000; correct it")
}
