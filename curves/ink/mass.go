package ink

import (
	"cmp"
	"strings"
)

// A Film is an ink's film on the sheet where it prints solid, in g/m²: the
// least and the most that are to be reckoned with, and the usual.
type Film struct {
	LowGM2   float64 `json:"low_g_m2"`
	UsualGM2 float64 `json:"usual_g_m2"`
	HighGM2  float64 `json:"high_g_m2"`
}

// FilmGM2 is the mass of a film of some µm of an ink of some g/cm³, in g/m²:
// 1 µm over 1 m² is 1 cm³.
func FilmGM2(filmUM, specificGravity float64) float64 { return filmUM * specificGravity }

// standardFilmUM are the films of test prints that ISO 2846-1:2006 states for
// process inks, in µm: 0.7 to 1.1 for cyan, magenta and yellow, 0.7 to 1.3 for
// black (second-hand: the abstract of a paper on verifying process inks). Any
// other ink is taken as cyan. The usual film is 1 µm: common practice, no
// source.
func standardFilmUM(ink string) (low, usual, high float64) {
	if strings.EqualFold(ink, "Black") {
		return 0.7, 1.0, 1.3
	}
	return 0.7, 1.0, 1.1
}

// poundGM2 is the film of an ink of which a pound covers so many square inches
// of solid, in g/m².
func poundGM2(squareInches float64) float64 {
	const (
		gramsPerPound   = 453.59237
		m2PerSquareInch = 0.0254 * 0.0254
	)
	return gramsPerPound / (squareInches * m2PerSquareInch)
}

// poundSquareInches is what a pound covers by a rule of the trade (second-hand;
// it states 250,000 to 450,000).
const poundSquareInches = 375_000

// EstimatedFilm is the film to reckon an ink's mass with. An offset film lies
// between the least of ISO 2846-1 and the trade's rule of 375,000 square inches
// to the pound, 1.87 g/m², or the most of ISO 2846-1 where that is more. The
// usual film is usualGM2, or where that is 0 the usual one of the standard;
// one beyond the range widens it.
func EstimatedFilm(ink string, specificGravity, usualGM2 float64) Film {
	low, usual, high := standardFilmUM(ink)
	f := Film{
		LowGM2:   FilmGM2(low, specificGravity),
		UsualGM2: cmp.Or(usualGM2, FilmGM2(usual, specificGravity)),
		HighGM2:  max(FilmGM2(high, specificGravity), poundGM2(poundSquareInches)),
	}
	f.LowGM2, f.HighGM2 = min(f.LowGM2, f.UsualGM2), max(f.HighGM2, f.UsualGM2)
	return f
}

// Grams is the ink that a run carries away:
//
//	g = g/m² × m² of solid × copies
//
// where the solid is the form's area times its coverage.
func Grams(filmGM2, solidM2, copies float64) float64 { return filmGM2 * solidM2 * copies }
