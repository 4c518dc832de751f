// Command ontrain presets random forms on the roller trains of the presses that ship,
// in several ways, and prints how even the films are that the keys as set give there. The
// trains are invented: the table compares ways to preset, and proves no press.
package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/rollers"
	"bladeline/examples"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

func main() {
	forms := flag.Int("forms", 100, "random forms of each press")
	sets := flag.Int("sets", 10, "curves that are learned in each way, each from jobs of its own choice")
	pool := flag.Int("jobs", 20, "jobs of each press that curves are learned from")
	presses := flag.String("presses", "duplicator,two-colour,four-colour", "the presses, of those that ship")
	flag.Parse()
	log.SetFlags(0)
	evenness, learning := newTable(), newTable()
	var aims []aim
	for _, name := range strings.Split(*presses, ",") {
		s, err := newShop(name)
		var a aim
		if err == nil {
			a, err = s.compare(evenness, learning, *forms, *sets, *pool)
		}
		if err != nil {
			log.Fatalf("%s: %v", name, err)
		}
		aims = append(aims, a)
	}
	fmt.Printf("presets on the simulated train, %d random forms a press: films of printing zones off their mean by ink, in %%\n\n", *forms)
	evenness.print()
	fmt.Printf("\nlearning meets the train: curves learned from OK sheets that it printed evenly, %d random forms a press\n\n", *forms)
	learning.print()
	fmt.Printf("\nsolved on the train, zones within 5 %% and named beforehand, %d random forms a press\n\n", *forms)
	printAims(aims)
}

// A shop is a press with its curve and train.
type shop struct {
	name         string
	on           *press.Press
	curve        *curves.Curve
	train, exact *preset.Train // on 12 mm and on 3 mm, whose films are within 0.2 % of each other

	jobs []*preset.Preset // that the train printed evenly
}

func newShop(name string) (*shop, error) {
	data, err := examples.Files.ReadFile(name + ".press.toml")
	if err != nil {
		return nil, err
	}
	s := &shop{name: name}
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
	if s.train, err = preset.NewTrain(s.on, rollers.Coarse); err != nil {
		return nil, err
	}
	s.exact, err = preset.NewTrain(s.on, rollers.Fine)
	return s, err
}

// random is the source of the i-th thing of a kind, whatever came before it.
func (s *shop) random(kind, i int) *rand.Rand {
	return rand.New(rand.NewPCG(uint64(15+kind), uint64(1000*len(s.name)+i)))
}

// What is random.
const (
	ofJobs = iota
	ofForms
	ofLearning
)

// form covers the zones of a sheet somewhat narrower than the fountain: 2 to 40 % as
// a whole, zones by a factor of up to about three more or less, each half like the one
// beside it.
func (s *shop) form(r *rand.Rand) []*float64 {
	n := s.on.Fountain.Zones
	covers := make([]*float64, n)
	left, right := r.IntN(3), r.IntN(3)
	level := 2 * math.Pow(20, r.Float64())
	swing := 0.0
	for i := left; i < n-right; i++ {
		swing = swing/2 + r.NormFloat64()*0.5
		covers[i] = new(min(95, max(0.5, level*math.Exp(swing))))
	}
	return covers
}

func (s *shop) input(covers []*float64, c *curves.Curve) []preset.CoverageInput {
	return []preset.CoverageInput{{InkCoverage: preset.InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: c}}
}

// solved is the form preset by the train.
func (s *shop) solved(on *press.Press, covers []*float64) (*preset.Preset, error) {
	return preset.FromCoverageByTrain(context.Background(), "form", on, s.input(covers, s.curve))
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
func films(on *press.Press, train *preset.Train, u *preset.Unit) ([]float64, error) {
	var openings, covers []float64
	for _, k := range u.Keys {
		openings = append(openings, on.Keys.OpeningPct(k.Zone, k.Key))
		covers = append(covers, k.CoveragePct)
	}
	st, err := train.Steady(context.Background(), train.EvenForm(covers), train.Setting(openings, u.Sweep))
	if err != nil {
		return nil, err
	}
	var ink, all float64
	off := make([]float64, len(u.Keys))
	for i, k := range u.Keys {
		off[i] = st.Zones[train.FromLeft(i+1)].FilmUM
		if k.Prints() {
			ink, all = ink+k.CoveragePct*off[i], all+k.CoveragePct
		}
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

// compare fills both tables, and says how near the presets by the train come to their
// aim. Forms are shared by all cores.
func (s *shop) compare(evenness, learning *table, forms, sets, pool int) (aim, error) {
	s.jobs = make([]*preset.Preset, pool)
	err := each(pool, func(i int) (err error) {
		s.jobs[i], err = s.solved(s.on, s.form(s.random(ofJobs, i)))
		return err
	})
	if err != nil {
		return aim{}, err
	}
	learned := make([][]*curves.Curve, len(ways))
	for i, w := range ways {
		for j := range sets {
			c, err := s.learned(w, s.random(ofLearning, i*sets+j))
			if err != nil {
				return aim{}, err
			}
			learned[i] = append(learned[i], c)
		}
	}
	tried := make([]trial, forms)
	err = each(forms, func(i int) error {
		var own []*curves.Curve
		for _, curves := range learned {
			own = append(own, curves[i%sets])
		}
		return s.try(&tried[i], s.form(s.random(ofForms, i)), own)
	})
	a := aim{press: s.name}
	for _, t := range tried {
		for _, w := range t.presets {
			evenness.add(w.name, s.name, w.off)
		}
		for _, w := range t.learned {
			learning.add(w.name, s.name, w.off)
		}
		a.add(t)
	}
	return a, err
}

// each does n things on all cores; the error is the first one's.
func each(n int, do func(i int) error) error {
	errs, next := make([]error, n), make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				errs[i] = do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	workers.Wait()
	return cmp.Or(errs...)
}

// A trial is what came of a form.
type trial struct {
	presets, learned []printed
	named            []bool // by zone, of that by the train
	evened           bool   // whether keys can even the form, were they set between their steps
}

// A printed is what a way to preset prints.
type printed struct {
	name string
	off  []float64
}

// try presets a form in all ways; own are the curves that were learned.
func (s *shop) try(t *trial, covers []*float64, own []*curves.Curve) error {
	p, err := s.solved(s.on, covers)
	if err != nil {
		return err
	}
	shipped, err := s.byCurve(covers, s.curve)
	if err != nil {
		return err
	}
	line := func(cover float64) float64 {
		return 100 * s.train.Line().FeedUM(1, cover, 0) / s.on.Train.Feed.FilmFullUM
	}
	slope := line(0.2) / 0.2
	for i, w := range ways {
		u, err := s.byCurve(covers, own[i])
		if err != nil {
			return err
		}
		off, err := films(s.on, s.train, u)
		if err != nil {
			return err
		}
		t.learned = append(t.learned, printed{w.name, off})
	}
	for _, by := range []struct {
		name string
		unit *preset.Unit
	}{
		{"opening in proportion to coverage", s.bent(*shipped, func(c float64) float64 { return slope * c }, 0)},
		{"shipped curve", shipped},
		{"the train's line, off-sheet keys too", s.bent(*shipped, line, line(0))},
	} {
		off, err := films(s.on, s.train, by.unit)
		if err != nil {
			return err
		}
		t.presets = append(t.presets, printed{by.name, off})
	}
	off, err := films(s.on, s.exact, &p.Units[0])
	if err != nil {
		return err
	}
	t.presets = append(t.presets[:2:2], printed{"curve learned from three jobs", t.learned[0].off}, t.presets[2], printed{"solved on the train", off})
	t.named = named(&p.Units[0])
	t.evened, err = s.evened(p, covers)
	return err
}

// evened tells whether keys that stood between their steps would even a form: none of its
// zones would be left outside.
func (s *shop) evened(p *preset.Preset, covers []*float64) (bool, error) {
	if !slices.Contains(named(&p.Units[0]), true) {
		return true, nil
	}
	between := *s.on
	between.Keys.Step /= 256
	q, err := s.solved(&between, covers)
	if err != nil {
		return false, err
	}
	return !slices.Contains(named(&q.Units[0]), true), nil
}

// named tells by zone whether a unit that was solved says beforehand that no key evens it.
func named(u *preset.Unit) []bool {
	var all []bool
	for _, k := range u.Keys {
		all = append(all, u.Uncured(k))
	}
	return all
}

// learned is a curve that is learned in a way.
func (s *shop) learned(w way, r *rand.Rand) (*curves.Curve, error) {
	zeros := make([]float64, s.on.Fountain.Zones)
	for i := range zeros {
		zeros[i] = w.zeroPct / 100 * s.on.Keys.Travel * r.NormFloat64()
	}
	var runs []learn.Run
	for _, at := range r.Perm(len(s.jobs))[:min(w.jobs, len(s.jobs))] {
		u := &s.jobs[at].Units[0]
		for i := range u.Keys {
			k := &u.Keys[i]
			read := k.Key + zeros[i] + w.readPct/100*s.on.Keys.Travel*r.NormFloat64()
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
