package preset

import (
	"fmt"
	"io"
	"strings"

	"bladeline/curves/ink"
	"bladeline/curves/settings"
)

// A SolidDensity is the density of a solid measured in a zone of a pulled
// sheet, of the ink alone, the paper's subtracted.
type SolidDensity struct {
	Ink     string
	Zone    int // from 1
	Density float64
	Row     int // of the file, as a spreadsheet counts it
}

var densityColumns = []string{"ink", "zone", "density"}

// maxDensity is far above any print.
const maxDensity = 5

// ReadDensities reads what was measured on a sheet from CSV, one row a zone:
// ink,zone,density. It tolerates what ReadCSV does; a row without a density was
// not measured. Errors are of type *settings.FileError unless r fails.
func ReadDensities(file string, r io.Reader) ([]SolidDensity, error) {
	t, err := openTable(file, r, tableKind{of: "densities", columns: densityColumns})
	if err != nil {
		return nil, err
	}
	var all []SolidDensity
	type place struct {
		ink  string
		zone int
	}
	rows := map[place]int{}
	for t.next() {
		d := SolidDensity{Ink: strings.TrimSpace(unguarded(t.text("ink"))), Zone: t.zone("zone"), Row: t.line}
		density := t.optional("density")
		if density == nil {
			continue
		}
		if d.Density = *density; !(d.Density >= 0 && d.Density <= maxDensity) {
			t.fail("density", fmt.Sprintf("%s is not a density of a print", settings.Plain(d.Density)), fmt.Sprintf("zero the densitometer on the bare paper; densities are 0 to %d", maxDensity))
		}
		at := place{strings.ToLower(d.Ink), d.Zone}
		if first, twice := rows[at]; twice {
			t.fail("zone", fmt.Sprintf("zone %d of ink %s stands in row %d already", d.Zone, settings.Quoted(d.Ink), first), "keep one, or their mean")
		}
		rows[at] = t.line
		all = append(all, d)
	}
	if len(all) == 0 {
		t.fail("", "no density follows the header", "write one row for every zone that was measured")
	}
	return all, t.err
}

// A FilmUnit is what a measured film is stated in.
type FilmUnit string

// The units of films, each with the column that it names.
const (
	Micrometre     FilmUnit = "um"
	GramPerSquareM FilmUnit = "g/m2"
)

var filmColumns = map[FilmUnit]string{Micrometre: "film_um", GramPerSquareM: "film_g_m2"}

// What is far above any print, in either unit, and any series of prints.
const (
	maxFilm  = 1000
	maxFilms = 10_000
)

// ReadFilms reads films and the densities measured of them from CSV, one row a
// solid: film_um,density or film_g_m2,density. It tolerates what ReadCSV does.
// Errors are of type *settings.FileError unless r fails.
func ReadFilms(file string, r io.Reader) ([]ink.FilmDensity, FilmUnit, error) {
	data, err := readAll(file, r)
	if err != nil {
		return nil, "", err
	}
	data = inUTF8(data)
	unit := Micrometre
	if header, _, _ := strings.Cut(string(data), "\n"); strings.Contains(header, filmColumns[GramPerSquareM]) {
		unit = GramPerSquareM
	}
	film := filmColumns[unit]
	t, err := newTable(file, data, tableKind{of: "films and densities", columns: []string{film, "density"}})
	if err != nil {
		return nil, "", err
	}
	var pairs []ink.FilmDensity
	for t.next() {
		p := ink.FilmDensity{Film: t.number(film), Density: t.number("density")}
		if !(p.Film > 0 && p.Film <= maxFilm) {
			t.fail(film, fmt.Sprintf("%s is not a film of ink", settings.Plain(p.Film)), fmt.Sprintf("films are above 0 and up to %d %s", maxFilm, unit))
		}
		if !(p.Density > 0 && p.Density <= maxDensity) {
			t.fail("density", fmt.Sprintf("%s is not a density of an inked print", settings.Plain(p.Density)), fmt.Sprintf("densities are above 0 and up to %d", maxDensity))
		}
		if len(pairs) == maxFilms {
			t.fail("", fmt.Sprintf("more than %d solids follow the header", maxFilms), "check that this is the file you meant")
		}
		pairs = append(pairs, p)
	}
	return pairs, unit, t.err
}
