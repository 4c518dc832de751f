// Command ontrain presets random forms on the roller trains of the presses that ship,
// in several ways, and prints how even the films are that the keys as set give there. The
// trains are invented: the table compares ways to preset, and proves no press.
package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"path"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/rollers"
	"bladeline/examples"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

func main() {
	forms := flag.Int("forms", 100, "random forms of each press")
	sets := flag.Int("sets", 10, "curves that are learned in each way, each from jobs of its own choice")
	pool := flag.Int("jobs", 30, "jobs of each press that curves are learned from")
	presses := flag.String("presses", "duplicator,two-colour,four-colour", "the presses, of those that ship")
	flag.Parse()
	log.SetFlags(0)
	evenness, learning := newTable(), newTable()
	for _, name := range strings.Split(*presses, ",") {
		s, err := newShop(name)
		if err == nil {
			err = s.compare(evenness, learning, *forms, *sets, *pool)
		}
		if err != nil {
			log.Fatalf("%s: %v", name, err)
		}
	}
	fmt.Printf("presets on the simulated train, %d random forms a press: films of printing zones off their mean by ink, in %%\n\n", *forms)
	evenness.print()
	fmt.Printf("\nlearning meets the train: curves learned from OK sheets that it printed evenly, %d random forms a press\n\n", *forms)
	learning.print()
}

// A shop is a press with its curve and train.
type shop struct {
	name  string
	on    *press.Press
	curve *curves.Curve
	train *preset.Train
	rand  *rand.Rand

	jobs []*preset.Preset // that the train printed evenly
}

func newShop(name string) (*shop, error) {
	data, err := examples.Files.ReadFile(name + ".press.toml")
	if err != nil {
		return nil, err
	}
	s := &shop{name: name, rand: rand.New(rand.NewPCG(15, uint64(len(name))))}
	if s.on, err = press.Parse(name, data); err != nil {
		return nil, err
	}
	file := path.Clean(s.on.DefaultCurve)
	if data, err = examples.Files.ReadFile(file); err != nil {
		return nil, err
	}
	if s.curve, err = curves.ParseCurve(file, data); err != nil {
		return nil, err
	}
	s.train, err = preset.NewTrain(s.on, rollers.Fine)
	return s, err
}

// form covers the zones of a sheet somewhat narrower than the fountain: 2 to 40 % as
// a whole, zones by a factor of up to about three more or less, each half like the one
// beside it.
func (s *shop) form() []*float64 {
	n := s.on.Fountain.Zones
	covers := make([]*float64, n)
	left, right := s.rand.IntN(3), s.rand.IntN(3)
	level := 2 * math.Pow(20, s.rand.Float64())
	swing := 0.0
	for i := left; i < n-right; i++ {
		swing = swing/2 + s.rand.NormFloat64()*0.5
		covers[i] = new(min(95, max(0.5, level*math.Exp(swing))))
	}
	return covers
}

func (s *shop) input(covers []*float64, c *curves.Curve) []preset.CoverageInput {
	return []preset.CoverageInput{{InkCoverage: preset.InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: c}}
}

// solved is the form preset by the train.
func (s *shop) solved(covers []*float64) (*preset.Preset, error) {
	return preset.FromCoverageByTrain(context.Background(), "form", s.on, s.input(covers, s.curve))
}

// byCurve is the form preset by a curve.
func (s *shop) byCurve(covers []*float64, c *curves.Curve) (*preset.Unit, error) {
	p, err := preset.FromCoverage("form", s.on, s.input(covers, c))
	if err != nil {
		return nil, err
	}
	return &p.Units[0], nil
}

// bent are a unit's keys where a function of coverage opens them, at the press's
// reference sweep.
func (s *shop) bent(u preset.Unit, opening func(cover float64) float64, offSheet float64) *preset.Unit {
	u.Sweep = s.on.Sweep.Reference
	u.Keys = slices.Clone(u.Keys)
	asked, off := make([]float64, len(u.Keys)), make([]bool, len(u.Keys))
	for i, k := range u.Keys {
		asked[i], off[i] = opening(k.CoveragePct/100), k.State == curves.OffSheet
	}
	limits := s.on.Limits
	limits.OffSheetPct = offSheet
	openings, _ := limits.Apply(asked, off)
	for i := range u.Keys {
		u.Keys[i].Key = s.on.Key(i+1, openings[i], off[i])
	}
	return &u
}

// films are those of printing zones off their mean by ink, in %, by zone; NaN elsewhere.
func (s *shop) films(u *preset.Unit) ([]float64, error) {
	var openings, covers []float64
	for _, k := range u.Keys {
		openings = append(openings, s.on.Keys.OpeningPct(k.Zone, k.Key))
		covers = append(covers, k.CoveragePct)
	}
	st, err := s.train.Steady(context.Background(), s.train.EvenForm(covers), s.train.Setting(openings, u.Sweep))
	if err != nil {
		return nil, err
	}
	var ink, all float64
	off := make([]float64, len(u.Keys))
	for i, k := range u.Keys {
		off[i] = st.Zones[s.train.FromLeft(i+1)].FilmUM
		ink, all = ink+k.CoveragePct*off[i], all+k.CoveragePct
	}
	for i, k := range u.Keys {
		if off[i] = 100 * (off[i]*all/ink - 1); !k.Prints() {
			off[i] = math.NaN()
		}
	}
	return off, nil
}

// A way is one to learn a curve: from so many jobs, on keys whose zeros are off and that
// are read wrong, both as standard deviations in % of travel.
type way struct {
	name             string
	jobs             int
	zeroPct, readPct float64
}

var ways = []way{
	{"3 jobs, keys read as they stand", 3, 0, 0},
	{"3 jobs, zeros 2 % off, keys read 1 % wrong", 3, 2, 1},
	{"10 jobs, zeros 2 % off, keys read 1 % wrong", 10, 2, 1},
}

// compare fills both tables.
func (s *shop) compare(evenness, learning *table, forms, sets, pool int) error {
	for range pool {
		p, err := s.solved(s.form())
		if err != nil {
			return err
		}
		s.jobs = append(s.jobs, p)
	}
	learned := make([][]*curves.Curve, len(ways))
	for i, w := range ways {
		for range sets {
			c, err := s.learned(w)
			if err != nil {
				return err
			}
			learned[i] = append(learned[i], c)
		}
	}
	for i := range forms {
		covers := s.form()
		if err := s.presets(evenness, covers, learned[0][i%sets]); err != nil {
			return err
		}
		for j, w := range ways {
			u, err := s.byCurve(covers, learned[j][i%sets])
			if err != nil {
				return err
			}
			off, err := s.films(u)
			if err != nil {
				return err
			}
			learning.add(w.name, s.name, off, make([]bool, len(off)))
		}
	}
	return nil
}

// presets adds a form to the table of ways to preset.
func (s *shop) presets(t *table, covers []*float64, own *curves.Curve) error {
	p, err := s.solved(covers)
	if err != nil {
		return err
	}
	shipped, err := s.byCurve(covers, s.curve)
	if err != nil {
		return err
	}
	learned, err := s.byCurve(covers, own)
	if err != nil {
		return err
	}
	line := func(cover float64) float64 {
		return 100 * s.train.Line().FeedUM(1, cover, 0) / s.on.Train.Feed.FilmFullUM
	}
	slope := line(0.2) / 0.2
	for _, by := range []struct {
		name string
		unit *preset.Unit
	}{
		{"opening in proportion to coverage", s.bent(*shipped, func(c float64) float64 { return slope * c }, 0)},
		{"shipped curve", shipped},
		{"curve learned from three jobs", learned},
		{"the train's line, off-sheet keys too", s.bent(*shipped, line, line(0))},
		{"solved on the train", &p.Units[0]},
	} {
		off, err := s.films(by.unit)
		if err != nil {
			return err
		}
		t.add(by.name, s.name, off, named(p, by.unit))
	}
	return nil
}

// named are the zones of a unit that was solved which it says beforehand no key evens.
func named(p *preset.Preset, u *preset.Unit) []bool {
	all := make([]bool, len(u.Keys))
	if u.ByTrain != nil && slices.ContainsFunc(p.Warnings, func(w zones.Warning) bool { return w.Code == preset.CodeUncured }) {
		for i, off := range u.ByTrain.FilmOffPct {
			all[i] = math.Abs(off) >= 5
		}
	}
	return all
}

// learned is a curve that is learned in a way.
func (s *shop) learned(w way) (*curves.Curve, error) {
	zeros := make([]float64, s.on.Fountain.Zones)
	for i := range zeros {
		zeros[i] = w.zeroPct / 100 * s.on.Keys.Travel * s.rand.NormFloat64()
	}
	var runs []learn.Run
	for _, at := range s.rand.Perm(len(s.jobs))[:min(w.jobs, len(s.jobs))] {
		u := &s.jobs[at].Units[0]
		for i := range u.Keys {
			k := &u.Keys[i]
			read := k.Key + zeros[i] + w.readPct/100*s.on.Keys.Travel*s.rand.NormFloat64()
			k.OKKey = new(min(s.on.Keys.Travel, max(0, math.Round(read/s.on.Keys.Step)*s.on.Keys.Step)))
		}
		run, err := s.jobs[at].OKRun(fmt.Sprintf("job %d", at+1), s.on, "Black")
		if err != nil {
			return nil, err
		}
		runs = append(runs, *run)
	}
	result, err := learn.Fit(s.curve, runs, learn.Options{ReferenceSweep: s.on.Sweep.Reference, ReadingPct: max(1, w.readPct)})
	if err != nil {
		return nil, err
	}
	return result.Curve, nil
}
