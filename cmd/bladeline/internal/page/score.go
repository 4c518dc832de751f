package page

import (
	"net/http"

	"bladeline/zones/preset"
)

// trial is what a learner set by eye.
type trial struct {
	State   State     `json:"state"`
	Unit    int       `json:"unit"`
	KeysPct []float64 `json:"keys_pct"` // openings in % of travel, by zone
	Sweep   float64   `json:"sweep"`
}

// score holds a trial against the curve, as preset.Trial defines it.
func (s *Server) score(r *http.Request) (any, error) {
	var t trial
	if err := read(r, &t); err != nil {
		return nil, err
	}
	work, err := s.resolve(t.State)
	if err != nil {
		return nil, err
	}
	p, err := work.preset()
	if err != nil {
		return nil, err
	}
	if t.Unit < 0 || t.Unit >= len(p.Units) {
		return nil, refused("unit", "there is no unit %d; choose an ink", t.Unit)
	}
	result, err := preset.NewTrial(work.Press, &p.Units[t.Unit], work.Units[t.Unit].Curve, t.KeysPct, t.Sweep)
	if err != nil {
		return nil, refusedAs("keys_pct", err)
	}
	return result, nil
}
