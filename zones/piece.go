package zones

import (
	"math"

	"bladeline/coverage"
)

// A piece is a separation as it lies on the fountain, alone or as one of a form's.
//
// All that is said of where it lies across follows from fromCentreMM.
type piece struct {
	*turned
	at Placement

	fountainMM float64 // the fountain's length; 0 where there is none
	mmPerPX    float64 // across; not finite where the resolution is not known
	leftPX     float64 // the fountain's left end, in px from the raster's left edge
	fromLeadMM float64 // its lead edge from the form's
}

// turned is a separation as it lies, wherever that is: what pieces of one raster
// share.
type turned struct {
	given *coverage.Map // as it was read, at the resolution that the placement states
	view
	columns columnSums

	reachPX    float64 // how far ink stands from the lead edge; 0 where there is none
	bareLeadPX float64 // how far there is none from there; all of it where there is none
}

func newTurned(m *coverage.Map, at Placement) (*turned, error) {
	if err := checkMap(m); err != nil {
		return nil, err
	}
	if err := at.check(); err != nil {
		return nil, err
	}
	t := &turned{given: at.resolved(m)}
	t.view = newView(t.given).turned(quarters[at.LeadEdge])
	if at.Mirrored {
		t.view = t.view.mirrored()
	}
	t.columns = newColumnSums(&t.view)
	t.reachPX, t.bareLeadPX = t.along.inked()
	return t, nil
}

// inked are the farthest and the nearest places of ink along an axis, from its end.
func (a *axis) inked() (farthest, nearest float64) {
	nearest = float64(a.px())
	for i := range a.px() {
		if a.at(i) > 0 {
			farthest = float64(a.px() - i)
			break
		}
	}
	for i := a.px() - 1; i >= 0; i-- {
		if a.at(i) > 0 {
			nearest = float64(a.px() - 1 - i)
			break
		}
	}
	return farthest, nearest
}

// turnings turn each separation once, however often it lies so.
type turnings map[turning]*turned

type turning struct {
	*coverage.Map
	at Placement // but for its shift
}

func (all turnings) of(m *coverage.Map, at Placement) (*turned, error) {
	if err := at.check(); err != nil {
		return nil, err // a shift that is no number
	}
	at.ShiftMM, at.LeadEdge = 0, at.Lead()
	if t := all[turning{m, at}]; t != nil {
		return t, nil
	}
	t, err := newTurned(m, at)
	if err == nil {
		all[turning{m, at}] = t
	}
	return t, err
}

func newPiece(m laidMap, fountainMM float64, known turnings) (*piece, error) {
	t, err := known.of(m.Map, m.at)
	if err != nil {
		return nil, err
	}
	p := &piece{turned: t, at: m.at, fountainMM: fountainMM, fromLeadMM: m.fromLeadMM}
	p.mmPerPX = mmPerInch / p.across.dpi
	p.leftPX = p.middlePX() + p.fromCentreMM(0)/p.mmPerPX
	return p, nil
}

// liesAs tells whether two pieces are laid in one way.
func (p *piece) liesAs(q *piece) bool { return p.at.Same(q.at) && p.fromLeadMM == q.fromLeadMM }

func (p *piece) source() Source {
	m := p.given
	return Source{m.Ink, m.File, m.Page, m.Channel, m.Width, m.Height, m.DPIX, m.DPIY, m.WidthMM(), m.HeightMM()}
}

// coveragePct is the ink over the raster's area, 0 to 100 %.
func (p *piece) coveragePct() float64 {
	area := float64(p.given.Full) * float64(p.given.Width) * float64(p.given.Height)
	return min(100, 100*float64(p.columns.total())/area) // rounding may take a full one beyond
}

func (p *piece) areaMM2() float64 { return p.given.WidthMM() * p.given.HeightMM() }

// outline is from the form's lead edge to the piece's tail edge.
func (p *piece) outline() Outline {
	return Outline{p.leftMM(), p.across.lengthMM(), p.fromLeadMM + p.along.lengthMM()}
}

// inkMM2 is the area of full ink between two places across.
func (p *piece) inkMM2(leftMM, rightMM float64) float64 {
	if !p.isLocated() {
		return 0
	}
	return p.columns.between(p.border(leftMM), p.border(rightMM)) * p.mmPerPX * mmPerInch / p.along.dpi
}

// fromCentreMM is how far right of the raster's centre a place on the fountain
// lies. The raster's centre lies on the fountain's, moved right by the shift.
func (p *piece) fromCentreMM(xMM float64) float64 { return xMM - p.fountainMM/2 - p.at.ShiftMM }

func (p *piece) middlePX() float64 { return float64(p.across.px()) / 2 }

// px is a place on the fountain, in px from the raster's left edge.
func (p *piece) px(xMM float64) float64 {
	return p.middlePX() + p.fromCentreMM(xMM)/mmPerInch*p.across.dpi
}

// border is px of a zone's border: one that rounding keeps off a pixel's edge is
// put on it.
func (p *piece) border(xMM float64) float64 {
	px := p.leftPX + xMM/p.mmPerPX
	rounding := 8e-15 * (float64(p.across.px()) + p.fountainMM/p.mmPerPX)
	if edge := math.Round(px); math.Abs(px-edge) <= rounding {
		return edge
	}
	return px
}

// leftMM is the raster's left edge, from the fountain's left end.
func (p *piece) leftMM() float64 { return -p.fromCentreMM(0) - p.across.lengthMM()/2 }

// located refuses a raster whose size in mm is not known; unknown says what
// follows.
func (p *piece) located(unknown string) error {
	if p.isLocated() {
		return nil
	}
	return inMap(p.given, &ResolutionError{DPIX: p.across.dpi, DPIY: p.along.dpi, Unknown: unknown})
}

// isLocated tells whether the raster's size in mm is known.
func (p *piece) isLocated() bool { return IsResolution(p.across.dpi) && IsResolution(p.along.dpi) }

const mmPerInch = 25.4

// IsResolution tells whether px an inch are those of a plate. They keep mm and px
// within numbers that can be reckoned with.
func IsResolution(dpi float64) bool { return dpi >= 1 && dpi <= 100_000 }

// hairPX is an overlap that is none: far more than the rounding of mm, far
// less than anybody can set or see.
const hairPX = 1e-6
