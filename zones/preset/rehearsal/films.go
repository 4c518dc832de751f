package rehearsal

import (
	"context"
	"math"
	"slices"

	"bladeline/curves/ink"
	"bladeline/curves/rollers"
	"bladeline/zones/preset"
)

// rounded is freed of the digits in which machines may differ.
func rounded(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// film is a film, rounded; moving sideways may leave a trace below none beside an edge.
func film(um float64) float64 { return max(0, rounded(um)) }

// mean is the film of all ink of a steady state, as the model has it.
func (s *stage) mean(st *rollers.Steady) float64 { return s.meanOf(s.train.FilmsUM(st)) }

// meanOf is the mean of films by zone, weighted by ink; 0 where nothing prints.
func (s *stage) meanOf(films []float64) float64 {
	return preset.MeanUM(films, func(i int) bool { return s.prints[i] }, func(i int) float64 { return s.cover(i + 1) })
}

// cover is the coverage of a zone on the image round the plate, 0 to 1.
func (s *stage) cover(zone int) float64 {
	return zoneCover(s.form.Cover, s.form, s.train.FromLeft(zone), s.form.Columns/len(s.prints))
}

// targets are a steady state's films from the left, 0 where little is printed.
func (s *stage) targets(st *rollers.Steady) []float64 {
	films := make([]float64, len(st.Zones))
	for i, prints := range s.prints {
		if at := s.train.FromLeft(i + 1); prints {
			films[at] = st.Zones[at].FilmUM
		}
	}
	return films
}

// judgedPct is how much of a zone must print for makeready to wait for it: less, such as
// a line of text, takes its film late, and is sold before. Common practice, no source.
const judgedPct = 2

// waitedFor are the zones that makeready waits for: those that print enough, or where
// none does, those that print.
func (s *stage) waitedFor() []bool {
	waits := make([]bool, len(s.prints))
	for i, k := range s.unit.Keys {
		waits[i] = s.prints[i] && k.CoveragePct >= judgedPct
	}
	if !slices.Contains(waits, true) {
		return slices.Clone(s.prints)
	}
	return waits
}

// judged are the films of the zones that makeready waits for, from the left, 0 of others.
func (s *stage) judged() []float64 {
	films := s.targets(s.steady)
	for i, waits := range s.waits {
		if !waits {
			films[s.train.FromLeft(i+1)] = 0
		}
	}
	return films
}

// density is that of a solid of a film in µm; nil where the ink's law is not known.
func (s *stage) density(filmUM float64) *float64 {
	if s.ink.DensityLimit == 0 || s.ink.DensityRatePerUM == 0 {
		return nil
	}
	return new(rounded(ink.DensityLaw{Limit: s.ink.DensityLimit, Rate: s.ink.DensityRatePerUM}.At(filmUM)))
}

// zones fills in what the zones print once all has settled.
func (s *stage) zones(out *Ink, mean float64) {
	out.MeanUM = rounded(mean * s.scale)
	out.TargetDensity, out.LeanDensity, out.FatDensity = s.density(s.target), s.density((1-NearPct/100.0)*s.target), s.density((1+NearPct/100.0)*s.target)
	squares, n, fall := 0.0, 0, 0.0
	for i, k := range s.unit.Keys {
		at := s.train.FromLeft(k.Zone)
		f := s.steady.Zones[at]
		left, right := s.on.Fountain.ZoneMM(k.Zone)
		z := Zone{
			Zone: k.Zone, LeftMM: left, RightMM: right, CoveragePct: k.CoveragePct, OpeningPct: rounded(s.setting.OpeningPct[at]), KeyText: k.KeyText, Prints: s.prints[i],
			FilmUM: film(f.FilmUM * s.scale), LeadUM: film(f.LeadUM * s.scale), MiddleUM: film(f.MiddleUM * s.scale), TailUM: film(f.TailUM * s.scale),
		}
		if k.OKKey != nil {
			z.KeyText = s.on.Keys.Text(*k.OKKey)
		}
		z.Density, z.Lead, z.Middle, z.Tail = s.density(z.FilmUM), s.density(z.LeadUM), s.density(z.MiddleUM), s.density(z.TailUM)
		if z.Prints && f.FilmUM > 0 {
			z.DeviationPct, z.SwingPct = rounded(100*(f.FilmUM*s.scale/s.target-1)), rounded(100*f.SwingUM/f.FilmUM)
			squares, n = squares+z.DeviationPct*z.DeviationPct, n+1
			out.WorstPct = farther(out.WorstPct, z.DeviationPct)
			out.SwingPct = max(out.SwingPct, z.SwingPct)
			if z.Through = s.layout && s.printsInThirds(at); z.Through {
				fall = farther(fall, z.fallOffPct())
			}
		}
		out.Zones = append(out.Zones, z)
	}
	if n > 0 {
		out.RMSPct = rounded(math.Sqrt(squares / float64(n)))
	}
	if s.layout {
		out.FallOffPct = new(rounded(fall))
	}
}

// printsInThirds tells whether a zone, from the left, prints both in the first third of
// the image and in the last: else nobody sees what its film does between them.
func (s *stage) printsInThirds(at int) bool {
	sheet := s.steady.Sheet
	per := sheet.Columns / len(s.prints)
	in := func(from, to int) bool {
		sum := 0.0
		for row := from; row < to; row++ {
			for _, c := range sheet.Cover[row*sheet.Columns+at*per : row*sheet.Columns+(at+1)*per] {
				sum += c
			}
		}
		return sum >= leastCover*float64((to-from)*per)
	}
	return in(0, sheet.Slots/3) && in(2*sheet.Slots/3, sheet.Slots)
}

// fallOffPct is what a zone's film loses from lead to tail.
func (z Zone) fallOffPct() float64 { return 100 * (z.LeadUM - z.TailUM) / z.FilmUM }

// farther is whichever lies farther from 0.
func farther(a, b float64) float64 {
	if math.Abs(b) > math.Abs(a) {
		return b
	}
	return a
}

// footprint follows what one key does, that in the middle of those that print: films
// are linear, so it is what is printed with this key alone open.
func (s *stage) footprint(ctx context.Context, out *Ink) error {
	var printing []int
	for i, prints := range s.prints {
		if prints {
			printing = append(printing, i+1)
		}
	}
	if len(printing) == 0 {
		return nil
	}
	f := &Footprint{Zone: printing[len(printing)/2]}
	alone := make([]float64, len(s.prints))
	alone[f.Zone-1] = 10
	st, err := s.steadyNear(ctx, nil, s.form, s.train.Setting(alone, s.sweep))
	if err != nil {
		return err
	}
	sum := 0.0
	for _, z := range st.Zones {
		sum += z.FilmUM
	}
	for i := range s.prints {
		f.Shares = append(f.Shares, film(100*st.Zones[s.train.FromLeft(i+1)].FilmUM/sum))
	}
	out.Footprint = f
	return nil
}

// What is told of ghosts: from a step that an eye used to it finds within a solid,
// about 0.015 of density. Common practice, no source.
const (
	leastGhostPct = 2
	mostGhosts    = 20
)

func (s *stage) ghosts(out *Ink) {
	if !s.layout {
		return
	}
	found := s.steady.Ghosts(leastGhostPct)
	out.GhostsSeen = len(found)
	for _, g := range found[:min(len(found), mostGhosts)] {
		step := g.StepUM * s.scale
		ghost := Ghost{
			Roller: g.Roller, CircumferenceMM: rounded(g.CircumferenceMM), Turns: g.Turns, CauseMM: rounded(g.CauseMM), AtMM: rounded(g.AtMM),
			LeftMM: rounded(g.LeftMM), RightMM: rounded(g.RightMM), StepUM: rounded(step), StepPct: rounded(g.StepPct),
		}
		if film := math.Abs(step / g.StepPct * 100); s.density(film) != nil {
			ghost.StepDensity = new(rounded(*s.density(film + step/2) - *s.density(film - step/2)))
		}
		for zone := 1; zone <= s.on.Fountain.Zones; zone++ {
			if left, right := s.on.Fountain.ZoneMM(zone); left < g.RightMM-1e-6 && right > g.LeftMM+1e-6 {
				ghost.Zones = append(ghost.Zones, zone)
			}
		}
		out.Ghosts = append(out.Ghosts, ghost)
	}
}

// rollers are the mean films on the ductor and the rollers.
func (s *stage) rollers(out *Ink) {
	films := s.steady.RollersUM
	mean := func(zones []float64) float64 {
		sum := 0.0
		for _, film := range zones {
			sum += film
		}
		return film(sum / float64(len(zones)) * s.scale)
	}
	last := len(films) - 1
	out.Rollers = append(out.Rollers, Roller{"ductor", mean(films[last])})
	for i, r := range s.on.Train.Rollers {
		out.Rollers = append(out.Rollers, Roller{r.Name, mean(films[i])})
	}
}

// sheet is the film over the sheet.
func (s *stage) sheet() Map {
	sheet := s.steady.Sheet
	m := Map{CellLengthMM: rounded(sheet.SlotMM), CellWidthMM: rounded(sheet.ColumnMM), FilmUM: [][]*float64{}}
	if !s.layout {
		return m
	}
	films := slices.Collect(slices.Chunk(sheet.FilmUM, sheet.Columns))
	for row, covers := range slices.Collect(slices.Chunk(sheet.Cover, sheet.Columns)) {
		cells := make([]*float64, sheet.Columns)
		for column, cover := range covers {
			if cover > leastCover {
				cells[column] = new(film(films[row][column] * s.scale))
			}
		}
		m.FilmUM = append(m.FilmUM, cells)
	}
	return m
}

// leastCover is how much of a cell must print for its film to be shown: less is the
// edge of an image.
const leastCover = 0.005
