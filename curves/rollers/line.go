package rollers

// A Line is the law of a train for even films: the film that the fountain roller
// has to carry for a film x on the printed image of a zone of coverage c is
// x·(A + B·c), with B = 2nL/s + R. It comes of the mean system: with even
// coverage along the sheet, the mean films between the nips solve a small linear
// system. Films between neighbouring zones are not in it.
type Line struct {
	A float64 // film on the rollers per printed film where the plate takes none
	R float64 // what the film falls from ductor to form rollers at full coverage, per printed film

	Shares       []float64 // of the form rollers, in the plate's way, in the supply at low coverage
	StoredUMMM   float64   // ink on the train per mm of width and per µm of printed film at low coverage: µm·mm
	StoredAtFull float64   // likewise at full coverage, with plate and blanket
	ImageMM      float64
	EverySheets  int
	StripMM      float64 // the train's own
}

// NewLine works out the line of a train as it lies.
func NewLine(t Train, laid *Laid) (*Line, error) { return nil, errOpen }

// B is what a fountain film rises by per printed film from coverage 0 to 1, for a
// strip in mm; 0 is the train's own.
func (l *Line) B(stripMM float64) float64 { return 0 }

// FeedUM is the film on the fountain roller that prints filmUM on a zone of the
// given coverage, 0 to 1.
func (l *Line) FeedUM(filmUM, cover, stripMM float64) float64 { return 0 }

// FilmUM is the film that a zone of the given coverage prints of a fountain
// film.
func (l *Line) FilmUM(feedUM, cover, stripMM float64) float64 { return 0 }

// TimeConstant is the number of sheets in which a zone comes nearer to its film
// by a factor of e; it is at 95 % after 3.
func (l *Line) TimeConstant(cover, stripMM float64) float64 { return 0 }
