package rehearsal

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"math"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// smallPress is a press of 6 zones of 30 mm with a train of a ductor, three rollers and
// two form rollers; fitted says what its feed was fitted from.
func smallPress(first press.End, fitted ...string) *press.Press {
	on := zonestest.Press(6, 30)
	on.Fountain.FirstZone = first
	on.PrintLengthMM = 300
	on.Train = &rollers.Train{
		PlateMM: 120, ImageMM: 300, Paper: 0.5, Split: 0.5, Turns: 3,
		Ductor: rollers.Ductor{DiameterMM: 40, Touches: "top", EverySheets: 2, Duty: 0.4},
		Rollers: []rollers.Roller{
			{Name: "form 1", Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: 44},
			{Name: "form 2", Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: 48},
			{Name: "middle", Kind: rollers.Oscillator, Surface: rollers.Hard, DiameterMM: 54, Touches: []string{"form 1", "form 2"}, StrokeMM: 12},
			{Name: "top", Kind: rollers.Distributor, Surface: rollers.Rubber, DiameterMM: 46, Touches: []string{"middle"}},
		},
		Feed: rollers.Feed{FilmFullUM: 80, StripMM: 24, FittedFrom: fitted},
	}
	on.Inks = map[string]press.Ink{"Black": {DensityLimit: 2.1, DensityRatePerUM: 1.3, FilmUM: 1}}
	return on
}

// tint is how much of a place is covered, from 0 to 1; y counts from the gripper edge.
type tint func(xMM, yMM float64) float64

// even covers all alike.
func even(cover float64) tint { return func(_, _ float64) float64 { return cover } }

// barred is a solid bar of 60 mm behind the gripper edge, and a tint behind it.
func barred(_, yMM float64) float64 {
	if yMM < 60 {
		return 1
	}
	return 0.1
}

// laid is a separation of 180 x 300 mm in cells of 3 mm, all of the fountain and image.
func laid(t require.TestingT, on *press.Press, of tint) *zones.Form {
	const cell, columns, lines = 3, 60, 100
	rows := make([][]uint64, lines)
	for y := range rows {
		for x := range columns {
			rows[y] = append(rows[y], uint64(1000*of((float64(x)+0.5)*cell, (float64(lines-1-y)+0.5)*cell)))
		}
	}
	m := zonestest.MapOf(1000, 25.4/cell, 25.4/cell, rows...)
	m.Ink = "Black"
	m.Cells = zonestest.CellsOf(rows, 1, 1)
	f, err := zones.Lay(m, on, zones.Placement{LeadEdge: zones.Bottom})
	require.NoError(t, err)
	return f
}

// inputOf is a form whose keys stand on the train's line for a film of 1 µm, zone by
// zone, times a factor of each.
func inputOf(t require.TestingT, on *press.Press, of tint, factors ...float64) Input {
	f := laid(t, on, of)
	p, err := preset.New("Regatta", on, []preset.UnitInput{{Form: f, Curve: zonestest.LineCurve(t), Sweep: new(on.Sweep.Reference)}}, preset.ByKeys)
	require.NoError(t, err)
	train, err := preset.NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	for i := range p.Units[0].Keys {
		k := &p.Units[0].Keys[i]
		k.OpeningPct = 100 * train.Line().FeedUM(1, k.CoveragePct/100, 0) / on.Train.Feed.FilmFullUM
		if factors != nil {
			k.OpeningPct *= factors[i]
		}
		k.Key, k.State = k.OpeningPct, curves.Set
		k.KeyText = on.Keys.Text(k.Key)
	}
	return Input{Preset: p, File: "regatta.json", On: on, OnFile: "small.press.toml", Forms: map[string]*zones.Form{"Black": f}}
}

func rehearsed(t require.TestingT, in Input) *Ink {
	r, err := Of(context.Background(), in)
	require.NoError(t, err)
	return &r.Inks[0]
}

// TestEvenFormOnTheLine: keys on the line of a fitted train print the film that they
// were worked out for, and there is nothing to do.
func TestEvenFormOnTheLine(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3)))
	assert.Equal(t, Measured, ink.Level)
	for _, z := range ink.Zones {
		assert.InDelta(t, 1, z.FilmUM, 0.01)
		assert.InDelta(t, z.FilmUM, (z.LeadUM+z.MiddleUM+z.TailUM)/3, 0.01)
		assert.InDelta(t, 2.1*(1-math.Exp(-1.3*z.FilmUM)), *z.Density, 1e-4, "Tollenaar and Ernst, as curves/ink has it")
	}
	assert.Equal(t, "every zone settles within 5 % of its film: leave the keys", ink.Sentences[0])
	assert.NotContains(t, strings.Join(ink.Sentences, "\n"), "fitted")
}

// TestLightZonesAreNamed: keys that feed a fifth less run light, those beside them
// less so; the sentence says which key goes where.
func TestLightZonesAreNamed(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3), 1, 1, 0.6, 1, 1, 1))
	assert.Less(t, ink.Zones[2].DeviationPct, -10.0)
	assert.Greater(t, ink.Zones[5].DeviationPct, -5.0)
	assert.Regexp(t, `^zones 2 to 4 will run up to \d+ % light \(0\.\d\d of density\): open keys 2 from \d+ to \d+, 3 from 14 to \d+, 4 from \d+ to \d+$`, ink.Sentences[0])
	assert.Equal(t, ink.WorstPct, ink.Zones[2].DeviationPct)
}

// TestUnfittedTrainTellsEvennessAlone: with another film at full opening an unfitted
// train says the same, held against the mean of all ink; a fitted one says that it is fat.
func TestUnfittedTrainTellsEvennessAlone(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), barred, 1, 1, 0.8, 1, 1, 1)
	as := rehearsed(t, in)
	in.On.Train.Feed.FilmFullUM *= 1.5
	fat := rehearsed(t, in)
	assert.Equal(t, as, fat)
	assert.Equal(t, Assumed, as.Level)
	assert.InDelta(t, 1, as.MeanUM, 1e-9)
	assert.Contains(t, strings.Join(as.Sentences, "\n"), "until it is fitted")
	in.On.Train.Feed.FittedFrom = []string{"spring.csv"}
	measured := rehearsed(t, in)
	assert.Equal(t, Measured, measured.Level)
	assert.Greater(t, measured.MeanUM, 1.3)
}

// TestKeysAsRun: where a file says what was run, that is rehearsed.
func TestKeysAsRun(t *testing.T) {
	in := inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3))
	before := rehearsed(t, in)
	for i := range in.Preset.Units[0].Keys {
		k := &in.Preset.Units[0].Keys[i]
		k.OKKey = new(k.Key * 1.2)
	}
	r, err := Of(context.Background(), in)
	require.NoError(t, err)
	assert.True(t, r.WasRun)
	for i, z := range r.Inks[0].Zones {
		assert.InEpsilon(t, 1.2*before.Zones[i].FilmUM, z.FilmUM, 1e-3, "films are in proportion to what is fed")
	}
}

// TestGhostsComeBackACircumferenceLater: the edge of a solid comes back πd behind it,
// for every turn of a form roller, exactly but for slots of 3 mm.
func TestGhostsComeBackACircumferenceLater(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left), barred))
	require.NotEmpty(t, ink.Ghosts)
	round := map[string]float64{"form 1": math.Pi * 44, "form 2": math.Pi * 48}
	for _, g := range ink.Ghosts {
		assert.InDelta(t, round[g.Roller], g.CircumferenceMM, 1e-3)
		along := math.Mod(g.AtMM-g.CauseMM-float64(g.Turns)*g.CircumferenceMM+10*math.Pi*120, math.Pi*120)
		assert.Less(t, min(along, math.Pi*120-along), 6.0, "%+v", g)
		assert.NotEmpty(t, g.Zones)
		assert.Equal(t, g.StepUM > 0, *g.StepDensity > 0)
	}
	assert.Contains(t, strings.Join(ink.Sentences, "\n"), "no key cures it")
}

// TestZoneSumsAloneTellNoGhosts: without the separations films are as good, and
// ghosts and the sheet are not known, which is said.
func TestZoneSumsAloneTellNoGhosts(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), barred)
	with := rehearsed(t, in)
	in.Forms, in.Unknown = nil, map[string]string{"Black": "job_K.tif: there is no such file"}
	ink := rehearsed(t, in)
	assert.False(t, ink.Layout)
	assert.Empty(t, ink.Ghosts)
	assert.Empty(t, ink.Map.FilmUM)
	assert.Nil(t, ink.FallOffPct)
	assert.Contains(t, ink.Sentences[len(ink.Sentences)-1], "are not known: job_K.tif: there is no such file")
	for i, z := range ink.Zones {
		assert.InEpsilon(t, with.Zones[i].FilmUM, z.FilmUM, 0.01, "where ink stands along the sheet moves a zone's mean little")
	}
}

// TestFirstZoneAtEitherEnd: a form in the mirror, on a press that counts from the other
// end, prints the same by zone but for the oscillators, which begin to one side.
func TestFirstZoneAtEitherEnd(t *testing.T) {
	slope := func(xMM, _ float64) float64 { return 0.1 + 0.4*xMM/180 }
	left := rehearsed(t, inputOf(t, smallPress(press.Left), slope))
	right := rehearsed(t, inputOf(t, smallPress(press.Right), func(x, y float64) float64 { return slope(180-x, y) }))
	for i, z := range left.Zones {
		assert.InDelta(t, z.DeviationPct, right.Zones[i].DeviationPct, 2)
		assert.InDelta(t, z.LeftMM, 180-right.Zones[i].RightMM, 1e-9)
	}
}

// TestWasteIsWhatWasPrinted: the ink until all stand is film × coverage × area of every
// sheet, at 1 g/cm³.
func TestWasteIsWhatWasPrinted(t *testing.T) {
	in := inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3), 1.1, 1, 1, 1, 1, 0.9)
	in.Start.Kind = Even
	ink := rehearsed(t, in)
	near := ink.StartUp.Near
	require.NotNil(t, near.Sheets)
	require.Less(t, *near.Sheets, 40, "so that every sheet is among the samples")
	require.Positive(t, *near.Sheets)
	grams := 0.0
	for _, s := range ink.StartUp.Samples[:*near.Sheets] {
		for i, film := range s.FilmUM {
			grams += film / 1000 * ink.Zones[i].CoveragePct / 100 * 30 * 300 / 1000
		}
	}
	assert.InDelta(t, grams, *near.InkG, 1e-3)
	assert.Greater(t, *ink.StartUp.Good.Sheets, *near.Sheets)
}

// TestStarts: charged rollers stand sooner than washed ones, and those that the same
// job left stand at once; a job without the ink leaves them washed.
func TestStarts(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), barred)
	after := func(s Start) int {
		in.Start = s
		ink := rehearsed(t, in)
		require.NotNil(t, ink.StartUp.Near.Sheets)
		return *ink.StartUp.Near.Sheets
	}
	clean, charged, evenly := after(Start{Kind: Clean}), after(Start{Kind: Charged}), after(Start{Kind: Even})
	same := after(Start{Kind: Before, Preset: in.Preset, Forms: in.Forms})
	assert.Less(t, charged, clean/2)
	assert.Less(t, evenly, clean)
	assert.LessOrEqual(t, same, 3)
	ink := rehearsed(t, in)
	assert.Equal(t, clean-charged, *ink.Charge.SavesSheets)
	assert.Contains(t, ink.Charge.Words, "sheets of makeready become fewer than ")

	require.NoError(t, StateCharges(context.Background(), in))
	stated := *in.Preset.Units[0].Charge
	assert.True(t, strings.HasPrefix(stated, strings.SplitAfter(ink.Charge.Words, "%,")[0]), "the preset says the same opening: %s", stated)
	assert.True(t, strings.HasSuffix(stated, " (trend, not measured on this press)"), stated)
	turns := regexp.MustCompile(`(\d+) revolutions`)
	said, err := strconv.ParseFloat(turns.FindStringSubmatch(stated)[1], 64)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(ink.Charge.Turns), said, 0.1)

	other := *in.Preset
	other.Units = []preset.Unit{in.Preset.Units[0]}
	other.Units[0].Ink = "Cyan"
	assert.Equal(t, clean, after(Start{Kind: Before, Preset: &other}))
}

// TestChargeNearTheJobsOwnKeys: a charge opens keys about as wide as the job's, a
// third of their travel at most, and hardly changes with the job; keys that a hand turns
// have one only where it saves much, and what it costs is said.
func TestChargeNearTheJobsOwnKeys(t *testing.T) {
	on := smallPress(press.Left)
	as := rehearsed(t, inputOf(t, on, barred))
	near := rehearsed(t, inputOf(t, on, barred, 1.03, 0.97, 1.02, 1, 0.96, 1.04))
	middle := as.Zones[2].OpeningPct
	assert.InDelta(t, middle, as.Charge.OpeningPct, 1)
	assert.InDelta(t, as.Charge.OpeningPct, near.Charge.OpeningPct, 0.05*middle)
	assert.InDelta(t, as.Charge.Turns, near.Charge.Turns, 0.1*float64(as.Charge.Turns))
	assert.Contains(t, strings.Join(as.Sentences, "\n"), as.Charge.Words+" (trend)")
	assert.LessOrEqual(t, rehearsed(t, inputOf(t, on, even(0.9))).Charge.OpeningPct, mostChargePct)

	narrow := rehearsed(t, inputOf(t, on, func(x, _ float64) float64 {
		if x < 60 {
			return 0.5
		}
		return 0
	}))
	assert.Nil(t, narrow.Charge, "two zones of six")

	on.Keys.Unit = press.Turn
	for saves, worth := range map[int]bool{handSheets - 1: false, handSheets: true} {
		assert.Equal(t, worth, worthAlone((&stage{on: on}).makeready(&Charge{SavesSheets: &saves}, nil, false)))
	}
	assert.Contains(t, rehearsed(t, inputOf(t, on, barred)).Charge.Words, ", and each key is set twice")
}

// TestMakereadyDoesNotWaitForALine: a zone of 0.4 % stands last by far, and is not
// counted as the waste of the whole; where no zone prints more, all are waited for.
func TestMakereadyDoesNotWaitForALine(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left), func(x, _ float64) float64 {
		if x > 150 {
			return 0.004
		}
		return 0.3
	}))
	near := *ink.StartUp.Near.Sheets
	require.NotNil(t, ink.Zones[5].NearAfter)
	assert.Greater(t, *ink.Zones[5].NearAfter, near+seenSheets)
	for _, z := range ink.Zones[:5] {
		assert.LessOrEqual(t, *z.NearAfter, near)
	}
	assert.NotContains(t, ink.StartUp.LastZones, 6)
	said := strings.Join(ink.Sentences, "\n")
	assert.Contains(t, said, "zone 6: less than 2 % prints there; its film comes later, and is not waited for")
	assert.Regexp(t, `waste until then about \d+ sheets, [0-9.]+ g of ink \(trend\)`, said)

	alone := rehearsed(t, inputOf(t, smallPress(press.Left), even(0.004)))
	assert.Len(t, alone.Zones, 6)
	assert.NotContains(t, strings.Join(alone.Sentences, "\n"), "not waited for")
}

// TestLittleImageIsOneSentence: zones of 0.5 % whose keys feed half, and twice, of what is
// wanted are named together, and none of their keys is sent anywhere; the others, which
// stand right, are left.
func TestLittleImageIsOneSentence(t *testing.T) {
	little := func(x, _ float64) float64 {
		if x > 90 {
			return 0.005
		}
		return 0.3
	}
	for _, c := range []struct {
		feed []float64
		want string
	}{
		{[]float64{1, 1, 1, 0.5, 0.5, 0.5}, `\nwhere less than 2 % prints, zones 4 to 6 settle up to \d\d % light; keys there feed .*: open those of zones 4 to 6 together, by a step, and only once a sheet shows it\n`},
		{[]float64{1, 1, 1, 1.3, 2, 2}, ` zones 4 to 6 settle up to \d\d+ % heavy; keys there feed .*: close those of zones 4 to 6 together, `},
		{[]float64{1, 1, 1, 1, 0.9, 0.9}, `^every zone that prints 2 % or more settles within 5 % of its film: leave the keys\n`},
		{[]float64{1, 1, 1, 0.2, 0.4, 3}, ` zones 4 and 5 settle up to \d\d % light, and zone 6 settles \d\d+ % heavy; .*: open key 4 and close key 6, by a step, `},
	} {
		ink := rehearsed(t, inputOf(t, smallPress(press.Left, "spring.csv"), little, c.feed...))
		said := strings.Join(ink.Sentences, "\n")
		assert.Regexp(t, c.want, said)
		assert.NotRegexp(t, `(open|close) keys? [4-6] from|every zone settles`, said)
	}
}

// TestTries: what changes nothing prints the same; twice the sweep with the keys
// where they stand leaves more film, and less than twice as much, since what the rollers
// bring back does not grow with the strip (the line g = x(A + 2nLc/s + Rc)).
func TestTries(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), barred, 1, 1.1, 1, 0.9, 1, 1)
	reference := in.On.Sweep.Reference
	for _, text := range []string{"sweep=" + settings.Plain(reference), "sweep=" + settings.Plain(2*reference), "turned", "bar=12", "ductor=1", "oscillator=top"} {
		try, err := ParseTry(text)
		require.NoError(t, err)
		in.Tries = append(in.Tries, try)
	}
	ink := rehearsed(t, in)
	require.Len(t, ink.Tries, 7)
	as, same, swept := ink.Tries[0], ink.Tries[1], ink.Tries[2]
	same.Try, same.Words = as.Try, as.Words
	assert.Equal(t, as, same)
	assert.Greater(t, swept.MeanPct, 20.0)
	assert.Less(t, swept.MeanPct, 100.0)
	assert.Equal(t, "keys as they stand", swept.Words)
	assert.InDelta(t, as.RMSPct, ink.Tries[3].RMSPct, 1.5, "the form is nearly even from left to right")
	assert.InDelta(t, 0, ink.Tries[4].MeanPct, 3, "the keys follow the bar")
	assert.Less(t, ink.Tries[5].SwingPct, as.SwingPct+1e-9, "more strokes, less swing")
	assert.InDelta(t, 0, ink.Tries[5].MeanPct, 2)
	assert.InDelta(t, 0, ink.Tries[6].MeanPct, 2, "moving sideways takes no ink away")
}

func TestTriesRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":                   `"" is no change that can be tried; write ` + TryWords,
		"louder":             `"louder" is no change that can be tried; write ` + TryWords,
		"sweep=fast":         "sweep=fast is no number; give a sweep of the press's scale",
		"ductor=1.5":         "ductor=1.5 is no whole number of sheets",
		"turned=twice":       "turned=twice: a form is turned or not",
		"oscillator":         "oscillator names no roller",
		"turned,turned":      "turned stands there twice",
		"sweep=60, sweep=50": "sweep stands there twice; keep one, or try the other by itself",
		"sweep=30,bar":       "bar= is no number from 1 to 1000",
	} {
		_, err := ParseTry(text)
		assert.ErrorContains(t, err, want, text)
	}
	in := inputOf(t, smallPress(press.Left), barred)
	for text, want := range map[string]string{
		"oscillator=gull":   `regatta.json: ink Black: try oscillator=gull: the train has no roller "gull"; press rollers lists those that it has`,
		"oscillator=form 1": "regatta.json: ink Black: try oscillator=form 1: form 1 is of kind form; name a distributor or a rider",
		"sweep=1000":        "regatta.json: ink Black: try sweep=1000: a sweep of 1000 is beyond the press's, 10 to 90; give one between",
		"sweep=-5":          "regatta.json: ink Black: try sweep=-5: a sweep of -5 is beyond the press's, 10 to 90; give one between",
		"bar=400":           "regatta.json: ink Black: try bar=400: a bar of 400 mm has no place on an image of 300",
	} {
		try, err := ParseTry(text)
		require.NoError(t, err)
		in.Tries = []Try{try}
		_, err = Of(context.Background(), in)
		assert.EqualError(t, err, want)
	}
}

// TestRefused: a press without a train, one that the preset is not for, nothing; and
// who asks no longer is not answered.
func TestRefused(t *testing.T) {
	_, err := Of(context.Background(), Input{})
	assert.EqualError(t, err, "there is no preset to rehearse; give one")
	in := inputOf(t, smallPress(press.Left), even(0.3))
	gone, stop := context.WithCancelCause(context.Background())
	stop(errors.New("gone"))
	_, err = Of(gone, in)
	assert.EqualError(t, err, "gone")
	in.On.Train = nil
	_, err = Of(context.Background(), in)
	assert.ErrorIs(t, err, preset.ErrNoTrain)
	in.On.Name = "Another"
	_, err = Of(context.Background(), in)
	assert.ErrorContains(t, err, `it is for "Two-colour 26-inch", not for "Another"`)
}

// TestWritten: JSON follows its schema, which knows every field; CSV has a row a zone;
// both are the same on one core.
func TestWritten(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), barred)
	try, err := ParseTry("sweep=30")
	require.NoError(t, err)
	in.Tries = []Try{try}
	r, err := Of(context.Background(), in)
	require.NoError(t, err)
	var told []float64
	in.Preset.Units = append(in.Preset.Units, in.Preset.Units[0])
	in.Preset.Units[1].Ink = "Cyan"
	in.Progress = func(done float64) { told = append(told, done) }
	_, err = Of(context.Background(), in)
	require.NoError(t, err)
	assert.Equal(t, []float64{0.5, 1}, told, "an ink, then both")
	in.Preset.Units = in.Preset.Units[:1]
	var text, table bytes.Buffer
	require.NoError(t, r.WriteJSON(&text))
	require.NoError(t, r.WriteCSV(&table))
	rows, err := csv.NewReader(&table).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 7)
	assert.Equal(t, csvColumns, rows[0])
	assert.Equal(t, Trend, rows[1][2])

	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	again, err := Of(context.Background(), in)
	require.NoError(t, err)
	var alone bytes.Buffer
	require.NoError(t, again.WriteJSON(&alone))
	assert.Equal(t, text.String(), alone.String())

	c := jsonschema.NewCompiler()
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	require.NoError(t, err)
	require.NoError(t, c.AddResource("rehearsal", parsed))
	schema := c.MustCompile("rehearsal")
	v, err := jsonschema.UnmarshalJSON(&text)
	require.NoError(t, err)
	assert.NoError(t, schema.Validate(v))
	v.(map[string]any)["inks"].([]any)[0].(map[string]any)["mood"] = "good"
	assert.Error(t, schema.Validate(v))
}

// TestFinerIsSaidOnce: of two spans of zones whose moves are less than a step of the key,
// the first alone explains what makes steps finer.
func TestFinerIsSaidOnce(t *testing.T) {
	on := smallPress(press.Left, "spring.csv")
	on.Keys.Step = on.Keys.Travel / 4
	said := strings.Join(rehearsed(t, inputOf(t, on, even(0.3), 0.9, 1, 1, 1, 1, 1.15)).Sentences, "\n")
	assert.Equal(t, 2, strings.Count(said, "that is less than a step of the key"), said)
	assert.Equal(t, 1, strings.Count(said, finer), said)
}
