package rollerchart

import (
	"fmt"
	"math"

	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Format names the form of a chart's JSON.
const Format = "bladeline.rollers/1"

// A Chart is the roller train of a press, as JSON has it.
type Chart struct {
	Format   string    `json:"format"`
	Press    string    `json:"press"`
	PlateMM  float64   `json:"plate_mm"` // diameter of the plate cylinder
	ImageMM  float64   `json:"image_mm"` // length of image round it
	Rollers  []Roller  `json:"rollers"`  // the ductor, then the rollers as the press's file has them
	Measured bool      `json:"measured"` // whether any was held against what was measured
	Findings []Finding `json:"findings"` // of those

	Laid *rollers.Laid `json:"-"` // for the side view
}

// A Roller is one of a chart.
type Roller struct {
	Name            string   `json:"name"`
	Kind            string   `json:"kind"`
	Surface         *string  `json:"surface"` // nil: it is not stated
	Clockwise       bool     `json:"clockwise"`
	StrokeMM        *float64 `json:"stroke_mm"` // of an oscillator
	DiameterMM      float64  `json:"diameter_mm"`
	CircumferenceMM float64  `json:"circumference_mm"`
	StripeMM        *float64 `json:"stripe_mm"` // nil: it is not stated
	Touches         []string `json:"touches"`
	XMM             float64  `json:"x_mm"` // where it lies, from the plate's axis: to the right
	YMM             float64  `json:"y_mm"` // and up
	// Where its marks come back, from the first: along the plate, as along the sheet.
	// None of the ductor, which turns only while it is driven.
	RepeatsMM []float64 `json:"repeats_mm"`

	movement string
}

// Ductor is the ductor's name and kind in a chart, Plate the plate's name.
const (
	Ductor = "ductor"
	Plate  = "plate"
)

// mostRepeats bounds what is listed of a roller: as many as the thinnest leaves on the
// longest plate.
const mostRepeats = 400

// Of is the chart of a press's train. Errors are of type *settings.FileError, in the
// press's file.
func Of(on *press.Press, file string) (*Chart, error) {
	t := on.Train
	if t == nil {
		return nil, &settings.FileError{File: file, Place: "train", What: "the press's file states no roller train", Do: "describe it under [train], as the presses that ship do: press show --file two-colour"}
	}
	laid, err := rollers.Lay(*t)
	if err != nil {
		return nil, settings.InFile(err, file, "train.")
	}
	c := &Chart{Format: Format, Press: on.Name, PlateMM: t.PlateMM, ImageMM: t.ImageMM, Findings: []Finding{}, Laid: laid}
	c.Rollers = append(c.Rollers, c.ductor(t))
	for i := range t.Rollers {
		c.Rollers = append(c.Rollers, c.roller(t, i))
	}
	for _, nip := range laid.Nips {
		a, b := c.at(nip.A), c.at(nip.B)
		for _, side := range [][2]int{{a, b}, {b, a}} {
			if side[0] >= 0 {
				r := &c.Rollers[side[0]]
				r.Touches = append(r.Touches, c.nameOf(side[1]))
			}
		}
	}
	return c, nil
}

// at is where a nip's surface stands among the chart's rollers; -1 is the plate.
func (c *Chart) at(surface int) int {
	switch surface {
	case rollers.PlateSurface:
		return -1
	case rollers.DuctorSurface:
		return 0
	}
	return surface + 1
}

func (c *Chart) nameOf(at int) string {
	if at < 0 {
		return Plate
	}
	return c.Rollers[at].Name
}

func (c *Chart) ductor(t *rollers.Train) Roller {
	r := c.turning(c.Laid.Ductor)
	r.Name, r.Kind, r.RepeatsMM = Ductor, Ductor, []float64{}
	r.movement = fmt.Sprintf("swings: a stroke every %s, %s %% of the time on its roller", sheets(t.Ductor.EverySheets), settings.Number(100*t.Ductor.Duty))
	return r
}

func sheets(n int) string {
	if n == 1 {
		return "sheet"
	}
	return fmt.Sprintf("%d sheets", n)
}

func (c *Chart) roller(t *rollers.Train, i int) Roller {
	of := t.Rollers[i]
	r := c.turning(c.Laid.Rollers[i])
	r.Name, r.Kind, r.Surface = of.Name, string(of.Kind), new(string(of.Surface))
	if of.StripeMM > 0 {
		r.StripeMM = &of.StripeMM
	}
	if of.Kind == rollers.Oscillator {
		r.StrokeMM = &of.StrokeMM
		r.movement += fmt.Sprintf(", %s mm to and fro in %s turns of the plate", settings.Plain(of.StrokeMM), settings.Plain(t.Turns))
	}
	r.RepeatsMM = repeats(r.CircumferenceMM, c.ImageMM)
	return r
}

// turning is what a circle says of a roller.
func (c *Chart) turning(at rollers.Circle) Roller {
	r := Roller{
		Clockwise: at.Clockwise, DiameterMM: at.DiameterMM, CircumferenceMM: math.Pi * at.DiameterMM,
		XMM: nanometres(at.XMM), YMM: nanometres(at.YMM), Touches: []string{}, movement: "counter-clockwise",
	}
	if at.Clockwise {
		r.movement = "clockwise"
	}
	return r
}

// nanometres is a length in mm freed of the last digits, in which machines may differ.
func nanometres(mm float64) float64 { return math.Round(mm*1e6) / 1e6 }

// repeats are the multiples of a circumference that lie within a length.
func repeats(circumferenceMM, lengthMM float64) []float64 {
	places := []float64{}
	for k := 1; k <= mostRepeats && float64(k)*circumferenceMM <= lengthMM; k++ {
		places = append(places, float64(k)*circumferenceMM)
	}
	return places
}

// Doubt says what makes a train unlikely; empty: nothing.
func (c *Chart) Doubt() string {
	for _, r := range c.Rollers[1:] {
		if r.Kind != string(rollers.FormRoller) {
			return ""
		}
	}
	return "this train is form rollers alone, which distribute nothing: describe the other rollers before anything is believed of it"
}

// Movement says in words how a roller moves, seen with the sheet running to the right.
func (r *Roller) Movement() string { return r.movement }

// Soft tells whether a roller is of rubber, so that its nips leave stripes that can
// be measured. What is not stated may be.
func (r *Roller) Soft() bool { return r.Surface == nil || *r.Surface == string(rollers.Rubber) }

// A Pair is two surfaces that touch and leave a stripe: Roller is soft.
type Pair struct{ Roller, Against string }

// Stripes are the nips whose stripe can be measured, each once: of two soft rollers,
// on the first. Those of the ductor are left out: it swings.
func (c *Chart) Stripes() []Pair {
	var pairs []Pair
	for _, nip := range c.Laid.Nips {
		a, b := c.at(nip.A), c.at(nip.B)
		switch {
		case a == 0 || b == 0:
		case a > 0 && c.Rollers[a].Soft():
			pairs = append(pairs, Pair{c.Rollers[a].Name, c.nameOf(b)})
		case b > 0 && c.Rollers[b].Soft():
			pairs = append(pairs, Pair{c.Rollers[b].Name, c.nameOf(a)})
		}
	}
	return pairs
}
