package page

import (
	"net/http"

	"bladeline/zones"
	"bladeline/zones/preset"
)

// alongQuestion asks about one zone of a state's only unit.
type alongQuestion struct {
	State State `json:"state"`
	Zone  int   `json:"zone"`
}

// alongJSON is a preset.Along.
type alongJSON struct {
	LengthMM float64   `json:"length_mm"` // from the lead edge, that the bands divide
	BandsPct []float64 `json:"bands_pct"` // coverage of bands of equal length, from the lead edge
	Uneven   *bandJSON `json:"uneven"`    // the tenth of the length that the zone is warned of
	Bar      *bandJSON `json:"bar"`       // the take-off bar that is advised
}

type bandJSON struct {
	FromMM      float64 `json:"from_mm"` // from the lead edge
	ToMM        float64 `json:"to_mm"`
	CoveragePct float64 `json:"coverage_pct"`
}

// alongBands are as many as can be told apart on a screen.
const alongBands = 120

// along looks along one zone of one ink.
func (s *Server) along(r *http.Request) (any, error) {
	var q alongQuestion
	if err := read(r, &q); err != nil {
		return nil, err
	}
	work, err := s.resolve(q.State)
	if err != nil {
		return nil, err
	}
	p, err := work.preset()
	if err != nil {
		return nil, err
	}
	a, err := preset.AlongZone(work.Press, work.Units[0], &p.Units[0], q.Zone, alongBands, work.TakeOffPct)
	if err != nil {
		return nil, refusedAs("zone", err)
	}
	return alongJSON{a.LengthMM, a.BandsPct, band(a.Uneven), band(a.Bar)}, nil
}

func band(b *zones.Band) *bandJSON {
	if b == nil {
		return nil
	}
	j := bandJSON(*b)
	return &j
}
