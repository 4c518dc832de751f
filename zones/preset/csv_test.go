package preset

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Zones go up to 200, and a file up to 16 MiB.
func TestLargestZoneAndFile(t *testing.T) {
	for zone, ok := range map[int]bool{1: true, 200: true, 0: false, 201: false} {
		_, err := ReadDensities("d.csv", strings.NewReader(fmt.Sprintf("ink,zone,density\nBlack,%d,1\n", zone)))
		assert.Equal(t, ok, err == nil, "%d", zone)
	}
	_, err := ReadJSON("p.json", strings.NewReader(strings.Repeat(" ", maxFile)))
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "too many")
	_, err = ReadJSON("p.json", strings.NewReader(strings.Repeat(" ", maxFile+1)))
	assert.ErrorContains(t, err, "more than 16 MiB are too many")
}

// A key's text that is none, or another key's, is written anew; one that is the
// key's stays as it is.
func TestKeyTextsOfACSV(t *testing.T) {
	text := csvOf(t, gull(t))
	require.Contains(t, text, ",1.375,1 3/8,")
	for written, read := range map[string]string{"1 3/8": "1 3/8", "1.375": "1.375", "11/8": "11/8", "wide": "1 3/8", "1 1/2": "1 3/8", "": "1 3/8"} {
		p, err := ReadCSV("gull.csv", strings.NewReader(strings.Replace(text, ",1.375,1 3/8,", ",1.375,"+written+",", 1)))
		require.NoError(t, err, written)
		var texts []string
		for _, k := range p.Units[0].Keys {
			texts = append(texts, k.KeyText)
		}
		assert.Contains(t, texts, read, written)
	}
}

// What is wrong with a whole CSV is said of its column.
func TestColumnsOfAWholeCSV(t *testing.T) {
	text := csvOf(t, gull(t))
	_, err := ReadCSV("gull.csv", strings.NewReader(strings.ReplaceAll(text, ",Duplicator,", ", ,")))
	assert.ErrorContains(t, err, "gull.csv: column press: ")
}
