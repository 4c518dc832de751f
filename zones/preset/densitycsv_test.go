package preset

import (
	"strings"
	"testing"

	"bladeline/curves/ink"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadDensitiesAsSaved reads a table as spreadsheets of several settings
// save it: common practice, no source.
func TestReadDensitiesAsSaved(t *testing.T) {
	for name, text := range map[string]string{
		"as written":       "ink,zone,density\r\nBlack,2,1.45\r\n=Red,3,0\r\nBlack,4,\r\n",
		"decimal commas":   "\ufeffdensity;zone;ink\n1,45;2;Black\n;;\n0;3;=Red\n",
		"tabs":             "ink\tzone\tdensity\nBlack\t2\t1,45\n'=Red\t3\t0,00",
		"blanks and marks": " ink , zone,density \n Black,2, 1.450\n'=Red,3,0e1\n",
	} {
		got, err := ReadDensities("d.csv", strings.NewReader(text))
		require.NoError(t, err, name)
		require.Len(t, got, 2, name)
		for i, want := range []SolidDensity{{Ink: "Black", Zone: 2, Density: 1.45}, {Ink: "=Red", Zone: 3}} {
			want.Row = got[i].Row
			assert.Equal(t, want, got[i], name)
		}
	}
}

func TestReadDensitiesRefused(t *testing.T) {
	const head = "ink,zone,density\n"
	for text, want := range map[string]string{
		"":                              "d.csv: row 1: there is no header; give the CSV of densities",
		head:                            "d.csv: row 1: no density follows the header; write one row for every zone that was measured",
		head + "Black,2,\n":             "d.csv: row 2: no density follows the header; …",
		"ink,zone\nBlack,2\n":           "d.csv: row 1, column density: is missing; keep to the columns ink, zone, density",
		"ink,zone,density,x\n":          `d.csv: row 1: "x" is not a column of densities, or is there twice; …`,
		head + "Black,2,NaN\n":          `d.csv: row 2, column density: "NaN" is not a number; …`,
		head + "Black,2,Inf\n":          `d.csv: row 2, column density: "Inf" is not a number; …`,
		head + "Black,2,1e999\n":        `d.csv: row 2, column density: "1e999" is not a number; …`,
		head + "Black,2,-0.1\n":         "d.csv: row 2, column density: -0.1 is not a density of a print; zero the densitometer on the bare paper; densities are 0 to 5",
		head + "Black,2,\"1,4\"\n":      `d.csv: row 2, column density: "1,4" is not a number; …`,
		head + "Black,2,1,4\n":          "d.csv: row 2: wrong number of fields; write a point for a decimal comma, or part the cells by semicolons",
		head + "Black,2.5,1\n":          `d.csv: row 2, column zone: "2.5" is not a zone; …`,
		head + "Black,0,1\n":            `d.csv: row 2, column zone: "0" is not a zone; …`,
		head + "Black,2,1\nblack,2,1\n": `d.csv: row 3, column zone: zone 2 of ink "black" stands in row 2 already; keep one, or their mean`,
		head + "Bl\xffck,2,1\n":         "d.csv: row 1: the text is not UTF-8; …",
		strings.Repeat("a", maxFile+1):  "d.csv: more than 16 MiB are too many; …",
	} {
		_, err := ReadDensities("d.csv", strings.NewReader(text))
		require.Error(t, err)
		begin, _, _ := strings.Cut(want, "…")
		assert.True(t, strings.HasPrefix(err.Error(), begin), "%s, not %s", err, want)
	}
}

func TestReadFilms(t *testing.T) {
	pairs, unit, err := ReadFilms("f.csv", strings.NewReader("density;film_g_m2\r\n0,96;1,17\r\n1,04;1,37\r\n"))
	require.NoError(t, err)
	assert.Equal(t, GramPerSquareM, unit)
	assert.Equal(t, []ink.FilmDensity{{Film: 1.17, Density: 0.96}, {Film: 1.37, Density: 1.04}}, pairs)
	_, unit, err = ReadFilms("f.csv", strings.NewReader("film_um,density\n1,1\n"))
	require.NoError(t, err)
	assert.Equal(t, Micrometre, unit)

	for text, want := range map[string]string{
		"":                            "f.csv: row 1: there is no header; give the CSV of films and densities",
		"film,density\n1,1\n":         `f.csv: row 1: "film" is not a column of films and densities, or is there twice; keep to the columns film_um, density`,
		"film_um,film_g_m2,density\n": `f.csv: row 1: "film_um" is not a column of films and densities, or is there twice; keep to the columns film_g_m2, density`,
		"film_um,density\n1,\n":       `f.csv: row 2, column density: "" is not a number; write one, without its unit`,
		"film_um,density\n-1,1\n":     "f.csv: row 2, column film_um: -1 is not a film of ink; films are above 0 and up to 1000 um",
		"film_um,density\n1,0\n":      "f.csv: row 2, column density: 0 is not a density of an inked print; densities are above 0 and up to 5",
		"film_um,density\n" + strings.Repeat("1,1\n", maxFilms+1): "f.csv: row 10002: more than 10000 solids follow the header; check that this is the file you meant",
	} {
		_, _, err := ReadFilms("f.csv", strings.NewReader(text))
		assert.EqualError(t, err, want)
	}
}

// Whatever is read as densities or films is used as such without a panic.
func FuzzReadDensities(f *testing.F) {
	f.Add([]byte("ink,zone,density\nBlack,2,1.4\n"))
	f.Add([]byte("film_um;density\n0,5;1\n1;1,4\n2;1,6\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if ds, err := ReadDensities("d.csv", strings.NewReader(string(data))); err == nil {
			for _, d := range ds {
				require.True(t, d.Density >= 0 && d.Density <= maxDensity && d.Zone >= 1)
			}
		}
		if pairs, _, err := ReadFilms("f.csv", strings.NewReader(string(data))); err == nil {
			if fit, err := ink.FitDensity(pairs); err == nil {
				require.True(t, fit.Limit > 0 && fit.Rate > 0)
			}
		}
	})
}

// Densities go up to 5 and films up to 1000, and films begin above 0.
func TestDensitiesAndFilmsAtTheirBounds(t *testing.T) {
	for density, ok := range map[string]bool{"0": true, "5": true, "5.001": false, "-0.001": false} {
		_, err := ReadDensities("d.csv", strings.NewReader("ink,zone,density\nBlack,2,"+density+"\n"))
		assert.Equal(t, ok, err == nil, density)
	}
	for row, ok := range map[string]bool{"1000,1": true, "1000.001,1": false, "0,1": false, "0.001,1": true, "1,5": true, "1,5.001": false, "1,0.001": true} {
		_, _, err := ReadFilms("f.csv", strings.NewReader("film_um,density\n"+row+"\n"))
		assert.Equal(t, ok, err == nil, row)
	}
}
