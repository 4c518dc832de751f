package preset

import (
	_ "embed"
	"errors"
	"io"
	"strconv"

	"bladeline/curves/ink"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// EstimateFormat names the format of an estimate's JSON.
const EstimateFormat = "bladeline.estimate/1"

// EstimateSchema is the JSON Schema of an estimate, draft 2020-12.
//
//go:embed estimate.schema.json
var EstimateSchema []byte

// An Estimate says about how much of each ink a run takes.
type Estimate struct {
	Format   string          `json:"format"`
	Copies   int             `json:"copies"`
	TrainG   float64         `json:"train_g"` // of each ink, what fountain and rollers must hold; 0: not reckoned
	Inks     []InkEstimate   `json:"inks"`
	Warnings []zones.Warning `json:"warnings"`
}

// InkEstimate is the estimate of one ink.
type InkEstimate struct {
	Ink             string  `json:"ink"`
	File            string  `json:"file"`     // the separation or the preset
	SolidM2         float64 `json:"solid_m2"` // area × coverage of one copy
	SpecificGravity float64 `json:"specific_gravity"`
	FilmGM2         Range   `json:"film_g_m2"`  // where it prints solid
	Per1000G        Range   `json:"per_1000_g"` // on a thousand copies
	RunG            Range   `json:"run_g"`      // on all copies
	NeedG           Range   `json:"need_g"`     // RunG and TrainG
}

// A Range is how far an estimate reaches.
type Range struct {
	Low   float64 `json:"low"`
	Usual float64 `json:"usual"`
	High  float64 `json:"high"`
}

func (r Range) each(f func(float64) float64) Range { return Range{f(r.Low), f(r.Usual), f(r.High)} }

// AssumedGravity, in g/cm³, is taken for an ink of which nothing is known:
// common practice, no source.
const AssumedGravity = 1.0

// InkInput is what an ink's estimate is made from.
type InkInput struct {
	Ink, File       string
	SolidM2         float64
	SpecificGravity float64 // g/cm³; 0 is not known: AssumedGravity
	FilmGM2         float64 // of a solid; 0 is not known: as ink.EstimatedFilm has it
}

// NewEstimate reckons the inks of a run. Copies are 1 or more.
func NewEstimate(copies int, trainG float64, inks []InkInput) *Estimate {
	e := &Estimate{Format: EstimateFormat, Copies: copies, TrainG: trainG, Inks: []InkEstimate{}, Warnings: []zones.Warning{}}
	for _, in := range inks {
		if in.SpecificGravity == 0 {
			in.SpecificGravity = AssumedGravity
		}
		film := ink.EstimatedFilm(in.Ink, in.SpecificGravity, in.FilmGM2)
		i := InkEstimate{
			Ink: in.Ink, File: in.File, SolidM2: in.SolidM2, SpecificGravity: in.SpecificGravity,
			FilmGM2: Range{film.LowGM2, film.UsualGM2, film.HighGM2},
		}
		grams := func(copies float64) Range {
			return i.FilmGM2.each(func(gM2 float64) float64 { return ink.Grams(gM2, in.SolidM2, copies) })
		}
		i.Per1000G, i.RunG = grams(1000), grams(float64(copies))
		i.NeedG = i.RunG.each(func(g float64) float64 { return g + trainG })
		e.Inks = append(e.Inks, i)
	}
	return e
}

// AddForm adds the doubts of reading what a form is printed from.
func (e *Estimate) AddForm(f *zones.Form) {
	if e != nil {
		e.Warnings = append(e.Warnings, f.Doubts()...)
	}
}

// InkOf is a form's ink, with the area of its solid.
func InkOf(f *zones.Form) (InkInput, error) {
	solid, err := f.SolidM2()
	return InkInput{Ink: f.Ink(), File: f.Source().File, SolidM2: solid}, err
}

var errNoUnit = errors.New("there is no unit; give one of a preset")

// SolidM2 is the ink area of a unit, in m²: the sum over the zones of coverage
// × width × the reference length of the coverages. That is the unit's own, or
// where it states none, lengthMM; 0 is not known, and refused by a LengthError.
// file names the preset in errors; others are of type *settings.FileError.
func (u *Unit) SolidM2(file string, lengthMM float64) (float64, error) {
	if u == nil {
		return 0, errNoUnit
	}
	place := "ink " + settings.Quoted(u.Ink)
	if u.LengthMM != nil {
		lengthMM = *u.LengthMM
	}
	if lengthMM == 0 {
		return 0, &LengthError{file, u.Ink}
	}
	var mm2 float64
	for _, k := range u.Keys {
		if k.LeftMM == nil {
			return 0, &settings.FileError{
				File: file, Place: place + ", zone " + strconv.Itoa(k.Zone),
				What: "the zone's borders in mm are not known", Do: "give a preset that states them, or the separations",
			}
		}
		mm2 += k.CoveragePct / 100 * (*k.RightMM - *k.LeftMM) * lengthMM
	}
	return mm2 / zones.MM2PerM2, nil
}

// WriteJSON writes an estimate as JSON.
func (e *Estimate) WriteJSON(w io.Writer) error { return EncodeJSON(w, e) }

// WriteCSV writes an estimate as CSV after RFC 4180, one row an ink. Texts are
// guarded as in a preset's CSV.
func (e *Estimate) WriteCSV(w io.Writer) error {
	if e == nil {
		return errNothing
	}
	rows := [][]string{{
		"ink", "file", "copies", "train_g", "solid_m2", "specific_gravity", "film_low_g_m2", "film_usual_g_m2", "film_high_g_m2",
		"per_1000_low_g", "per_1000_usual_g", "per_1000_high_g", "run_low_g", "run_usual_g", "run_high_g", "need_low_g", "need_usual_g", "need_high_g",
	}}
	for _, i := range e.Inks {
		row := []string{Guarded(i.Ink), Guarded(i.File), strconv.Itoa(e.Copies), settings.Shortest(e.TrainG), settings.Shortest(i.SolidM2), settings.Shortest(i.SpecificGravity)}
		for _, r := range []Range{i.FilmGM2, i.Per1000G, i.RunG, i.NeedG} {
			row = append(row, settings.Shortest(r.Low), settings.Shortest(r.Usual), settings.Shortest(r.High))
		}
		rows = append(rows, row)
	}
	return EncodeCSV(w, rows)
}
