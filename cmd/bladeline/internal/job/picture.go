package job

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// A Picture is what a key sheet shows over the keys of an ink: its form, or the
// reason why there is none. Of what was run it may have neither.
type Picture struct {
	Ink  string
	Form *zones.Form
	Err  error
}

// Pictures reads the separations of a preset again, which path names, a Picture
// a unit. How they lie is nil where it is not known. The inputs of
// r are left aside.
func (r Reading) Pictures(ctx context.Context, p *preset.Preset, path string, placement *zones.Placement) ([]Picture, error) {
	read := map[string][]*coverage.Map{}
	var pictures []Picture
	for i := range p.Units {
		u := &p.Units[i]
		var m *coverage.Map
		var err error
		if p.Form != nil {
			m, err = r.again(ctx, p, u, path, read)
		} else {
			m, err = r.plate(ctx, u, path, read)
		}
		shown := Picture{Ink: u.Ink}
		switch {
		case ctx.Err() != nil:
			return nil, context.Cause(ctx)
		case errors.Is(err, errUnnamed) && p.WasRun():
			// an OK file is a CSV, which names no separation: nobody can do anything about it
		case err != nil:
			shown.Err = err
		case placement == nil:
			shown.Err = &UnplacedError{path}
		default:
			shown.Form, shown.Err = formOf(p, u, m, *placement)
		}
		pictures = append(pictures, shown)
	}
	return pictures, nil
}

// errUnnamed is why a CSV has no picture.
var errUnnamed = errors.New("the preset does not state which separation it is from; give the preset's JSON")

// errFormless is why a preset of coverages alone has none.
var errFormless = errors.New("the preset was made from the coverages of zones, and names no separation; name the separations to have it")

// formOf lays the separation that a unit was preset from as it lay then.
func formOf(p *preset.Preset, u *preset.Unit, m *coverage.Map, placement zones.Placement) (*zones.Form, error) {
	on, err := sheet.PressUnder(p, u)
	if err != nil {
		return nil, err
	}
	form, err := zones.Lay(m, on, placement)
	if err != nil {
		return nil, err
	}
	return form, sheet.CheckForm(p, u, form)
}

// plate is the separation of a unit. Files are read once, into read.
func (r Reading) plate(ctx context.Context, u *preset.Unit, preset string, read map[string][]*coverage.Map) (*coverage.Map, error) {
	if u.File == nil || u.Page == nil || u.Channel == nil {
		if FormatOf(preset) == "json" {
			return nil, errFormless
		}
		return nil, errUnnamed
	}
	path := found(*u.File, filepath.Dir(preset))
	key := path
	if r.Separating != nil && ghostscript.IsJob(path) {
		one := *r.Separating
		one.Ranges = [][2]int{{*u.Page, *u.Page}}
		r.Separating, key = &one, fmt.Sprintf("%s page %d", path, *u.Page)
	}
	if _, done := read[key]; !done {
		r.Inputs = []coverage.Input{{Path: path}}
		maps, err := r.Maps(ctx)
		if err != nil {
			return nil, err
		}
		read[key] = maps
	}
	for _, m := range read[key] {
		if m.Page == *u.Page && m.Channel == *u.Channel {
			return m, nil
		}
	}
	return nil, fmt.Errorf("%s: has no page %d with a channel %d; give the file that was preset", path, *u.Page, *u.Channel)
}

// found is where the file is that a preset of a folder states: there, as it is
// stated from that folder or one around it, beside the preset, or in the folder
// beside that bears its name; as it is stated where it is nowhere.
func found(stated, folder string) string {
	places := []string{stated}
	if !filepath.IsAbs(stated) {
		around := folder
		for range 3 { // the preset is in a folder of the one that it was made in, or in one of that
			places = append(places, filepath.Join(around, stated))
			around = filepath.Join(around, "..")
		}
	}
	base := filepath.Base(stated)
	places = append(places, filepath.Join(folder, base), filepath.Join(folder, "..", filepath.Base(filepath.Dir(stated)), base), filepath.Join(folder, "..", base))
	for _, place := range places {
		if exists(place) {
			return place
		}
	}
	return stated
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
