package sheet

import (
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The head says where and when an ink is printed, on what and how often, as far as
// that is known, and has no line for it where nothing is.
func TestRunLine(t *testing.T) {
	p, o := presetOf(t, zonestest.Press(21, 31.75), 45)
	said := func() string {
		pages, err := Pages(p, o)
		require.NoError(t, err)
		var all string
		for _, m := range pages[0].Marks {
			if text, is := m.(Text); is && text.SizePT == 11 && text.X == marginMM {
				all += text.Text + "\n"
			}
		}
		return all
	}
	before := said()
	assert.NotContains(t, before, "\u00b7")
	u := &p.Units[0]
	u.Unit, u.Pass, p.Paper, p.RunLength, p.Date = new("2"), new(1), new("coated"), new(5000), new("2026-11-26")
	assert.Equal(t, before+"Unit 2, pass 1 · coated · 5,000 sheets · 26 November 2026\n", said())
	u.Unit, u.Pass, p.Paper, p.RunLength = nil, nil, nil, new(1_234_567)
	assert.Equal(t, before+"1,234,567 sheets · 26 November 2026\n", said())
	u.Pass, p.RunLength, p.Date = new(2), new(1), nil
	assert.Equal(t, before+"Pass 2 · 1 sheet\n", said())
}
