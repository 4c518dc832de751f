package preset

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// statedRun is a preset that says all that came later.
func statedRun(t require.TestingT) *Preset {
	p := gull(t)
	p.Press.ID, p.Paper, p.RunLength, p.Date = new("duplicator-11"), new("coated"), new(5000), new("2026-11-26")
	for i := range p.Units {
		p.Units[i].Unit, p.Units[i].Pass = new(fmt.Sprint(2-i)), new(i+1)
	}
	return p
}

func TestRunOfAPresetRoundTrips(t *testing.T) {
	p := statedRun(t)
	require.NoError(t, holds(t, schema(t, Schema), jsonOf(t, p)))
	fromJSON, err := ReadJSON("p.json", strings.NewReader(jsonOf(t, p)))
	require.NoError(t, err)
	assert.Equal(t, p, fromJSON)

	text := csvOf(t, p)
	assert.Equal(t, `"Gull poster, night",Duplicator,Harbour Red,2,31.75,63.5,12.5,12.5,0.375,3/8,turn,set,45,%,0,duplicator-11,coated,5000,2026-11-26,2,1,one to one,,`,
		strings.Split(text, "\r\n")[2])
	fromCSV, err := ReadCSV("p.csv", strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, asCSVStates(p), fromCSV)
	assert.NoError(t, holds(t, schema(t, Schema), jsonOf(t, fromCSV)))
}

// Files as they were written before a preset said what its run was. What they
// do not say is not known, and they are written anew with all that they do.
func TestReadPresetsWithoutUnits(t *testing.T) {
	text, err := os.ReadFile("testdata/without-units.csv")
	require.NoError(t, err)
	require.Contains(t, string(text), ",sweep,sweep_unit,ok_key,ok_sweep\r\n")
	p, err := ReadCSV("without-units.csv", strings.NewReader(string(text)))
	require.NoError(t, err)
	saysNothingOfItsRun(t, p)
	assert.Nil(t, p.Units[0].Curve)
	assert.Equal(t, []string{"Harbour Red", "Cyan"}, []string{p.Units[0].Ink, p.Units[1].Ink})
	assert.Equal(t, 45.0, p.Units[0].Sweep)
	again, err := ReadCSV("again.csv", strings.NewReader(csvOf(t, p)))
	require.NoError(t, err)
	assert.Equal(t, p, again)

	text, err = os.ReadFile("testdata/without-units.json")
	require.NoError(t, err)
	require.NotContains(t, string(text), `"paper"`)
	require.NoError(t, holds(t, schema(t, Schema), string(text)))
	p, err = ReadJSON("without-units.json", strings.NewReader(string(text)))
	require.NoError(t, err)
	saysNothingOfItsRun(t, p)
	assert.Equal(t, new("Coated, starting value"), p.Units[1].Curve)
	assert.NoError(t, holds(t, schema(t, Schema), jsonOf(t, p)))
}

func saysNothingOfItsRun(t *testing.T, p *Preset) {
	assert.Nil(t, p.Press.ID)
	assert.Nil(t, p.Paper)
	assert.Nil(t, p.RunLength)
	assert.Nil(t, p.Date)
	for _, u := range p.Units {
		assert.Nil(t, u.Unit)
		assert.Nil(t, u.Pass)
	}
}

// Spreadsheets save a day as their country writes it. 26 can be no month; of
// 5/11 nobody knows which is which, and then the day is not known.
func TestDatesOfSpreadsheets(t *testing.T) {
	for cell, want := range map[string]*string{
		"2026-11-26": new("2026-11-26"), "2026/11/26": new("2026-11-26"), "26.11.2026": new("2026-11-26"), "5.11.26": new("2026-11-05"),
		"11/26/2026": new("2026-11-26"), "26/11/2026": new("2026-11-26"), "26-11-2026": new("2026-11-26"), "11/26/26": new("2026-11-26"),
		"7/7/2026": new("2026-07-07"), "5/11/2026": nil, "": nil, "26.11.2026 00:00": new("2026-11-26"), "'2026-11-26": new("2026-11-26"),
	} {
		p, err := ReadCSV("p.csv", strings.NewReader(strings.ReplaceAll(csvOf(t, statedRun(t)), "2026-11-26", cell)))
		require.NoError(t, err, cell)
		assert.Equal(t, want, p.Date, cell)
	}
}

// What is the same for a job or an ink may stand in some of its rows alone.
func TestLaterCellsInSomeRows(t *testing.T) {
	text := strings.Replace(csvOf(t, statedRun(t)), "duplicator-11,coated,5000,2026-11-26,2,1,one to one", ",,,,,,", 1)
	p, err := ReadCSV("p.csv", strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, asCSVStates(statedRun(t)), p)
}

func TestReadCSVRefusesWhatNoRunIs(t *testing.T) {
	text := csvOf(t, statedRun(t))
	for change, want := range map[[2]string]string{
		{",5000,", ",0,"}:                 "p.csv: row 3, column run_length: ",
		{",5000,", ",1e12,"}:              `p.csv: row 2, column run_length: "1e12" is not a whole number that it can be; write one from 1 up to 1000000000, or leave it empty`,
		{",5000,", ",5.5,"}:               `p.csv: row 2, column run_length: "5.5" is not a whole number`,
		{",5000,", ",many,"}:              `p.csv: row 2, column run_length: "many" is not a number`,
		{",2026-11-26,", ",2026-02-30,"}:  `p.csv: row 2, column date: "2026-02-30" is not a day; write it like 2026-11-26, or leave it empty`,
		{",2026-11-26,", ",30.2.2026,"}:   `p.csv: row 2, column date: "30.2.2026" is not a day`,
		{",2026-11-26,", ",soon,"}:        `p.csv: row 2, column date: "soon" is not a day`,
		{",2026-11-26,", ",2026-11-27,"}:  `p.csv: row 3, column date: "2026-11-26" differs from "2026-11-27" above`,
		{",coated,", ",uncoated,"}:        `p.csv: row 3, column paper: "coated" differs from "uncoated" above`,
		{",duplicator-11,", ",other,"}:    `p.csv: row 3, column press_id: "duplicator-11" differs from "other" above`,
		{",2,1,one to one", ",1,1,one"}:   `p.csv: row 3, column unit: "2" differs from "1" above`,
		{",2,1,one to one", ",2,3,one"}:   `p.csv: row 3, column pass: "1" differs from "3" above`,
		{",2,1,one to one", ",2,1,two"}:   `p.csv: row 3, column curve: "one to one" differs from "two" above`,
		{"press_id,paper", "paper,paper"}: `p.csv: row 1: "paper" is not a column of a preset, or is there twice`,
	} {
		require.Contains(t, text, change[0])
		_, err := ReadCSV("p.csv", strings.NewReader(strings.Replace(text, change[0], change[1], 1)))
		require.Error(t, err, change)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
	}
	_, err := ReadCSV("p.csv", strings.NewReader(strings.ReplaceAll(text, ",5000,", ",0,")))
	assert.EqualError(t, err, "p.csv: column run_length: 0 is not a number of sheets; a run has 1 to 1000000000")
	_, err = ReadCSV("p.csv", strings.NewReader(strings.ReplaceAll(text, ",2,1,one", ",2,0,one")))
	assert.EqualError(t, err, "p.csv: row 2, column pass: 0 is not a pass; passes count from 1, up to 100")
}

func TestReadJSONRefusesWhatNoRunIs(t *testing.T) {
	text := jsonOf(t, statedRun(t))
	for change, want := range map[[2]string]string{
		{`"run_length": 5000`, `"run_length": 0`}:           "p.json: run_length: 0 is not a number of sheets; a run has 1 to 1000000000",
		{`"run_length": 5000`, `"run_length": 2000000000`}:  "p.json: run_length: 2000000000 is not a number of sheets",
		{`"run_length": 5000`, `"run_length": 1.5`}:         "p.json: line 5, column ",
		{`"date": "2026-11-26"`, `"date": "2026-02-30"`}:    `p.json: date: "2026-02-30" is not a day; write it like 2026-11-26`,
		{`"paper": "coated"`, `"paper": " "`}:               `p.json: paper: " " is not a single line of text`,
		{`"id": "duplicator-11"`, `"id": "a\nb"`}:           `p.json: press.id: "a\nb" is not a single line`,
		{`"unit": "2"`, `"unit": ""`}:                       `p.json: units[0].unit: "" is not a single line`,
		{`"pass": 1`, `"pass": 0`}:                          "p.json: units[0].pass: 0 is not a pass; passes count from 1, up to 100",
		{`"curve": "one to one"`, `"curve": "one\nto one"`}: `p.json: units[0].curve: "one\nto one" is not a single line`,
	} {
		require.Contains(t, text, change[0])
		_, err := ReadJSON("p.json", strings.NewReader(strings.Replace(text, change[0], change[1], 1)))
		require.Error(t, err, change)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
	}
}
