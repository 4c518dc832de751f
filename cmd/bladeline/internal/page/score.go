package page

import (
	"net/http"

	"bladeline/zones/preset"
)

// trial is what a learner set by eye.
type trial struct {
	State State     `json:"state"`
	Unit  int       `json:"unit"`
	Keys  []float64 `json:"keys"` // on the press's scale, by zone
	Sweep float64   `json:"sweep"`
}

// score holds a trial against the best keys, as preset.Trial defines it: these are
// worked out at the sweep that suits the form, whatever the unit's was set to.
func (s *Server) score(r *http.Request) (any, error) {
	var t trial
	if err := read(r, &t); err != nil {
		return nil, err
	}
	if t.Unit < 0 || t.Unit >= len(t.State.Units) {
		return nil, refused("unit", "there is no unit %d; choose an ink", t.Unit)
	}
	t.State.Units[t.Unit].Sweep = nil
	work, err := s.resolve(t.State)
	if err != nil {
		return nil, err
	}
	p, err := work.preset()
	if err != nil {
		return nil, err
	}
	result, err := preset.NewTrial(work.Press, &p.Units[t.Unit], work.Units[t.Unit].Curve, t.Keys, t.Sweep)
	if err != nil {
		return nil, refusedAs("keys", err)
	}
	return result, nil
}
