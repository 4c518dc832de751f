package preset

import (
	"io"
	"testing"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

// Of what is not there every question has an answer or an error, and none ends the
// program.
func TestQuestionsOfNothing(t *testing.T) {
	on, curve := zonestest.Press(2, 10), zonestest.LineCurve(t)
	unit := &Unit{Ink: "Black", Keys: []Key{{Zone: 1}}}
	var p *Preset
	assert.Error(t, p.WriteJSON(io.Discard))
	assert.Error(t, p.WriteCSV(io.Discard))
	assert.Error(t, p.IsFor(on, ""))
	assert.Nil(t, p.Unit("Black"))
	assert.Empty(t, p.FirstZone())
	assert.Empty(t, (&Preset{}).FirstZone())
	assert.Nil(t, (*Corrected)(nil).Changes(on))
	assert.Nil(t, (&Corrected{}).Changes(on))
	assert.False(t, p.HasOKKeys("Black"))

	var r *Report
	assert.Error(t, r.WriteJSON(io.Discard))
	assert.Error(t, r.WriteCSV(io.Discard))
	report := NewReport()
	report.Add(nil, nil, nil)
	report.Add(&zones.Form{}, nil, nil)
	assert.Equal(t, NewReport(), report)

	var c *Comparison
	assert.Error(t, c.WriteJSON(io.Discard))
	assert.Error(t, c.WriteCSV(io.Discard))
	var o *ChangeOver
	assert.Error(t, o.WriteJSON(io.Discard))
	assert.Error(t, o.WriteCSV(io.Discard))
	_, err := Change(Compared{}, Compared{}, nil, nil)
	assert.Error(t, err)
	var e *Estimate
	assert.Error(t, e.WriteJSON(io.Discard))
	assert.Error(t, e.WriteCSV(io.Discard))
	estimate := NewEstimate(1, 0, nil)
	estimate.AddForm(nil)
	assert.Empty(t, estimate.Warnings)
	_, err = InkOf(nil)
	assert.EqualError(t, err, "there is no separation; measure one")

	var u *Unit
	_, err = u.SolidM2("p.json", 1)
	assert.EqualError(t, err, "there is no unit; give one of a preset")
	assert.Equal(t, Feed{}, u.Feed(on, curve))
	assert.Equal(t, Feed{}, unit.Feed(nil, curve))
	assert.Equal(t, Feed{}, unit.Feed(on, nil))
	_, err = NewTrial(nil, nil, nil, nil, 0)
	assert.Error(t, err)
	assert.Nil(t, ZerosWith(nil, []learn.Offset{{Zone: 1, Readings: 1}}))
	assert.Nil(t, (*StatedPlacement)(nil).Placement())
	assert.NoError(t, (*StatedPlacement)(nil).Validate())

	assert.NotPanics(t, func() {
		(*Report)(nil).Add(nil, nil, nil)
		(*Estimate)(nil).AddForm(nil)
		(&press.Press{}).ReferenceSweep(nil)
	})
	_, err = New("gull", on, []UnitInput{{}}, 0)
	assert.Error(t, err)
	_, err = Compare(Compared{}, Compared{}, nil)
	assert.Error(t, err)
	assert.NoError(t, WritePoints(io.Discard, []curves.Point{}))
}
