package preset

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// okCells is okFile with every key unread, and what stands in the cells of ok_key
// and ok_sweep of its rows in place.
func okCells(cells ...string) string {
	rows := strings.Split(strings.TrimSpace(okFile), "\n")
	for i := range rows[1:] {
		cell := ","
		if i < len(cells) {
			cell = cells[i]
		}
		at := strings.Split(rows[i+1], ",")
		rows[i+1] = strings.Join(at[:14], ",") + "," + cell
	}
	return strings.Join(rows, "\n") + "\n"
}

func readOK(t require.TestingT, text string) *Preset {
	p, err := ReadCSV("gull.csv", strings.NewReader(text))
	require.NoError(t, err)
	return p
}

func keysRun(p *Preset) []*float64 {
	var keys []*float64
	for _, k := range p.Units[0].Keys {
		keys = append(keys, k.OKKey)
	}
	return keys
}

// What operators and their spreadsheets write in the cells of ok_key.
func TestOKCellsAsTyped(t *testing.T) {
	for cell, want := range map[string]*float64{
		"5/8": new(0.625), "1-5/8": new(1.625), "1 5/8": new(1.625), "1⅝": new(1.625), "⅝": new(0.625), "1\u202f5/8": new(1.625),
		`"1,625"`: new(1.625), ".625": new(0.625), " 0 5/8 ": new(0.625),
		"": nil, "-": nil, "–": nil, " — ": nil,
	} {
		keys := keysRun(readOK(t, okCells(cell+",", "1,")))
		assert.Equal(t, want, keys[0], "%q", cell)
		assert.Nil(t, keys[2], "an empty cell was not read")
	}
}

// A fraction that a spreadsheet made a date or a day's number, and a decimal whose
// point it took away, are refused with what to do.
func TestOKCellsThatSpreadsheetsSpoiled(t *testing.T) {
	for _, cell := range []string{
		"5. Aug", "05. Aug", "05. Aug.", "05.08.2026", "5.8.", "2026-05-08", "2026-05-08 00:00:00", "8-May", "May-08", "Mai 08", "05/08/2026", "5/8/26", "8. März", "08-mai", "August 5",
	} {
		_, err := ReadCSV("gull.csv", strings.NewReader(okCells(cell+",")))
		assert.EqualError(t, err, `gull.csv: row 2, column ok_key: "`+cell+`" is a date: a spreadsheet made it of a fraction; format the column as text and write it again, or write it as 0 5/8 or .625`)
	}
	_, err := ReadCSV("gull.csv", strings.NewReader(okCells("46150,")))
	assert.EqualError(t, err, `gull.csv: row 2, column ok_key: 46150 is no key setting but the number of a day: a spreadsheet made it of a fraction; format the column as text and write it again, or write it as 0 5/8 or .625`)
	_, err = ReadCSV("gull.csv", strings.NewReader(okCells("1625,")))
	assert.EqualError(t, err, `gull.csv: row 2, column ok_key: no screw turns 1625 times: a spreadsheet took the decimal point for a thousands mark; `+cureThousands)
	_, err = ReadCSV("gull.csv", strings.NewReader(strings.Replace(okFile, "0.375,3/8", "375,3/8", 1)))
	assert.EqualError(t, err, `gull.csv: row 3, column key: 375 stands for 3/8: a spreadsheet took the decimal point for a thousands mark; `+cureThousands)
	_, err = ReadCSV("gull.csv", strings.NewReader(okCells("wide,")))
	assert.EqualError(t, err, `gull.csv: row 2, column ok_key: "wide" is not a key setting; write it like 37, 1.375 or 1 3/8`)
	for _, text := range []string{"5 keys", "wide", "1.5", "sep=;", "5 of 8"} {
		assert.False(t, datelike(text), text)
	}
}

// Only the sweep was changed: the keys ran as preset. okFile's are 0, 3/8, 5/8,
// 1 1/4, 1 1/4, 1/8, 3 and 1/8.
func TestSweepAlone(t *testing.T) {
	p := readOK(t, okCells(",50"))
	assert.Equal(t, new(50.0), p.Units[0].OKSweep)
	assert.Equal(t, []*float64{new(0.0), new(0.375), new(0.625), new(1.25), new(1.25), new(0.125), new(3.0), new(0.125)}, keysRun(p))
	run, err := p.OKRun("gull.csv", okPress(), "Black")
	require.NoError(t, err)
	assert.Equal(t, 50.0, run.Sweep)
}

// The file says "rest as preset" in any cell that a person writes, of any row of
// the ink; other inks stay as they are.
func TestRestAsPreset(t *testing.T) {
	want := []*float64{new(0.125), new(0.375), new(0.625), new(1.25), new(1.25), new(0.125), new(3.0), new(0.125)}
	remark := strings.ReplaceAll(strings.Replace(okCells("1/8,"), "ok_sweep\n", "ok_sweep,Remarks\n", 1), ",1/8,\n", ",1/8,,\"thin at first, rest  as Preset\"\n")
	for name, text := range map[string]string{
		"ok_key":   okCells("1/8,", "rest as preset,"),
		"ok_sweep": okCells("1/8,", ",", ",Rest as preset"),
		"remarks":  remark,
	} {
		assert.Equal(t, want, keysRun(readOK(t, text)), name)
	}
	two := okCells("1/8,", "rest as preset,") + strings.ReplaceAll(strings.SplitN(okCells("1/8,"), "\n", 2)[1], "Black", "Red")
	p := readOK(t, two)
	assert.Nil(t, p.Units[1].Keys[1].OKKey, "the word stands in the rows of another ink")
	p.RestAsPreset()
	assert.Equal(t, want, []*float64{p.Units[1].Keys[0].OKKey, p.Units[1].Keys[1].OKKey, p.Units[1].Keys[2].OKKey, p.Units[1].Keys[3].OKKey, p.Units[1].Keys[4].OKKey, p.Units[1].Keys[5].OKKey, p.Units[1].Keys[6].OKKey, p.Units[1].Keys[7].OKKey})

	none := readOK(t, okCells())
	none.RestAsPreset()
	assert.False(t, none.WasRun(), "nothing says that it ran")
}

// Whole files as spreadsheets save them read as they were written.
func TestOKFilesAsSaved(t *testing.T) {
	text := okCells("5/8,7", "1 1/8,")
	want := readOK(t, text)
	rows := func(change func(string) string) string {
		all := strings.Split(strings.TrimSpace(text), "\n")
		for i := range all {
			all[i] = change(all[i])
		}
		return strings.Join(all, "\n") + "\n"
	}
	units := utf16.Encode([]rune("\ufeff" + strings.ReplaceAll(text, ",", "\t")))
	wide := func(order binary.AppendByteOrder) (b string) {
		var data []byte
		for _, u := range units {
			data = order.AppendUint16(data, u)
		}
		return string(data)
	}
	for name, saved := range map[string]string{
		"trailing semicolons":  rows(func(s string) string { return strings.ReplaceAll(s, ",", ";") + ";;;" }),
		"trailing commas":      rows(func(s string) string { return s + "," }),
		"cells left out":       rows(func(s string) string { return strings.TrimRight(s, ",") }),
		"columns of my own":    rows(func(s string) string { return "shift," + s + ",remarks" }),
		"decimal commas":       strings.NewReplacer(",", ";", ".", ",").Replace(text),
		"UTF-16":               wide(binary.LittleEndian),
		"UTF-16, the other":    wide(binary.BigEndian),
		"byte order mark":      "\ufeff" + text,
		"CRLF":                 strings.ReplaceAll(text, "\n", "\r\n"),
		"CR":                   strings.ReplaceAll(text, "\n", "\r"),
		"all quoted":           rows(func(s string) string { return `"` + strings.ReplaceAll(s, ",", `","`) + `"` }),
		"a separator named":    "sep=;\r\n" + strings.ReplaceAll(text, ",", ";"),
		"a tab named":          "\"sep=\t\"\n" + strings.ReplaceAll(text, ",", "\t"),
		"capitals":             "J" + text[1:],
		"commas within commas": strings.ReplaceAll(text, "0.375", `"0,375"`),
	} {
		got, err := ReadCSV("gull.csv", strings.NewReader(saved))
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
	places := strings.NewReplacer("Black,1,,", "Black,1,0,1016.5", "Black,2,,", "Black,2,1016.5,2033")
	grouped := strings.NewReplacer("1016.5", "1 016.5", "2033", "2\u202f033").Replace(places.Replace(text))
	assert.Equal(t, readOK(t, places.Replace(text)), readOK(t, grouped), "blanks between thousands")
}

// A cell's worth of a run makes an OK file, be the rest readable or not.
func TestHoldsOK(t *testing.T) {
	filled := okCells("5/8,")
	for name, c := range map[string]struct {
		text  string
		holds bool
	}{
		"a preset":            {okCells(), false},
		"dashes":              {okCells("-,–"), false},
		"a key":               {filled, true},
		"a sweep":             {okCells(",50"), true},
		"the word":            {okCells("rest as preset,"), true},
		"a key misread":       {okCells("wide,"), true},
		"a date":              {okCells("05.08.2026,"), true},
		"rows left out":       {strings.Join(strings.Split(filled, "\n")[:3], "\n"), true},
		"not in UTF-8":        {strings.ReplaceAll(filled, "Gull", "M\xf6we"), true},
		"UTF-16":              {"\xff\xfe" + strings.Join(strings.Split(filled, ""), "\x00") + "\x00", true},
		"semicolons":          {strings.ReplaceAll(filled, ",", ";"), true},
		"a separator named":   {"sep=;\n" + strings.ReplaceAll(filled, ",", ";"), true},
		"empty":               {"", false},
		"a picture":           {"II*\x00\x08\x00\x00\x00", false},
		"another table":       {"ink,zone,density\nBlack,1,1\n", false},
		"a header's look":     {"job,ok_key\n\"Gull,1\n", false},
		"more than is a file": {filled + strings.Repeat(" ", maxFile), false},
	} {
		assert.Equal(t, c.holds, HoldsOK(strings.NewReader(c.text)), name)
	}
	endless := &endlessFile{}
	assert.False(t, HoldsOK(endless))
	assert.LessOrEqual(t, endless.n, 2*headerBytes, "of what is no CSV no more is read than its beginning")
}

// endlessFile is a file without an end.
type endlessFile struct{ n int }

func (c *endlessFile) Read(b []byte) (int, error) {
	c.n += len(b)
	return len(b), nil
}
