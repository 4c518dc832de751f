package page

import (
	"slices"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLabelsAreThePages holds the labels in refusals against those on the page.
func TestLabelsAreThePages(t *testing.T) {
	html, err := embedded.ReadFile("html/" + indexName)
	require.NoError(t, err)
	ids := map[string]string{"base": "press", "shape": "curve-shape", "reference_sweep": "curve-reference"}
	for name, label := range labels {
		id := ids[name]
		if id == "" {
			id = name
		}
		assert.Regexp(t, `<label( class="whole")?>`+label+` <(input|select)[^>]* id="`+id+`"`, string(html))
	}
}

// TestCodesHaveWords holds that the page knows what to do about all that has a
// code.
func TestCodesHaveWords(t *testing.T) {
	codes := slices.Concat(coverage.Codes, zones.Codes, preset.Codes, sheet.Codes, ghostscript.Codes, []string{job.CodePaper, job.CodeManyPages, job.CodeSlow})
	for _, code := range codes {
		assert.Contains(t, cures, code)
	}
	assert.Len(t, cures, len(codes), "and about nothing else")
}

func TestSentence(t *testing.T) {
	for what, want := range map[string]string{
		"there is none; take another": "There is none; take another.",
		"There is none.":              "There is none.",
		`"a b" is no name; write one`: `"a b" is no name; write one.`,
		"über alles; shorten it":      "Über alles; shorten it.",
		"two\nlines; join them":       "Two lines; join them.",
		strings.Repeat("x", 1000):     "X" + strings.Repeat("x", 599) + ".",
		"no ink is called say --dpi":  "No ink is called say --dpi.", // somebody's words stay
	} {
		assert.Equal(t, want, sentence(what))
	}
}

// TestRefusalsSpeakOfThePage has fields refused that the packages below know
// by another name.
func TestRefusalsSpeakOfThePage(t *testing.T) {
	c, sep := drawnHalf(t)
	for says, change := range map[string]func(*State){
		"Zones: 0 keys are outside 1 to 200; count the keys of the fountain.":                                                           func(s *State) { s.Press.Zones = new(0) },
		"Zone width, mm: 1000000000 is outside 1 to 1000; correct it.":                                                                  func(s *State) { s.Press.ZoneWidthMM = new(1e9) },
		"Neighbours differ at most, %: 0 is outside what it can be, above 0 and up to 100; correct it.":                                 func(s *State) { s.Press.NeighbourLimitPct = new(0.0) },
		`Zone 1 is at the: "top" is not known; write left or right.`:                                                                    func(s *State) { s.Press.FirstZone = new(press.End(string(zones.Top))) },
		"Shift to the right, mm: 1000000000 is not a distance to move a form; correct it.":                                              func(s *State) { s.Placement.ShiftMM = 1e9 },
		"Dots per inch, across: 0.000000001 is not the resolution of a plate; correct it.":                                              func(s *State) { s.Placement.DPIX = new(1e-9) },
		"Holds at sweep: -3 is not a sweep; write the sweep that the points were found at, above 0 and up to 1000000.":                  func(s *State) { s.Units[0].Curve.ReferenceSweep = new(-3.0) },
		"Point 2 [50, 101]: coverage and opening are percentages; keep both between 0 and 100.":                                         func(s *State) { s.Units[0].Curve.Points = [][]float64{{0, 0}, {50, 101}} },
		"Points: a curve needs at least two, not 0; write each as [coverage in %, opening in %].":                                       func(s *State) { s.Units[0].Curve.Points = nil },
		"A sweep of 1000000000 cannot be set on this press; take one of its own settings.":                                              func(s *State) { s.Units[0].Sweep = new(1e9) },
		"Ink Black: ink stands 30 mm beyond the fountain's left end; shift it to the right, or correct the zones or the dots per inch.": func(s *State) { s.Placement.ShiftMM = -30 },
		"Holds at sweep: 1000000 is outside the press's sweep, 10 to 90 %, by more than a factor of ten; write the sweep that the points were found at, on this press's scale.": func(s *State) {
			s.Units[0].Curve.ReferenceSweep = new(1e6)
		},
	} {
		state := stateOf(t, sep)
		change(&state)
		assert.Equal(t, says, refusedWith(t, 422, c.send("/api/preset", state)).Error)
	}
}

// TestRefusedFormsNameTheField has a form that does not lie on the fountain: the
// field is the one that was changed to that.
func TestRefusedFormsNameTheField(t *testing.T) {
	c := newClient(t, testOptions(t))
	wide := sent[separationJSON](c, "/api/draw", plateOf("Black", shape{0, 0, 1, 1, 50}))
	over := plateOf("Black", shape{0, 0, 1, 1, 50})
	over.WidthMM = 500
	wider := sent[separationJSON](c, "/api/draw", over)
	for _, wrong := range []struct {
		place  string
		sep    separationJSON
		change func(*State)
	}{
		{"placement.shift_mm", wide, func(s *State) { s.Placement.ShiftMM = 30 }},
		{"placement.shift_mm", wide, func(s *State) { s.Placement.ShiftMM, s.Press.Zones = 90, new(10) }},
		{"press.zones", wide, func(s *State) { s.Press.Zones = new(5) }},
		{"press.zone_width_mm", wide, func(s *State) { s.Press.ZoneWidthMM = new(40.0) }},
		{"press.zones", wide, func(s *State) { s.Press.Zones, s.Press.ZoneWidthMM = new(5), new(40.0) }},
		{"placement.dpi_x", wide, func(s *State) { s.Placement.DPIX = new(12.0) }},
		{"press.base", wider, func(*State) {}},
		{"placement.shift_mm", wider, func(s *State) { s.Placement.ShiftMM = 10 }},
		{"placement.lead_edge", sideways(t, c), func(s *State) { s.Placement.LeadEdge = zones.Left }},
	} {
		state := stateOf(t, wrong.sep)
		wrong.change(&state)
		for _, path := range []string{"/api/preset", "/api/save?as=pdf"} {
			got := refusedWith(t, 422, c.send(path, state))
			assert.Equal(t, wrong.place, got.Place, got.Error)
		}
	}
}

// sideways is a plate that is longer than the fountain, and lies on it.
func sideways(t *testing.T, c *client) separationJSON {
	t.Helper()
	p := plateOf("Black", shape{0, 0, 1, 1, 50})
	p.WidthMM, p.HeightMM = 200, 600
	return sent[separationJSON](c, "/api/draw", p)
}

// TestNoResolution brings a separation that states none beside one that does:
// it is told which ink that is, and each way out.
func TestNoResolution(t *testing.T) {
	o := testOptions(t)
	lost := mapOf(t, "Cyan", half)
	lost.DPIX, lost.DPIY = 0, 0
	o.Maps = []*coverage.Map{mapOf(t, "Black", half), lost}
	c := newClient(t, o)
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	misfit := func() misfitJSON {
		t.Helper()
		p := sent[computed](c, "/api/preset", state)
		p.requireKeys(t, 1, 8) // the other ink's
		require.Len(t, p.Misfits, 1)
		return p.Misfits[0]
	}
	assert.Equal(t, misfitJSON{
		Unit: 1, Place: "placement.dpi_x", Code: zones.CodeNoResolution, ReferenceSweep: 45, CurvePct: sent[computed](c, "/api/preset", state).Units[0].CurvePct,
		Error: "Ink Cyan: the raster states no resolution, so its place on the fountain is not known; state the dots per inch, which then hold for every ink, or take this ink out, or export it with its resolution.",
	}, misfit())
	assert.Equal(t, said{misfit().Error, "placement.dpi_x"}, refusedWith(t, 422, c.send("/api/save?as=csv", state)), "none is saved without it")
	state.Placement.DPIX = new(25.4)
	assert.Equal(t, "placement.dpi_y", misfit().Place)
	state.Placement.DPIY = new(25.4)
	assert.Empty(t, sent[computed](c, "/api/preset", state).Misfits)
}

// TestWarningsSpeakOfThePage has the page advise what can be done there, and the
// saved preset what the command advises.
func TestWarningsSpeakOfThePage(t *testing.T) {
	o := testOptions(t)
	o.Presses[0].Press.PrintLengthMM = 150
	o.Cure = func(warnings []zones.Warning) { warnings[0].Text += "; as the command says" }
	c := newClient(t, o)
	state := stateOf(t, sent[separationJSON](c, "/api/draw", plateOf("Black", shape{0, 0, 1, 1, 5})))
	shown := sent[computed](c, "/api/preset", state).Preset
	saved := decodedPreset(t, c.saveAs("json", state))
	require.NotNil(t, shown)
	require.NotEmpty(t, shown.Warnings)
	require.Len(t, saved.Warnings, len(shown.Warnings))
	assert.Contains(t, shown.Warnings[0].Text, "shorten the form, or choose another press or lead edge")
	assert.Regexp(t, "but does not print; as the command says$", saved.Warnings[0].Text)

	blank := sent[separationJSON](c, "/api/draw", plateOf("Black"))
	state = stateOf(t, blank)
	shown = sent[computed](c, "/api/preset", state).Preset
	saved = decodedPreset(t, c.saveAs("json", state))
	require.NotNil(t, shown)
	require.NotEmpty(t, saved.Warnings)
	require.Len(t, shown.Warnings, len(saved.Warnings))
	last := len(saved.Warnings) - 1
	assert.Equal(t, preset.CodeEmpty, shown.Warnings[last].Code)
	assert.Equal(t, "nothing is drawn yet: draw a shape, or begin with a prepared form", shown.Warnings[last].Text)
	assert.Contains(t, saved.Warnings[last].Text, "leave the unit out")
}

func decodedPreset(t *testing.T, a answered) *preset.Preset {
	t.Helper()
	p, err := preset.ReadJSON("saved.json", strings.NewReader(string(a.body)))
	require.NoError(t, err)
	return p
}

// curveNames are the names of the units' curves.
func curveNames(t *testing.T, p *preset.Preset) []string {
	t.Helper()
	require.NotNil(t, p)
	var names []string
	for _, u := range p.Units {
		require.NotNil(t, u.Curve)
		names = append(names, *u.Curve)
	}
	return names
}

// TestEditedCurveGetsAName names a curve that was pulled off an offered one
// apart, the same in its file, the file's name and the preset.
func TestEditedCurveGetsAName(t *testing.T) {
	c, sep := drawnHalf(t)
	for _, as := range []struct {
		want   string
		change func(*curve)
	}{
		{"Line", func(*curve) {}},
		{"Line, edited for Black", func(c *curve) { c.Points = [][]float64{{0, 1}, {100, 100}} }},
		{"Line, edited for Black", func(c *curve) { c.Shape = curves.Smooth }},
		{"Line, edited for Black", func(c *curve) { c.ReferenceSweep = new(50.0) }},
		{"Line, edited for Black", func(c *curve) { c.Name, c.Points = "Line, edited for Black", [][]float64{{0, 1}, {100, 100}} }},
		{"Mine", func(c *curve) { c.Name, c.Points = "Mine", [][]float64{{0, 1}, {100, 100}} }},
	} {
		state := stateOf(t, sep)
		as.change(&state.Units[0].Curve)
		assert.Equal(t, []string{as.want}, curveNames(t, sent[computed](c, "/api/preset", state).Preset))
		assert.Equal(t, []string{as.want}, curveNames(t, decodedPreset(t, c.saveAs("json", state))))
		a := c.saveAs("curve", state)
		assert.Contains(t, a.header.Get("Content-Disposition"), `filename="`+as.want+`.curve.toml"`)
		read, err := curves.ParseCurve("saved.curve.toml", a.body)
		require.NoError(t, err)
		assert.Equal(t, as.want, read.Name)
	}
}

// TestEditedCurvesStandApart edits one curve for two inks, and one that was
// edited and saved before: no two that run otherwise bear one name.
func TestEditedCurvesStandApart(t *testing.T) {
	o := testOptions(t)
	o.Maps = append(o.Maps, mapOf(t, "Black", half), mapOf(t, "Cyan", half))
	before := *o.Curves[0]
	before.Name += ", edited for Black"
	o.Curves = append(o.Curves, &before)
	c := newClient(t, o)
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	require.Len(t, state.Units, 2)
	state.Units[0].Curve.Points = [][]float64{{0, 1}, {100, 100}}
	state.Units[1].Curve.Points = [][]float64{{0, 50}, {100, 60}}
	names := func() []string { return curveNames(t, sent[computed](c, "/api/preset", state).Preset) }
	line := o.Curves[0].Name
	assert.Equal(t, []string{line + ", edited for Black, 2", line + ", edited for Cyan"}, names())
	state.Units[0].Curve.Name = before.Name
	assert.Equal(t, []string{line + ", edited for Black, 2", line + ", edited for Cyan"}, names())
}
