package rehearsal

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/examples"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fuzzedZones is the widest fountain that is rehearsed, and fuzzedTime is for how long:
// what the program itself waits for, as what takes long ends with its context.
const (
	fuzzedZones = 4
	fuzzedTime  = time.Second
)

// FuzzRehearsal rehearses a form on the train that a press's file describes, cut to a few
// zones and followed on the rough grid: a refusal of one line, or films that are numbers.
// The form is covered as the bytes say, in % of cells of up to 20 mm.
func FuzzRehearsal(f *testing.F) {
	for _, text := range fuzzedPresses(f) {
		f.Add([]byte(text), []byte{5, 5, 20, 100, 0})
		f.Add([]byte(text), []byte{})
	}
	f.Fuzz(func(t *testing.T, text, covers []byte) {
		ctx, end := context.WithTimeout(t.Context(), fuzzedTime)
		defer end()
		begun := time.Now()
		ink, err := rehearseRoughly(ctx, t, text, covers)
		require.Less(t, time.Since(begun), 10*fuzzedTime, "it does not end with its context")
		switch {
		case err == nil:
			requireNumbers(t, ink)
		case !errors.Is(err, context.DeadlineExceeded):
			require.NotContains(t, err.Error(), "\n")
		}
	})
}

// TestRehearsedRoughly: what the fuzz target begins from is rehearsed, not refused.
func TestRehearsedRoughly(t *testing.T) {
	texts := fuzzedPresses(t)
	require.Greater(t, len(texts), 5)
	for _, text := range texts[:5] { // three that ship, a lone roller, sixty in a chain
		ink, err := rehearseRoughly(t.Context(), t, []byte(text), []byte{5, 5, 20, 100, 0})
		require.NoError(t, err)
		requireNumbers(t, ink)
		assert.Positive(t, ink.MeanUM)
		assert.NotEmpty(t, ink.StartUp.Samples)
	}
}

// rehearseRoughly presets and rehearses one ink: what is refused is an error, what takes
// too long ends as one.
func rehearseRoughly(ctx context.Context, t *testing.T, text, covers []byte) (*Ink, error) {
	on, err := press.Parse("p.toml", text)
	if err == nil && on.Train == nil {
		err = preset.ErrNoTrain
	}
	if err == nil && on.Fountain.Zones > fuzzedZones {
		on, err = on.With(press.Change{Zones: new(fuzzedZones)})
	}
	if err != nil {
		return nil, err
	}
	in := Input{On: on, Curves: map[string]*curves.Curve{"Black": zonestest.LineCurve(t)}}
	form, err := zones.Lay(mapOn(on, covers), on, zones.Placement{LeadEdge: zones.Bottom})
	if err != nil {
		return nil, err
	}
	in.Forms = map[string]*zones.Form{"Black": form}
	if in.Preset, err = preset.New("fuzzed", on, []preset.UnitInput{{Form: form, Curve: in.Curves["Black"]}}, preset.ByKeys); err != nil {
		return nil, err
	}
	train, err := preset.NewTrain(on, rollers.Rough)
	if err != nil {
		return nil, err
	}
	s, err := stageOn(train, in, &in.Preset.Units[0])
	if err != nil {
		return nil, err
	}
	ink, err := s.rehearsed(ctx, in)
	if err == nil {
		ink.Sentences = s.sentences(&ink, in, "", ink.Charge != nil)
	}
	return &ink, err
}

// requireNumbers of all that a rehearsal draws.
func requireNumbers(t *testing.T, ink *Ink) {
	isNumber := func(v float64) {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", ink)
	}
	for _, z := range ink.Zones {
		for _, v := range []float64{z.FilmUM, z.LeadUM, z.MiddleUM, z.TailUM, z.DeviationPct, z.SwingPct} {
			isNumber(v)
		}
		require.GreaterOrEqual(t, z.FilmUM, 0.0)
	}
	for _, sample := range ink.StartUp.Samples {
		for _, v := range sample.FilmUM {
			isNumber(v)
		}
	}
	for _, roller := range ink.Rollers {
		isNumber(roller.FilmUM)
	}
	for _, text := range ink.Sentences {
		require.NotContains(t, text, "NaN")
		require.NotContains(t, text, "\n")
	}
}

// mapOn is a separation as large as the fountain and the press's image.
func mapOn(on *press.Press, covers []byte) *coverage.Map {
	const cell = 20
	wide, long := float64(on.Fountain.Zones)*on.Fountain.ZoneWidthMM, min(cmp.Or(on.PrintLengthMM, on.Train.ImageMM), rollers.MostPlateMM*math.Pi)
	columns, rows := int(math.Ceil(wide/cell)), make([][]uint64, int(math.Ceil(long/cell)))
	for y := range rows {
		for x := range columns {
			ink := 0
			if len(covers) > 0 {
				ink = int(covers[(y*columns+x)%len(covers)]) % 101
			}
			rows[y] = append(rows[y], uint64(ink))
		}
	}
	m := zonestest.MapOf(100, 25.4*float64(columns)/wide, 25.4*float64(len(rows))/long, rows...)
	m.Ink, m.Cells = "Black", zonestest.CellsOf(rows, 1, 1)
	return m
}

// fuzzedPresses are the presses that ship, and trains that no press has.
func fuzzedPresses(t require.TestingT) (texts []string) {
	files, err := examples.Files.ReadDir(".")
	require.NoError(t, err)
	for _, file := range files {
		if strings.HasSuffix(file.Name(), ".press.toml") {
			text, err := examples.Files.ReadFile(file.Name())
			require.NoError(t, err)
			texts = append(texts, string(text))
		}
	}
	return append(texts, hostileTrains(t)...)
}

// hostileTrains are trains of one roller and of sixty, strokes beyond the fountain,
// rollers thinner than a hair, a ductor that waits for long.
func hostileTrains(t require.TestingT) []string {
	whole, err := examples.Files.ReadFile("duplicator.press.toml")
	require.NoError(t, err)
	text := string(whole)
	head, _, found := strings.Cut(text, "# Rollers in any order")
	require.True(t, found)
	chain := func(n int) string {
		text := strings.Replace(head, `touches = "oscillator 1"`, fmt.Sprintf(`touches = "r%d"`, n), 1)
		text = strings.Replace(text, "at_deg = 60", "", 1) + "[[train.rollers]]\nname = \"r1\"\nkind = \"form\"\nsurface = \"rubber\"\ndiameter_mm = 44\n"
		for i := 2; i <= n; i++ {
			surface, at := "hard", 100
			if i%2 == 1 {
				surface, at = "rubber", 80
			}
			text += fmt.Sprintf("[[train.rollers]]\nname = \"r%d\"\nkind = \"distributor\"\nsurface = %q\ndiameter_mm = 40\ntouches = [\"r%d\"]\nat_deg = %d\n", i, surface, i-1, at)
		}
		return text
	}
	edited := func(pairs ...string) string {
		was := text
		text := strings.NewReplacer(pairs...).Replace(was)
		require.NotEqual(t, was, text)
		return text
	}
	return []string{
		chain(1), chain(60),
		edited("stroke_mm = 12", "stroke_mm = 900"),
		edited("diameter_mm = 44", "diameter_mm = 1e-9"),
		edited("zones = 15", "zones = 1", "stroke_mm = 12", "stroke_mm = 30"),
		edited("zones = 15", "zones = 1", "stroke_mm = 12", "stroke_mm = 19"),
		edited("every_sheets = 2", "every_sheets = 16", "oscillation_turns = 4", "oscillation_turns = 4.7"),
		edited("film_full_um = 85", "film_full_um = 0.01"),
	}
}
