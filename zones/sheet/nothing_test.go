package sheet

import (
	"bytes"
	"io"
	"testing"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of what is not there every question has an answer or an error, and none ends the
// program.
func TestQuestionsOfNothing(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	_, err := PressUnder(p, nil)
	assert.EqualError(t, err, "there is no unit to draw; give one of the preset")
	_, err = PressUnder(nil, &p.Units[0])
	assert.EqualError(t, err, "there is no preset; give one")
	_, err = PressUnder(p, &preset.Unit{})
	assert.NoError(t, err)
	assert.Error(t, CheckForm(p, nil, o.Forms["Black"]))
	assert.EqualError(t, CheckForm(p, &p.Units[0], nil), "there is no separation; measure one")
	assert.Error(t, CheckForm(p, &preset.Unit{}, o.Forms["Black"]))
	assert.Error(t, CheckForm(p, &p.Units[0], &zones.Form{}))

	for _, form := range []*zones.Form{nil, {}} {
		assert.Zero(t, Painted(form, 100).Bounds())
		o.Forms["Black"] = form
		_, err = Pages(p, o)
		assert.Equal(t, form == nil, err == nil, "a form that is none is not that of the preset")
	}
	_, err = ChangePages(nil, ChangeOptions{})
	assert.EqualError(t, err, "there is no change-over to draw; give one")
	assert.Error(t, WriteSVG(io.Discard, nil))
	assert.Error(t, WritePDF(io.Discard, []*Page{{WidthMM: 100, HeightMM: 100}, nil}))
	assert.Equal(t, Box{}, Polygon{}.BoxMM())
	odd := &Page{WidthMM: 100, HeightMM: 100, Marks: []Mark{nil, Polygon{}, Picture{}, Text{Before: 0.3}, Line{}}}
	var b bytes.Buffer
	require.NoError(t, WriteSVG(&b, odd))
	require.NoError(t, WritePDF(&b, []*Page{odd}))
}
