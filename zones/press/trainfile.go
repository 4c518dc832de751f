package press

import (
	"fmt"
	"math"

	"bladeline/curves/rollers"
	"bladeline/curves/settings"
)

// trainFile is a roller train as a press's file states it; nil is absent.
type trainFile struct {
	PlateMM          *float64     `toml:"plate_mm"`
	ImageMM          *float64     `toml:"image_mm"`
	PaperShare       *float64     `toml:"paper_share"`
	Split            *float64     `toml:"split"`
	OscillationTurns *float64     `toml:"oscillation_turns"`
	Ductor           ductorFile   `toml:"ductor"`
	Rollers          []rollerFile `toml:"rollers"`
	Feed             feedFile     `toml:"feed"`
}

type ductorFile struct {
	DiameterMM  *float64 `toml:"diameter_mm"`
	Touches     string   `toml:"touches"`
	AtDeg       *float64 `toml:"at_deg"`
	EverySheets *int     `toml:"every_sheets"`
	Duty        *float64 `toml:"duty"`
}

type rollerFile struct {
	Name       string   `toml:"name"`
	Kind       string   `toml:"kind"`
	Surface    string   `toml:"surface"`
	DiameterMM *float64 `toml:"diameter_mm"`
	Touches    []string `toml:"touches"`
	AtDeg      *float64 `toml:"at_deg"`
	StrokeMM   *float64 `toml:"stroke_mm"`
	StripeMM   *float64 `toml:"stripe_mm"`
}

type feedFile struct {
	FilmFullUM      *float64 `toml:"film_full_um"`
	StripMM         *float64 `toml:"strip_mm"`
	FilmFullErrorUM *float64 `toml:"film_full_error_um"`
	StripErrorMM    *float64 `toml:"strip_error_mm"`
	FittedFrom      []string `toml:"fitted_from"`
}

// What a train can be set to, beside diameters. Common practice and the text books'
// figures, from memory.
const (
	mostSheets = 4    // from one stroke of the ductor to the next
	mostStroke = 35   // of an oscillator, mm
	mostStripe = 20   // mm
	mostFilmUM = 2000 // under a fully open key
	mostStrip  = 500  // mm
)

// train is the press's, whose fountain and print length have been read; nil where
// the file states none.
func (raw *trainFile) train(r *rules, p *Press) *rollers.Train {
	if raw == nil {
		return nil
	}
	t := &rollers.Train{
		PlateMM: r.within("train.plate_mm", raw.PlateMM, nil, rollers.LeastPlateMM, rollers.MostPlateMM),
		Paper:   r.within("train.paper_share", raw.PaperShare, new(0.5), 0.1, 0.7),
		Split:   r.within("train.split", raw.Split, new(0.5), 0.45, 0.55),
		Turns:   r.within("train.oscillation_turns", raw.OscillationTurns, new(2.0), 1, 5),
		Ductor:  raw.Ductor.ductor(r),
		Feed:    raw.Feed.feed(r),
	}
	t.ImageMM = r.within("train.image_mm", or(raw.ImageMM, nilIfZero(p.PrintLengthMM)), nil, over(0), 10_000)
	if round := math.Pi * t.PlateMM; t.ImageMM > round {
		r.fail("train.plate_mm", fmt.Sprintf("it is %.1f mm round, and the image is %s mm long", round, settings.Plain(t.ImageMM)), "correct plate_mm or image_mm, which is print_length_mm where it is left out")
	}
	for i, roller := range raw.Rollers {
		t.Rollers = append(t.Rollers, roller.roller(r, i))
	}
	r.strokes(t, p.Fountain)
	return t
}

// laid refuses a train that cannot lie so. Parse alone asks: it takes as long as
// all else of a press a hundred times, and whoever follows a train lays it.
func (r *rules) laid(t *rollers.Train) {
	if t == nil || r.err != nil {
		return
	}
	if _, err := rollers.Lay(*t); err != nil {
		r.err = settings.InFile(err, r.file, "train.")
	}
}

func (raw ductorFile) ductor(r *rules) rollers.Ductor {
	d := rollers.Ductor{
		DiameterMM:  r.within("train.ductor.diameter_mm", raw.DiameterMM, nil, rollers.LeastRollerMM, rollers.MostRollerMM),
		Touches:     r.line("train.ductor.touches", raw.Touches),
		AtDeg:       raw.AtDeg,
		EverySheets: 2,
		Duty:        r.within("train.ductor.duty", raw.Duty, new(0.4), 0.2, 0.5),
	}
	if n := raw.EverySheets; n != nil {
		r.within("train.ductor.every_sheets", new(float64(*n)), nil, 1, mostSheets)
		d.EverySheets = *n
	}
	return d
}

// roller is the i-th of the file, from 0.
func (raw rollerFile) roller(r *rules, i int) rollers.Roller {
	name := r.line(fmt.Sprintf("train.rollers: roller %d: name", i+1), raw.Name)
	place := "train.rollers: roller " + settings.Quoted(name) + ": "
	if raw.Kind == "ductor" {
		r.fail(place+"kind", "the ductor is no roller of the list", "describe it under [train.ductor]")
	}
	kind := rollers.Kind(r.oneOf(place+"kind", raw.Kind, string(rollers.Distributor), string(rollers.Oscillator), string(rollers.Rider), string(rollers.FormRoller)))
	roller := rollers.Roller{
		Name: name, Kind: kind,
		Surface:    rollers.Surface(r.oneOf(place+"surface", raw.Surface, string(rollers.Hard), string(rollers.Rubber))),
		DiameterMM: r.within(place+"diameter_mm", raw.DiameterMM, nil, rollers.LeastRollerMM, rollers.MostRollerMM),
		Touches:    raw.Touches, AtDeg: raw.AtDeg,
		StripeMM: r.within(place+"stripe_mm", raw.StripeMM, new(0.0), over(0), mostStripe),
	}
	switch {
	case kind == rollers.Oscillator:
		roller.StrokeMM = r.within(place+"stroke_mm", raw.StrokeMM, nil, 0, mostStroke)
	case raw.StrokeMM != nil && *raw.StrokeMM != 0:
		r.fail(place+"stroke_mm", "only an oscillator has a stroke", `leave it out, or write kind = "oscillator"`)
	}
	return roller
}

// strokes refuses an oscillator that goes further than the fountain is wide.
func (r *rules) strokes(t *rollers.Train, f Fountain) {
	if t == nil || f.WidthMM() == 0 { // which is refused where it is stated
		return
	}
	for _, roller := range t.Rollers {
		if roller.StrokeMM > f.WidthMM() {
			r.fail("train.rollers: roller "+settings.Quoted(roller.Name)+": stroke_mm",
				fmt.Sprintf("a stroke of %s mm is wider than the fountain, %s mm", settings.Plain(roller.StrokeMM), settings.Number(f.WidthMM())), "write the way from end to end, or correct the fountain")
		}
	}
}

func (raw feedFile) feed(r *rules) rollers.Feed {
	for i, from := range raw.FittedFrom {
		r.line(fmt.Sprintf("train.feed.fitted_from: text %d", i+1), from)
	}
	return rollers.Feed{
		FilmFullUM:    r.within("train.feed.film_full_um", raw.FilmFullUM, new(0.0), over(0), mostFilmUM),
		StripMM:       r.within("train.feed.strip_mm", raw.StripMM, new(0.0), over(0), mostStrip),
		FilmFullError: r.within("train.feed.film_full_error_um", raw.FilmFullErrorUM, new(0.0), 0, mostFilmUM),
		StripError:    r.within("train.feed.strip_error_mm", raw.StripErrorMM, new(0.0), 0, mostStrip),
		FittedFrom:    raw.FittedFrom,
	}
}

// rawTrain is a train as a file would state it.
func rawTrain(t *rollers.Train) *trainFile {
	if t == nil {
		return nil
	}
	raw := &trainFile{
		PlateMM: &t.PlateMM, ImageMM: nilIfZero(t.ImageMM), PaperShare: &t.Paper, Split: &t.Split, OscillationTurns: &t.Turns,
		Ductor: ductorFile{&t.Ductor.DiameterMM, t.Ductor.Touches, t.Ductor.AtDeg, &t.Ductor.EverySheets, &t.Ductor.Duty},
		Feed:   feedFile{nilIfZero(t.Feed.FilmFullUM), nilIfZero(t.Feed.StripMM), nilIfZero(t.Feed.FilmFullError), nilIfZero(t.Feed.StripError), t.Feed.FittedFrom},
	}
	for i := range t.Rollers {
		roller := &t.Rollers[i]
		in := rollerFile{
			Name: roller.Name, Kind: string(roller.Kind), Surface: string(roller.Surface), DiameterMM: &roller.DiameterMM,
			Touches: roller.Touches, AtDeg: roller.AtDeg, StrokeMM: nilIfZero(roller.StrokeMM), StripeMM: nilIfZero(roller.StripeMM),
		}
		if roller.Kind == rollers.Oscillator {
			in.StrokeMM = &roller.StrokeMM
		}
		raw.Rollers = append(raw.Rollers, in)
	}
	return raw
}
