package page

import (
	"crypto/rand"
	"fmt"
	"net/http"

	"bladeline/coverage"
	"bladeline/zones/preset"
)

// takesJSON asks which presses take separations.
type takesJSON struct {
	Placement   preset.StatedPlacement `json:"placement"`
	Separations []string               `json:"separations"`
}

// takingJSON are those presses, the narrowest first.
type takingJSON struct {
	Presses []string `json:"presses"`
}

func (s *Server) takes(r *http.Request) (any, error) {
	var asked takesJSON
	if err := read(r, &asked); err != nil {
		return nil, err
	}
	if len(asked.Separations) > maxUnits {
		return nil, refused("separations", "%d separations are more than a job has; name %d at most", len(asked.Separations), maxUnits)
	}
	if err := asked.Placement.Validate(); err != nil {
		return nil, refusedAs("placement", err)
	}
	var maps []*coverage.Map
	for _, id := range asked.Separations {
		sep, err := s.store.find(id)
		if err != nil {
			return nil, err
		}
		maps = append(maps, sep.Map)
	}
	taking := takingJSON{Presses: []string{}}
	for _, p := range s.options.Taking(maps, *asked.Placement.Placement()) {
		taking.Presses = append(taking.Presses, p.Called)
	}
	return taking, nil
}

// handbill are the inks of a job to try, invented: a page of text with a picture, a
// solid headline and a foot, in parts of a sheet.
var handbill = []struct {
	ink    string
	shapes []shape
}{
	{"Black", []shape{{0.05, 0.06, 0.9, 0.05, 60}, {0.06, 0.16, 0.4, 0.5, 12}, {0.54, 0.16, 0.4, 0.28, 12}, {0.54, 0.5, 0.4, 0.3, 45}, {0.06, 0.72, 0.2, 0.08, 25}}},
	{"Harbour Red", []shape{{0.06, 0.84, 0.62, 0.1, 100}, {0.54, 0.5, 0.4, 0.3, 30}, {0.72, 0.86, 0.22, 0.06, 40}}},
}

// example is a job that fits a press, to try.
func (s *Server) example(r *http.Request) (any, error) {
	var asked pressJSON
	if err := read(r, &asked); err != nil {
		return nil, err
	}
	on, err := s.press(asked)
	if err != nil {
		return nil, err
	}
	p := plate{WidthMM: min(on.Press.Fountain.WidthMM()*0.94, maxPlateMM), HeightMM: on.Press.PrintLengthMM}
	if p.HeightMM == 0 {
		p.HeightMM = p.WidthMM * 0.7
	}
	p.WidthMM, p.HeightMM = max(1, p.WidthMM), min(max(1, p.HeightMM-1), maxPlateMM)
	b := newBrought()
	for _, of := range handbill {
		p.Ink, p.Shapes = of.ink, of.shapes
		maps, err := p.measured(r, fmt.Sprintf("handbill(%s).png", of.ink), p.raster())
		if err != nil {
			return nil, err
		}
		sep := s.store.keep(&separation{Map: maps[0], id: rand.Text(), kind: uploaded, tab: tabOf(r)})
		b.Separations = append(b.Separations, sep.json())
	}
	return b, nil
}
