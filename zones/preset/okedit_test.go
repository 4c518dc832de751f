package preset

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func edited(t require.TestingT, text string, entries ...OKEntry) *OKEdited {
	e, err := EditOK("gull.csv", []byte(text), entries, okPress())
	require.NoError(t, err)
	return e
}

// okFile's keys are 0, 3/8, 5/8, 1 1/4, 1 1/4, 1/8, 3 and 1/8, its sweep 45.
func TestEditOK(t *testing.T) {
	e := edited(t, okCells(),
		OKEntry{Zones: []int{2, 3}, Text: "1-1/8"}, OKEntry{Ink: "bl", Zones: []int{4}, Text: "+1/8"}, OKEntry{Zones: []int{5}, Text: "-1/4"},
		OKEntry{Zones: []int{6}, Text: "½"}, OKEntry{Zones: []int{7}, Text: "2,5"}, OKEntry{Sweep: true, Text: "+5"})
	assert.Equal(t, okCells(",50", "1.125,", "1.125,", "1.375,", "1,", "0.5,", "2.5,"), string(e.Data))
	assert.Equal(t, []*float64{nil, new(1.125), new(1.125), new(1.375), new(1.0), new(0.5), new(2.5), nil}, keysRun(e.Preset))
	assert.Equal(t, OKChange{Ink: "Black", Zone: 4, Preset: 1.25, Is: new(1.375)}, e.Changes[2])

	e = edited(t, string(e.Data), OKEntry{Zones: []int{2}, Text: "–"}, OKEntry{Zones: []int{3}, Text: "1"}, OKEntry{Sweep: true, Text: "-"})
	assert.Equal(t, okCells(",", ",", "1,", "1.375,", "1,", "0.5,", "2.5,"), string(e.Data))
	assert.Equal(t, OKChange{Ink: "Black", Zone: 2, Preset: 0.375, Was: new(1.125)}, e.Changes[0])

	e = edited(t, string(e.Data), OKEntry{Rest: true})
	assert.Equal(t, okCells("0,", "0.375,", "1,", "1.375,", "1,", "0.5,", "2.5,", "0.125,"), string(e.Data))
}

// What people and spreadsheets made of a file stays as it is, but for the cells that
// are filled.
func TestEditOKKeepsTheFile(t *testing.T) {
	three := OKEntry{Zones: []int{3}, Text: "1 1/8"}
	sweep := OKEntry{Sweep: true, Text: "50"}
	remarks := strings.Replace(okCells("1⅝,", "\"1,25\","), "ok_sweep\n", "ok_sweep,my remarks\n", 1)
	remarks = strings.ReplaceAll(remarks, ",\n", ",,\"thin, \"\"very\"\"\"\n")
	semicolons := strings.NewReplacer(",", ";", ".", ",").Replace(okCells("1⅝,"))
	short := strings.ReplaceAll(okCells(), ",,\n", "\n")
	for name, c := range map[string]struct{ text, cell, is string }{
		"remarks":        {remarks, ",turn,set,45,%,,,", ",turn,set,45,%,1.125,,"},
		"semicolons":     {semicolons, "20;20;0,625;5/8;turn;set;45;%;;", "20;20;0,625;5/8;turn;set;45;%;1,125;"},
		"CRLF":           {strings.ReplaceAll(okCells(), "\n", "\r\n"), "5/8,turn,set,45,%,,", "5/8,turn,set,45,%,1.125,"},
		"a mark":         {"\ufeff" + okCells(), "5/8,turn,set,45,%,,", "5/8,turn,set,45,%,1.125,"},
		"no line end":    {strings.TrimSuffix(okCells(), "\n"), "5/8,turn,set,45,%,,", "5/8,turn,set,45,%,1.125,"},
		"cells left out": {short, "5/8,turn,set,45,%\n", "5/8,turn,set,45,%,1.125\n"},
		"all quoted":     {strings.ReplaceAll(okCells(), "5/8,turn,set,45,%,,", `"5/8","turn","set","45","%","",""`), `"45","%","",`, `"45","%",1.125,`},
	} {
		require.Contains(t, c.text, c.cell, name)
		want := strings.Replace(c.text, c.cell, c.is, 1)
		if name == "remarks" { // the first such row is not that of zone 3
			rows := strings.SplitAfter(c.text, "\n")
			rows[3] = strings.Replace(rows[3], c.cell, c.is, 1)
			want = strings.Join(rows, "")
		}
		e := edited(t, c.text, three)
		assert.Equal(t, want, string(e.Data), name)
		assert.Equal(t, new(1.125), e.Preset.Units[0].Keys[2].OKKey, name)
		e = edited(t, c.text, three, sweep)
		assert.Equal(t, new(50.0), e.Preset.Units[0].OKSweep, name)
		assert.Equal(t, new(1.125), e.Preset.Units[0].Keys[2].OKKey, name)
	}
	wide := "\xff\xfe" + strings.Join(strings.Split(okCells(), ""), "\x00") + "\x00"
	assert.Equal(t, "\ufeff"+string(edited(t, okCells(), three).Data), string(edited(t, wide, three).Data), "UTF-16 becomes UTF-8")
	first := edited(t, short, OKEntry{Zones: []int{1}, Text: "1/8"}, sweep)
	assert.Contains(t, string(first.Data), "0,0,turn,off-sheet,45,%,0.125,50\n")
}

// What a spreadsheet made of a key, or of the sweep, gives way to what was run, and
// what it made of another is still refused.
func TestEditOKReplacesWhatCannotBeRead(t *testing.T) {
	four := OKEntry{Ink: "bl", Zones: []int{4}, Text: "1.25"}
	for _, cell := range []string{"625,", "5-Aug,", "#REF!,", "45678,"} {
		spoilt := okCells(",", ",", ",", cell)
		e := edited(t, spoilt, four)
		assert.Equal(t, okCells(",", ",", ",", "1.25,"), string(e.Data), cell)
		assert.Equal(t, []OKChange{{Ink: "Black", Zone: 4, Preset: 1.25, Is: new(1.25)}}, e.Changes, "what it was is not known")
		e = edited(t, spoilt, OKEntry{Zones: []int{4}, Text: "-"})
		assert.Equal(t, okCells(), string(e.Data), cell)
		for _, entry := range []OKEntry{{Zones: []int{3}, Text: "1"}, {Sweep: true, Text: "5"}, {Rest: true}} {
			_, err := EditOK("gull.csv", []byte(spoilt), []OKEntry{entry}, nil)
			assert.ErrorContains(t, err, "gull.csv: row 5, column ok_key: ", cell)
		}
	}
	for _, cell := range []string{",#REF!", ",0"} {
		e := edited(t, okCells(cell, ",50"), OKEntry{Sweep: true, Text: "55"})
		assert.Equal(t, okCells(",55"), string(e.Data), cell)
		_, err := EditOK("gull.csv", []byte(okCells(cell, ",50")), []OKEntry{four}, nil)
		assert.ErrorContains(t, err, "column ok_sweep: ", cell)
	}
	blue := strings.ReplaceAll(strings.SplitN(okCells(",", ",", ",", "#REF!,"), "\n", 2)[1], "Black", "Blue")
	_, err := EditOK("gull.csv", []byte(okCells()+blue), []OKEntry{{Ink: "Black", Zones: []int{4}, Text: "1.25"}}, nil)
	assert.ErrorContains(t, err, `gull.csv: row 13, column ok_key: "#REF!" is not a key setting`)
}

// A cell that says "rest as preset" for all of an ink gives it way to a number only
// when the rest stands in the others.
func TestEditOKKeepsTheWord(t *testing.T) {
	e := edited(t, okCells("1/8,", "rest as preset,"), OKEntry{Zones: []int{2}, Text: "1"})
	assert.Equal(t, okCells("1/8,", "1,", "0.625,", "1.25,", "1.25,", "0.125,", "3,", "0.125,"), string(e.Data))
}

func TestEditOKRefuses(t *testing.T) {
	two := okCells() + strings.ReplaceAll(strings.SplitN(okCells(), "\n", 2)[1], "Black", "Blue")
	for want, entry := range map[string]OKEntry{
		`ink "Black", zone 3: 0.6 is no setting of the press: it stands between 1/2 and 5/8; write the nearer one`:         {Ink: "Black", Zones: []int{3}, Text: "0.6"},
		`ink "Black", zone 7: 3 1/8 is beyond the scale, 0 to 3; write what was read off the press`:                        {Ink: "Black", Zones: []int{7}, Text: "+1/8"},
		`ink "Black", zone 2: -1/8 is beyond the scale, 0 to 3; write what was read off the press`:                         {Ink: "Black", Zones: []int{2}, Text: "-1/2"},
		`ink "Black", zone 2: "wide" is not a key setting; write it like 37, 1.375 or 1 3/8`:                               {Ink: "Black", Zones: []int{2}, Text: "wide"},
		`zone 9: the press has zones 1 to 8; name one of these`:                                                            {Ink: "Black", Zones: []int{9}, Text: "1"},
		`ink "Black", sweep: 95 is beyond the scale, 10 to 90; write what was read off the press`:                          {Ink: "Black", Sweep: true, Text: "95"},
		`ink "Black", sweep: 45.5 is no setting of the press: it stands between 45 and 46; write the nearer one`:           {Ink: "Black", Sweep: true, Text: "45.5"},
		`ink "bl": names none of "Black", "Blue", or more than one; write as much of its name as tells it apart`:           {Ink: "bl", Rest: true},
		`ink "Black", sweep: "nan" is not a sweep; write it like 45 or 5.5, or how far it is beside the preset's, like +1`: {Ink: "Black", Sweep: true, Text: "nan"},
		`ink "Black", zone 3: 0.555555556 is no setting of the press: it stands between 1/2 and 5/8; write the nearer one`: {Ink: "Black", Zones: []int{3}, Text: "5/9"},
		`ink "Red": names none of "Black", "Blue", or more than one; write as much of its name as tells it apart`:          {Ink: "Red", Rest: true},
		`inks: there are several, "Black", "Blue"; name one before the first key, as Black:3=…`:                            {Zones: []int{3}, Text: "1"},
	} {
		_, err := EditOK("gull.csv", []byte(two), []OKEntry{entry}, okPress())
		assert.EqualError(t, err, "gull.csv: "+want)
	}
	for text, want := range map[string]string{"-1/2": "zone 2: -1/8 is beyond", "101": "zone 2: 101 is beyond the scale, 0 to 100"} {
		_, err := EditOK("gull.csv", []byte(okCells()), []OKEntry{{Zones: []int{2}, Text: text}}, nil)
		assert.ErrorContains(t, err, want, "what no press has")
	}
	_, err := EditOK("gull.csv", []byte(okCells()), []OKEntry{{Zones: []int{2}, Text: "0.6"}}, nil)
	assert.NoError(t, err, "of which no steps are known")
	_, err = EditOK("gull.csv", []byte("job\n"), nil, nil)
	assert.ErrorContains(t, err, "gull.csv: row 1, column press: is missing")
}

// FuzzEditOK: whatever reads as a preset can be written into, and then reads as
// written; what else the file has is not touched.
func FuzzEditOK(f *testing.F) {
	for _, text := range []string{
		okCells(), okCells("5/8,7", "rest as preset,"), strings.ReplaceAll(okCells("⅝,"), ",", ";"), "\ufeff" + strings.ReplaceAll(okCells(), "\n", "\r"),
		strings.ReplaceAll(strings.Replace(okCells(), "ok_sweep\n", "ok_sweep,x\n", 1), ",\n", ",,\"a\n\"\"b,\"\n"), strings.ReplaceAll(okCells(), ",,\n", "\r\n\r\n"),
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadCSV("p.csv", strings.NewReader(string(data)))
		if err != nil {
			return
		}
		ink := p.Units[0].Ink
		e, err := EditOK("p.csv", data, []OKEntry{{Ink: ink, Zones: []int{1}, Text: "37.5"}, {Ink: ink, Sweep: true, Text: "5"}}, nil)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		require.Equal(t, new(37.5), e.Preset.Units[0].Keys[0].OKKey)
		require.Equal(t, new(5.0), e.Preset.Units[0].OKSweep)
		require.Equal(t, p.AsPreset(), e.Preset.AsPreset())
	})
}

// Of a preset of several inks, the rest without an ink is that of all.
func TestRestOfEveryInk(t *testing.T) {
	p := onTwoUnits(t)
	var b bytes.Buffer
	require.NoError(t, p.WriteCSV(&b))
	edited, err := EditOK("job.csv", b.Bytes(), []OKEntry{{Rest: true}}, inTwoUnits())
	require.NoError(t, err)
	require.Len(t, edited.Preset.Units, 2)
	for _, u := range edited.Preset.Units {
		for _, k := range u.Keys {
			assert.Equal(t, new(k.Key), k.OKKey, "%s, zone %d", u.Ink, k.Zone)
		}
	}
}
