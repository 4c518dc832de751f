package preset

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSetByInCSV: the CSV of a preset by the train says so, with its films, and reads back
// the same; that of one by curves has no such columns, and reads as before.
func TestSetByInCSV(t *testing.T) {
	p := gull(t)
	plain := csvOf(t, p)
	assert.NotContains(t, plain, "set_by")
	n := len(p.Units[0].Keys)
	off := make([]float64, n)
	off[1], off[n-1] = -3.5, 4.1
	p.Units[0].ByTrain = &ByTrain{FilmOffPct: off}
	text := csvOf(t, p)
	assert.Contains(t, text, ",set_by,film_um,film_off_pct,")
	back, err := ReadCSV("gull.csv", strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, p.Units[0].ByTrain, back.Units[0].ByTrain)
	assert.Equal(t, SetByTrain, back.Units[0].SetBy())
	for i := range back.Units[1:] {
		assert.Nil(t, back.Units[1+i].ByTrain)
		assert.Equal(t, SetByCurve, back.Units[1+i].SetBy())
	}
	assert.Equal(t, text, csvOf(t, back))

	p.Units[0].ByTrain = &ByTrain{Fitted: true, FilmUM: new(1.1), FilmOffPct: off}
	back, err = ReadCSV("gull.csv", strings.NewReader(csvOf(t, p)))
	require.NoError(t, err)
	assert.Equal(t, p.Units[0].ByTrain, back.Units[0].ByTrain)
	assert.Equal(t, SetByFitted, back.Units[0].SetBy())

	// Rows in any order, as a spreadsheet sorted them.
	rows := strings.Split(strings.TrimSuffix(csvOf(t, p), "\r\n"), "\r\n")
	for i, j := 1, len(rows)-1; i < j; i, j = i+1, j-1 {
		rows[i], rows[j] = rows[j], rows[i]
	}
	back, err = ReadCSV("gull.csv", strings.NewReader(strings.Join(rows, "\r\n")))
	require.NoError(t, err)
	assert.Equal(t, off, back.Unit(p.Units[0].Ink).ByTrain.FilmOffPct)
}

func TestSetByRefused(t *testing.T) {
	p := gull(t)
	p.Units[0].ByTrain = &ByTrain{FilmOffPct: make([]float64, len(p.Units[0].Keys))}
	text := csvOf(t, p)
	for bad, want := range map[string]string{
		strings.Replace(text, ",train,,0,", ",magic,,0,", 1): `row 2, column set_by: "magic" is not known; write curve, train, fitted train or run, or leave it empty`,
		strings.Replace(text, ",train,,0,", ",train,,,", 1):  "row 2, column film_off_pct: it is empty; write how far the film lies off",
		strings.Replace(text, ",train,,0,", ",,,0,", 1):      `row 3, column set_by: "train" differs from`,
	} {
		_, err := ReadCSV("gull.csv", strings.NewReader(bad))
		assert.ErrorContains(t, err, want)
	}
}
