package preset

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func jsonOf(t require.TestingT, p *Preset) string {
	var b bytes.Buffer
	require.NoError(t, p.WriteJSON(&b))
	return b.String()
}

func csvOf(t require.TestingT, p *Preset) string {
	var b bytes.Buffer
	require.NoError(t, p.WriteCSV(&b))
	return b.String()
}

// gull is a small preset in turns, with a key that its own zero takes off the
// scale, as files from before keys were held on it may have.
func gull(t require.TestingT) *Preset {
	on := zonestest.Press(3, 31.75)
	on.Name = "Duplicator"
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125, Zero: []float64{-0.25, 0, 0}}
	on.Limits.FloorPct = 0
	given := unitOf(t, "Harbour Red", 0, 12.5, 45)
	given.Sweep = new(45.0)
	p, err := newPreset("Gull poster, night", on, []laidUnit{given, unitOf(t, "Black", 1.0/3, 40, 90)})
	require.NoError(t, err)
	for i := range p.Units {
		k := &p.Units[i].Keys[0]
		k.Key, k.KeyText = -0.25, "-1/4"
	}
	return p
}

func schema(t require.TestingT, text []byte) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json")
	require.NoError(t, err)
	return s
}

func holds(t require.TestingT, s *jsonschema.Schema, text string) error {
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	require.NoError(t, err)
	return s.Validate(doc)
}

func TestPresetJSONHoldsItsSchema(t *testing.T) {
	s := schema(t, Schema)
	text := jsonOf(t, gull(t))
	assert.NoError(t, holds(t, s, text))
	fromCSV, err := ReadCSV("gull.csv", strings.NewReader(csvOf(t, gull(t))))
	require.NoError(t, err)
	assert.NoError(t, holds(t, s, jsonOf(t, fromCSV)), "what is not known is null")

	for _, old := range []string{`"job"`, `"zone_width_mm"`, `"state": "set"`, `"sweep_chosen": "given"`, `"sweep": 45`} {
		broken := strings.Replace(text, old, strings.Replace(old, `"`, `"x`, 1), 1)
		require.NotEqual(t, text, broken)
		assert.Error(t, holds(t, s, broken), old)
	}
}

func TestPresetJSON(t *testing.T) {
	text := jsonOf(t, gull(t))
	for _, part := range []string{
		`"format": "bladeline.preset/1"`, `"job": "Gull poster, night"`, `"first_zone": "left"`, `"key_unit": "turn"`,
		`"key": 1.375`, `"key_text": "1 3/8"`, `"file": "gull_Harbour Red.tif"`, `"sweep_reason": "you set 45 %"`,
		`"code": "scale"`, `"zone": 1`,
	} {
		assert.Contains(t, text, part)
	}
	assert.NotContains(t, text, `\u003c`)
}

func TestPresetCSV(t *testing.T) {
	text := csvOf(t, gull(t))
	rows := strings.Split(text, "\r\n") // RFC 4180: records end in CRLF
	require.Len(t, rows, 1+6+1)
	assert.Equal(t, "job,press,ink,zone,left_mm,right_mm,coverage_pct,opening_pct,key,key_text,key_unit,state,sweep,sweep_unit,shut_at,press_id,paper,run_length,date,unit,pass,curve,ok_key,ok_sweep", rows[0])
	assert.Equal(t, `"Gull poster, night",Duplicator,Harbour Red,2,31.75,63.5,12.5,12.5,0.375,3/8,turn,set,45,%,0,,,,,,,one to one,,`, rows[2])
	assert.Equal(t, "", rows[7])
	assert.Contains(t, rows[4], ",0.3333333333333333,", "full precision")
}

func TestPresetRoundTrips(t *testing.T) {
	p := gull(t)
	fromJSON, err := ReadJSON("gull.json", strings.NewReader(jsonOf(t, p)))
	require.NoError(t, err)
	assert.Equal(t, p, fromJSON)

	fromCSV, err := ReadCSV("gull.csv", strings.NewReader(csvOf(t, p)))
	require.NoError(t, err)
	assert.Equal(t, csvOf(t, p), csvOf(t, fromCSV))
	assert.Equal(t, asCSVStates(p), fromCSV)
}

// asCSVStates is a preset without what the CSV has no column for.
func asCSVStates(p *Preset) *Preset {
	q := *p
	q.Press.ZoneWidthMM, q.Press.FirstZone, q.Press.Blade, q.Placement, q.Warnings = nil, nil, nil, nil, []zones.Warning{}
	q.Units = nil
	for _, u := range p.Units {
		q.Units = append(q.Units, Unit{Ink: u.Ink, Unit: u.Unit, Pass: u.Pass, Curve: u.Curve, Sweep: u.Sweep, Keys: u.Keys, OKSweep: u.OKSweep})
	}
	return &q
}

func TestAnyPresetRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[=+@'A-Za-zÄß,;" -]{0,8}[A-Za-z=']`)
		on := zonestest.Press(rapid.IntRange(1, 6).Draw(t, "zones"), 31.75)
		on.Name = name.Draw(t, "press")
		on.Keys = rapid.SampledFrom([]press.KeyScale{{Unit: press.Percent, Travel: 100, Step: 1}, {Unit: press.Turn, Travel: 3, Step: 0.125}, {Unit: press.Turn, Travel: 1.5, Step: 0.3}, {Unit: press.Turn, Travel: 2, Step: 1 / 3.0}, {Unit: press.Notch, Travel: 24, Step: 0.2}}).Draw(t, "scale")
		on.Keys.Zero = rapid.SliceOfN(rapid.Float64Range(-0.5, 0.5), on.Fountain.Zones, on.Fountain.Zones).Draw(t, "zero")
		at := rapid.Ptr(statedPlacement(), true).Draw(t, "placement")
		var units []laidUnit
		for _, name := range rapid.SliceOfNDistinct(name, 1, 3, strings.ToLower).Draw(t, "inks") {
			in := unitOf(t, name, rapid.SliceOfN(rapid.Float64Range(0, 100), on.Fountain.Zones, on.Fountain.Zones).Draw(t, "coverages")...)
			if rapid.Bool().Draw(t, "no mm") {
				for i := range in.Zones {
					in.Zones[i].LeftMM, in.Zones[i].RightMM = nil, nil
				}
			}
			in.Placement = at
			units = append(units, in)
		}
		p, err := newPreset(rapid.StringMatching(`[=+@'A-Za-z,;"\\<>& -]{0,12}`).Draw(t, "job"), on, units)
		require.NoError(t, err)
		require.NoError(t, holds(t, schema(t, Schema), jsonOf(t, p)))
		fromJSON, err := ReadJSON("p.json", strings.NewReader(jsonOf(t, p)))
		require.NoError(t, err)
		require.Equal(t, p, fromJSON)

		if rapid.Bool().Draw(t, "filled in") {
			for i := range p.Units {
				p.Units[i].OKSweep = new(rapid.Float64Range(1, 90).Draw(t, "ok sweep"))
				p.Units[i].Keys[0].OKKey = new(float64(rapid.IntRange(-8, 24).Draw(t, "ok key")) / 8)
			}
		}
		fromCSV, err := ReadCSV("p.csv", strings.NewReader(csvOf(t, p)))
		require.NoError(t, err)
		require.Equal(t, asCSVStates(p), fromCSV)
		require.Equal(t, csvOf(t, p), csvOf(t, fromCSV))
	})
}

func statedPlacement() *rapid.Generator[zones.Placement] {
	return rapid.Custom(func(t *rapid.T) zones.Placement {
		return zones.Placement{
			LeadEdge: rapid.SampledFrom([]zones.Edge{zones.Bottom, zones.Top, zones.Left, zones.Right}).Draw(t, "lead edge"), Mirrored: rapid.Bool().Draw(t, "mirrored"),
			ShiftMM: rapid.Float64Range(-1000, 1000).Draw(t, "shift"),
			DPIX:    rapid.SampledFrom([]float64{0, 50.8, 2540}).Draw(t, "dpi x"), DPIY: rapid.SampledFrom([]float64{0, 50.8}).Draw(t, "dpi y"),
		}
	})
}

// What is read from a preset lays a separation as it lay.
func TestPlacementOfAPreset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := statedPlacement().Draw(t, "placement")
		require.Equal(t, &at, presetPlacement(&at).Placement())
	})
	in := unitOf(t, "Black", 10)
	in.Placement = &zones.Placement{ShiftMM: -3, DPIY: 300}
	text := jsonOf(t, presetOf(t, zonestest.Press(1, 31.75), in))
	assert.Contains(t, strings.Join(strings.Fields(text), " "),
		`"placement": { "lead_edge": "bottom", "mirrored": false, "shift_mm": -3, "dpi_x": null, "dpi_y": 300 }`)
	assert.NoError(t, holds(t, schema(t, Schema), text))
	for broken, want := range map[string]string{
		`"lead_edge": "front"`: `p.json: placement.lead_edge: "front" is not bottom, top, left or right`,
		`"mirrored": 1`:        "p.json: line 19, column ",
		`"shift_mm": null`:     "p.json: placement.shift_mm: is null, but must be known",
		`"dpi_x": 0`:           "p.json: placement.dpi_x: 0 is not the resolution of a plate",
		`"dpi_y": -1`:          "p.json: placement.dpi_y: -1 is not the resolution of a plate",
	} {
		key, _, _ := strings.Cut(broken, ":")
		hostile := regexp.MustCompile(key+`: [^,\n]*`).ReplaceAllString(text, broken)
		_, err := ReadJSON("p.json", strings.NewReader(hostile))
		require.Error(t, err, broken)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
		assert.Contains(t, err.Error(), "; ", "what to do is said")
		assert.Error(t, holds(t, schema(t, Schema), hostile), broken)
	}
}

// A preset that was written before it stated these is read, and does not know
// them.
func TestEarlierPresetIsRead(t *testing.T) {
	in := unitOf(t, "Black", 10)
	in.Placement, in.LengthMM = &zones.Placement{}, 480
	on := zonestest.Press(1, 31.75)
	p := presetOf(t, on, in)
	text := jsonOf(t, p)
	require.NotNil(t, p.Placement)
	require.NotNil(t, p.Press.Blade)
	require.Equal(t, new(480.0), p.Units[0].LengthMM)
	for _, later := range []string{`(?s)"placement": \{.*?\},\s*`, `"blade": "segmented",\s*`, `"length_mm": 480,\s*`} {
		require.Regexp(t, later, text)
		text = regexp.MustCompile(later).ReplaceAllString(text, "")
	}
	assert.NoError(t, holds(t, schema(t, Schema), text))
	earlier, err := ReadJSON("p.json", strings.NewReader(text))
	require.NoError(t, err)
	p.Placement, p.Press.Blade, p.Units[0].LengthMM = nil, nil, nil
	assert.Equal(t, p, earlier)
}

func TestUnitsThatLieDifferentlyAreRefused(t *testing.T) {
	a, b := unitOf(t, "Black", 10), unitOf(t, "Cyan", 10)
	a.Placement, b.Placement = &zones.Placement{}, &zones.Placement{LeadEdge: zones.Bottom}
	_, err := newPreset("Gull poster", zonestest.Press(1, 31.75), []laidUnit{a, b})
	assert.NoError(t, err)
	b.Placement = &zones.Placement{Mirrored: true}
	_, err = newPreset("Gull poster", zonestest.Press(1, 31.75), []laidUnit{a, b})
	assert.EqualError(t, err, "ink Cyan lies otherwise on the fountain than ink Black; place all separations of a form alike")
}

// A text that a spreadsheet would run as a formula is written so that it does
// not begin like one.
func TestNoFormulaInTheCSV(t *testing.T) {
	for _, job := range []string{"=1+1", "+1", "-gull", "@gull", "'gull", "'=1"} {
		p := gull(t)
		p.Job, p.Units[0].Ink = job, job
		text := csvOf(t, p)
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, "'"+job, rows[1][0])
		assert.Equal(t, "'"+job, rows[1][2])
		read, err := ReadCSV("p.csv", strings.NewReader(text))
		require.NoError(t, err)
		assert.Equal(t, job, read.Job)
		assert.Equal(t, job, read.Units[0].Ink)
	}
}

// The forms in which spreadsheets of one locale or another save the same file.
func TestReadCSVOfSpreadsheets(t *testing.T) {
	text := strings.ReplaceAll(csvOf(t, gull(t)), "Gull poster, night", "Gull poster")
	text = strings.ReplaceAll(text, `"`, "")
	want, err := ReadCSV("gull.csv", strings.NewReader(text))
	require.NoError(t, err)
	decimalComma := strings.NewReplacer(",", ";", ".", ",").Replace(text)
	for name, saved := range map[string]string{
		"LF":              strings.ReplaceAll(text, "\r\n", "\n"),
		"byte order mark": "\ufeff" + text,
		"semicolons":      strings.ReplaceAll(text, ",", ";"),
		"tabs":            strings.ReplaceAll(text, ",", "\t"),
		"decimal commas":  decimalComma,
		"empty rows":      text + strings.Repeat(",", 22) + "\r\n\r\n",
		"3/8 as a date":   strings.ReplaceAll(text, ",3/8,", ",03. Aug,"),
		"no last newline": strings.TrimSuffix(text, "\r\n"),
	} {
		got, err := ReadCSV("gull.csv", strings.NewReader(saved))
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
}

func TestReadCSVWithItsColumnsAndRowsInAnotherOrder(t *testing.T) {
	text := csvOf(t, gull(t))
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	rows[1], rows[3] = rows[3], rows[1]
	for _, row := range rows {
		row[0], row[9] = row[9], row[0]
	}
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	p, err := ReadCSV("gull.csv", &b)
	require.NoError(t, err)
	assert.Equal(t, text, csvOf(t, p))
}

func TestReadOKSettings(t *testing.T) {
	text := csvOf(t, gull(t))
	fill := func(row int, ok string) {
		rows := strings.Split(text, "\r\n")
		rows[row] = strings.TrimSuffix(rows[row], ",,") + ok
		text = strings.Join(rows, "\r\n")
	}
	fill(1, ",1 3/8,50")
	fill(2, ",1.375,")
	fill(3, `, 3/8 ,50`)
	p, err := ReadCSV("gull.csv", strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, new(50.0), p.Units[0].OKSweep)
	assert.Equal(t, []*float64{new(1.375), new(1.375), new(0.375)}, []*float64{p.Units[0].Keys[0].OKKey, p.Units[0].Keys[1].OKKey, p.Units[0].Keys[2].OKKey})
	assert.Nil(t, p.Units[1].OKSweep)
	assert.Nil(t, p.Units[1].Keys[0].OKKey, "an empty cell was not read")

	german := strings.NewReplacer(",", ";", ".", ",").Replace(strings.ReplaceAll(text, "Gull poster, night", "Gull"))
	p, err = ReadCSV("gull.csv", strings.NewReader(german))
	require.NoError(t, err)
	assert.Equal(t, new(1.375), p.Units[0].Keys[1].OKKey)
}

// second is row 2 of the CSV, which the hostile table changes.
const second = `"Gull poster, night",Duplicator,Harbour Red,1,0,31.75,0,0,-0.25,-1/4,turn,set,45,%,-0.25,,,,,,,one to one,,`

var hostileCSV = map[string]struct{ old, new, want string }{
	"empty":                 {"", "", "p.csv: row 1: there is no header"},
	"no rows":               {"*", "", "p.csv: row 1: no row of a key"},
	"column missing":        {",state,", ",stat,", "p.csv: row 1, column state: is missing"},
	"column twice":          {",left_mm,", ",zone,", `p.csv: row 1: "zone" is not a column of a preset, or is there twice`},
	"column gone":           {",ok_key,ok_sweep\r\n", ",ok_key\r\n", "p.csv: row 1, column ok_sweep: is missing"},
	"cell missing":          {",one to one,,\r\n", "\r\n", "p.csv: row 2: wrong number of fields"},
	"quote":                 {"Duplicator,", `Dupl"icator,`, "p.csv: row 2: bare \" in non-quoted"},
	"not UTF-8":             {"Harbour", "H\xe4fen", "p.csv: row 1: the text is not UTF-8"},
	"zone text":             {"Red,1,0", "Red,one,0", `p.csv: row 2, column zone: "one" is not a number`},
	"zone half":             {"Red,1,0", "Red,1.5,0", `p.csv: row 2, column zone: "1.5" is not a zone`},
	"zone 201":              {"Red,1,0", "Red,201,0", `p.csv: row 2, column zone: "201" is not a zone`},
	"zone huge":             {"Red,1,0", "Red,1e300,0", `p.csv: row 2, column zone: "1e300" is not a zone`},
	"zone twice":            {"Red,1,0", "Red,2,0", `p.csv: row 3, column zone: zone 2 of ink "Harbour Red" stands in row 2 already`},
	"zone gap":              {"Red,1,0", "Red,4,0", `p.csv: column zone: ink "Harbour Red" has no row for zone 1`},
	"half a place":          {"0,31.75,0", "0,,0", "p.csv: row 2, column left_mm: one border"},
	"no width":              {"0,31.75,0", "32,31.75,0", "p.csv: row 2, column left_mm: the zone from 32 to 31.75 mm"},
	"coverage nan":          {"31.75,0,0", "31.75,nan,0", `p.csv: row 2, column coverage_pct: "nan" is not a number`},
	"coverage above 100":    {"31.75,0,0", "31.75,101,0", "p.csv: row 2, column coverage_pct: 101 is outside"},
	"opening below 0":       {"31.75,0,0", "31.75,0,-1", "p.csv: row 2, column opening_pct: -1 is outside"},
	"opening empty":         {"31.75,0,0", "31.75,0,", `p.csv: row 2, column opening_pct: "" is not a number`},
	"key huge":              {"-0.25,-1/4", "1e308,-1/4", "p.csv: row 2, column key: 1e+308"},
	"key overflow":          {"-0.25,-1/4", "1e999,-1/4", `p.csv: row 2, column key: "1e999" is not a number`},
	"unit unknown":          {"turn,set", "mm,set", "p.csv: row 3, column key_unit: \"turn\" differs from \"mm\" above"},
	"state unknown":         {"turn,set", "turn,open", `p.csv: row 2, column state: "open" is not a state`},
	"sweep 0":               {"set,45,%", "set,0,%", "p.csv: row 3, column sweep: 45 differs from 0 above"},
	"job differs":           {`"Gull poster, night",Dup`, "Gull,Dup", "p.csv: row 3, column job: "},
	"press differs":         {"Duplicator,", "Two-colour,", "p.csv: row 3, column press: "},
	"ink differs":           {"Harbour Red,1", "harbour red,1", "p.csv: row 3, column ink: "},
	"ok key":                {"one to one,,", "one to one,03. Aug,", `p.csv: row 2, column ok_key: "03. Aug" is a date: a spreadsheet made it of a fraction; format the column as text`},
	"ok key in tabs":        {"one to one,,", "one to one,\"1\n3\",", `p.csv: row 2, column ok_key: "1\n3" is not a key setting`},
	"ok sweep":              {"one to one,,", "one to one,,x", `p.csv: row 2, column ok_sweep: "x" is not a number`},
	"ok sweep huge":         {"one to one,,", "one to one,,1e300", "p.csv: row 2, column ok_sweep: 1e+300 is on no press's scale"},
	"place huge":            {"0,31.75,0", "0,1e300,0", "p.csv: row 2, column left_mm: the zone from 0 to 1e+300 mm"},
	"ok sweep 0":            {"one to one,,", "one to one,,0", "p.csv: row 2, column ok_sweep: 0 feeds no ink"},
	"ink empty":             {"Harbour Red,1", ",1", `p.csv: column zone: ink "" has no row for zone 2`},
	"ink of two lines":      {"Harbour Red,1", "\"Harbour\nRed\",1", `p.csv: column zone: ink "Harbour\nRed" has no row`},
	"ok sweeps that differ": {"one to one,,\r\n", "one to one,,50\r\n*", "p.csv: row 3, column ok_sweep: 40 differs from 50 above"},
}

func hostileText(t require.TestingT, text, old, new string) string {
	switch {
	case old == "":
		return new
	case old == "*":
		head, _, _ := strings.Cut(text, "\r\n")
		return head + "\r\n"
	case strings.HasSuffix(new, "*"): // the next of its kind as well, otherwise
		text = strings.Replace(text, old, "§", 1)
		text = strings.Replace(text, old, "one to one,,40\r\n", 1)
		return strings.Replace(text, "§", strings.TrimSuffix(new, "*"), 1)
	}
	require.Contains(t, text, old)
	return strings.Replace(text, old, new, 1)
}

func TestReadCSVRefuses(t *testing.T) {
	text := csvOf(t, gull(t))
	require.Contains(t, text, second)
	for name, tc := range hostileCSV {
		t.Run(name, func(t *testing.T) {
			p, err := ReadCSV("p.csv", strings.NewReader(hostileText(t, text, tc.old, tc.new)))
			require.Nil(t, p)
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			assert.True(t, strings.HasPrefix(err.Error(), tc.want), err.Error())
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}

var hostileJSON = map[string]struct{ old, new, want string }{
	"empty":            {"", "", "p.json: line 1, column 1: the JSON ends too early"},
	"another file":     {"", "[1]", "p.json: line 1, column 1: array stands where a preset belongs"},
	"null":             {"", "null", "p.json: format: is missing"},
	"two values":       {"\n}\n", "\n}\n{}", "p.json: line "},
	"cut short":        {"\n}\n", "", "p.json: line "},
	"format":           {"preset/1", "preset/2", `p.json: format: "bladeline.preset/2" is not "bladeline.preset/1"`},
	"unknown key":      {`"job"`, `"jobs"`, "p.json: jobs: is not a key of a preset"},
	"key in capitals":  {`"job"`, `"Job"`, "p.json: Job: is not a key of a preset"},
	"key missing":      {`"zone": 1,`, ``, "p.json: units[0].keys[0].zone: is missing"},
	"null key":         {`"key": -0.25`, `"key": null`, "p.json: units[0].keys[0].key: is null"},
	"blade":            {`"blade": "segmented"`, `"blade": "bent"`, `p.json: press.blade: "bent" is neither segmented nor one-piece`},
	"length":           {`"length_mm": null`, `"length_mm": -3`, `p.json: units[0].length_mm: -3 is not a print length`},
	"text for number":  {`"key": -0.25`, `"key": "a"`, "p.json: line 39, column 2"},
	"zones 0":          {`"zones": 3`, `"zones": 0`, "p.json: press.zones: 0 zones"},
	"zones differ":     {`"zones": 3`, `"zones": 4`, `p.json: units[0].keys: ink "Harbour Red" has 3 keys where the press has 4 zones`},
	"width":            {`"zone_width_mm": 31.75`, `"zone_width_mm": -1`, "p.json: press.zone_width_mm: -1"},
	"first zone":       {`"left",`, `"top",`, `p.json: press.first_zone: "top"`},
	"key unit":         {`"turn"`, `"mm"`, `p.json: press.key_unit: "mm"`},
	"sweep unit":       {`"sweep_unit": "%"`, `"sweep_unit": " "`, "p.json: press.sweep_unit: "},
	"press name":       {`"Duplicator"`, `"a\nb"`, `p.json: press.name: "a\nb"`},
	"job":              {`"Gull poster, night"`, `"\u0000"`, "p.json: job: "},
	"file":             {`"gull_Harbour Red.tif"`, `"\n"`, "p.json: units[0].file: "},
	"page":             {`"page": 1`, `"page": 0`, "p.json: units[0].page: "},
	"channel":          {`"channel": 1`, `"channel": -1`, "p.json: units[0].channel: "},
	"sweep":            {`"sweep": 45`, `"sweep": 0`, "p.json: units[0].sweep: 0"},
	"sweep chosen":     {`"given"`, `"guessed"`, `p.json: units[0].sweep_chosen: "guessed"`},
	"unit's coverage":  {`"coverage_pct": 20`, `"coverage_pct": 101`, "p.json: units[0].coverage_pct: 101"},
	"zone order":       {`"zone": 1,`, `"zone": 2,`, "p.json: units[0].keys[0].zone: zone 2 stands where zone 1 belongs"},
	"ink twice":        {`"ink": "Black"`, `"ink": "HARBOUR RED"`, "p.json: units[1].ink: \"HARBOUR RED\" has a unit already"},
	"key's text":       {`"key_text": "-1/4"`, `"key_text": "1/4"`, `p.json: units[0].keys[0].key_text: "1/4" is not the key, -0.25`},
	"key's text wrong": {`"key_text": "-1/4"`, `"key_text": "open"`, `p.json: units[0].keys[0].key_text: "open" is not a key setting`},
	"state":            {`"state": "set"`, `"state": ""`, `p.json: units[0].keys[0].state: "" is not a state`},
	"number too large": {`"key": -0.25`, `"key": 1e999`, "p.json: line 39, column 2"},
	"warning's zone":   {"\"zone\": 1,\n      \"code\"", "\"zone\": 4,\n      \"code\"", "p.json: warnings[0]: zone 4 is outside 1 to 3"},
	"warning's code":   {`"scale"`, `""`, "p.json: warnings[0]: "},
	"deeply nested":    {"", strings.Repeat("[", 100_000), "p.json: line 1, column "},
}

func TestReadJSONRefuses(t *testing.T) {
	text := jsonOf(t, gull(t))
	for name, tc := range hostileJSON {
		t.Run(name, func(t *testing.T) {
			p, err := ReadJSON("p.json", strings.NewReader(hostileText(t, text, tc.old, tc.new)))
			require.Nil(t, p)
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			assert.True(t, strings.HasPrefix(err.Error(), tc.want), err.Error())
			assert.NotContains(t, err.Error(), "\n")
		})
	}
}

// failing is a file system that fails.
type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("the disk is gone") }

func TestReadersOfWhatCannotBeRead(t *testing.T) {
	_, err := ReadJSON("p.json", failing{})
	assert.EqualError(t, err, "p.json: the disk is gone")
	_, err = ReadCSV("p.csv", failing{})
	assert.EqualError(t, err, "p.csv: the disk is gone")
	long := strings.Repeat(" ", maxFile+1)
	_, err = ReadJSON("p.json", strings.NewReader(long))
	assert.EqualError(t, err, "p.json: more than 16 MiB are too many; check that this is the file you meant")
	_, err = ReadCSV("p.csv", strings.NewReader(long))
	assert.Error(t, err)
}

func FuzzReadJSON(f *testing.F) {
	text := jsonOf(f, gull(f))
	f.Add([]byte(text))
	for _, tc := range hostileJSON {
		if len(tc.new) < 1000 {
			f.Add([]byte(hostileText(f, text, tc.old, tc.new)))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadJSON("p.json", bytes.NewReader(data))
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		again, err := ReadJSON("p.json", strings.NewReader(jsonOf(t, p)))
		require.NoError(t, err)
		require.Equal(t, p, again)
		_, err = ReadCSV("p.csv", strings.NewReader(csvOf(t, p)))
		require.NoError(t, err, "what is taken as JSON can go as CSV")
	})
}

// reckonWith reckons with a preset that was taken: there is an answer or an
// error of one line.
func reckonWith(t *testing.T, p *Preset) {
	side := Compared{"p.csv", p}
	if c, err := Compare(side, side, nil); err == nil {
		require.NoError(t, c.WriteJSON(io.Discard))
	} else {
		require.NotContains(t, err.Error(), "\n")
	}
	for i := range p.Units {
		if solid, err := p.Units[i].SolidM2("p.csv", 480); err == nil {
			e := NewEstimate(1e9, 0, []InkInput{{Ink: p.Units[i].Ink, SolidM2: solid}})
			require.NoError(t, e.WriteJSON(io.Discard))
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	text := csvOf(f, gull(f))
	f.Add([]byte(text))
	f.Add([]byte(strings.NewReplacer(",", ";", ".", ",").Replace(text)))
	for _, tc := range hostileCSV {
		f.Add([]byte(hostileText(f, text, tc.old, tc.new)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadCSV("p.csv", bytes.NewReader(data))
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		again, err := ReadCSV("p.csv", strings.NewReader(csvOf(t, p)))
		require.NoError(t, err)
		require.Equal(t, p, again)
		_, err = ReadJSON("p.json", strings.NewReader(jsonOf(t, p)))
		require.NoError(t, err)
		reckonWith(t, p)
	})
}

// TestLongNamesInCSV writes a long name in every row without holding it for
// every row, though it is guarded.
func TestLongNamesInCSV(t *testing.T) {
	p := gull(t)
	p.Job = "=" + strings.Repeat("x", 100_000)
	for len(p.Units[0].Keys) < 1000 {
		p.Units[0].Keys = append(p.Units[0].Keys, p.Units[0].Keys...)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	require.NoError(t, p.WriteCSV(io.Discard))
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(50<<20), "of 150 MB written")
}
