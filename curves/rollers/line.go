package rollers

import "math"

// A Line is the law of a train for even films: the film that the fountain roller
// has to carry for a film x on the printed image of a zone of coverage c is
// x·(A + B·c), with B = 2nL/s + R: n sheets from stroke to stroke of the ductor,
// image length L, strip s. It comes of the mean films between the nips, which
// solve a small linear system, and knows nothing of neighbouring zones.
type Line struct {
	A float64 // film on the rollers per printed film where the plate takes none
	R float64 // what films fall from the ductor to the form rollers at full coverage, per printed film

	Shares     []float64  // of the form rollers, in the plate's way, in the supply where coverage is low
	StoredUMMM [2]float64 // ink on train, plate and blanket per mm of width and µm printed, at coverage 0 and 1: µm·mm

	imageMM, stripMM, sheets float64
}

// NewLine works out the line of a train as it lies: an error is a [*TrainError]. Of
// its feed the strip alone is asked for, and only where none is given: without one
// a train has a line to be fitted.
func NewLine(t Train, laid *Laid) (*Line, error) {
	if err := t.checkRollers(); err != nil {
		return nil, err
	}
	if err := t.Feed.checkStrip(); err != nil && t.Feed.StripMM != 0 {
		return nil, err
	}
	w, err := wire(t, laid)
	if err != nil {
		return nil, err
	}
	return newMeanSystem(t, w).line()
}

func (m *meanSystem) line() (*Line, error) {
	t := m.train
	l := &Line{imageMM: t.ImageMM, stripMM: t.Feed.StripMM, sheets: float64(t.Ductor.EverySheets)}
	for cover := range 2 {
		films, err := m.solve(float64(cover))
		if err != nil {
			return nil, err
		}
		strip := l.stripMM
		if strip == 0 {
			strip = usualStripMM
		}
		returns, feed := films.ductor(strip)
		l.StoredUMMM[cover] = films.stored(float64(cover)) + returns*math.Pi*t.Ductor.DiameterMM
		if cover == 0 {
			l.A, l.Shares = feed, films.shares()
		} else {
			l.R = feed - l.A - l.strokes(strip)
		}
	}
	return l, nil
}

// usualStripMM stands for a strip that is not known where it hardly matters: in what
// the ductor brings back. Common practice, no source.
const usualStripMM = 30

// strokes is 2nL/s.
func (l *Line) strokes(stripMM float64) float64 {
	if stripMM == 0 {
		stripMM = l.stripMM
	}
	return 2 * l.sheets * l.imageMM / stripMM
}

// B is what a fountain film rises by, per printed film, from coverage 0 to 1, for
// a strip in mm; 0 is the train's own.
func (l *Line) B(stripMM float64) float64 { return l.strokes(stripMM) + l.R }

// FeedUM is the film on the fountain roller that prints filmUM on a zone of the
// given coverage, 0 to 1.
func (l *Line) FeedUM(filmUM, cover, stripMM float64) float64 {
	return filmUM * (l.A + l.B(stripMM)*cover)
}

// FilmUM is the film that a zone of the given coverage prints of a film on the
// fountain roller.
func (l *Line) FilmUM(feedUM, cover, stripMM float64) float64 {
	return feedUM / (l.A + l.B(stripMM)*cover)
}

// StripFor is the strip at which a fountain film of feedUM prints filmUM on a zone of
// the given coverage: with the film of a fully open key, the least sweep that the
// zone takes. It is +Inf where no strip brings as much.
func (l *Line) StripFor(feedUM, filmUM, cover float64) float64 {
	drop := feedUM/filmUM - l.A - l.R*cover
	if drop <= 0 {
		return math.Inf(1)
	}
	return 2 * l.sheets * l.imageMM * cover / drop
}

// TimeConstant is the number of sheets in which a zone comes nearer to its film
// by a factor of e; after 3 of them it is at 95 %. Of what a covered zone stores
// beyond a bare one half is counted: it lies above all on the upper rollers, which
// come nearer sooner than the forms.
func (l *Line) TimeConstant(cover, stripMM float64) float64 {
	if stripMM == 0 {
		stripMM = l.stripMM
	}
	stored := l.StoredUMMM[0] + cover/2*(l.StoredUMMM[1]-l.StoredUMMM[0])
	return stored * 2 * l.sheets / (stripMM * (l.A + l.B(stripMM)*cover))
}

// BaseFilm is the film on the rollers per printed film where the plate takes
// next to none, with all nips halving: (1+τ−2^−n) / (τ(1−2^−n)) for n form rollers and
// a paper that takes the share τ of the blanket's film.
func BaseFilm(forms int, paper float64) float64 {
	rest := math.Exp2(-float64(forms))
	return (1 + paper - rest) / (paper * (1 - rest))
}

// Supply is the share of each of n form rollers, in the plate's way, in what the
// plate takes where coverage is low: 2^−i / (1−2^−n). Backwards it is the share
// of each roller's own film in the print: the first feeds, the last decides how
// even it is.
func Supply(forms int) []float64 {
	shares := make([]float64, forms)
	for i := range shares {
		shares[i] = math.Exp2(-float64(i+1)) / (1 - math.Exp2(-float64(forms)))
	}
	return shares
}
