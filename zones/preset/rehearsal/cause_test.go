package rehearsal

import (
	"context"
	"math"
	"strings"
	"testing"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestHeavyByAShortSweep: at a shorter sweep keys open wider, and by the train's
// law, film = feed / (A + B·c) with B = 2nL/s + R, zones of little image get more film:
// that is no error of the level, and it is said why, once.
func TestHeavyByAShortSweep(t *testing.T) {
	on := smallPress(press.Left)
	reference := on.Sweep.Reference
	ink := rehearsed(t, byLine(t, on, halves(0.03, 0.2), 20))
	train, err := preset.NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	line, strip := train.Line(), on.Train.Feed.StripMM
	by := func(cover float64) float64 {
		return 100 * (reference/20*(line.A+line.B(strip)*cover)/(line.A+line.B(strip*20/reference)*cover) - 1)
	}
	assert.InDelta(t, by(0.03), ink.Zones[0].DeviationPct, 5, "the law, which knows no neighbours")
	assert.Greater(t, by(0.03), 2*by(0.2))
	text := strings.Join(ink.Sentences, "\n")
	assert.Contains(t, text, "where little image takes ink off the rollers become as full as keys let them, however short the sweep; preset at a sweep nearer to 45 %, or close")
	assert.Equal(t, 1, strings.Count(text, "however short the sweep"))

	right := rehearsed(t, byLine(t, on, halves(0.03, 0.2), reference))
	assert.NotContains(t, strings.Join(right.Sentences, "\n"), "however")
}

// TestCuresAreWeighed: of a ghost it is said what turning the form and a take-off bar leave
// of it, by the figures that trying them gives.
func TestCuresAreWeighed(t *testing.T) {
	in := inputOf(t, smallPress(press.Left, "spring.csv"), barred)
	for _, text := range []string{"turned", "bar=12"} {
		try, err := ParseTry(text)
		require.NoError(t, err)
		in.Tries = append(in.Tries, try)
	}
	ink := rehearsed(t, in)
	require.NotEmpty(t, ink.Ghosts)
	s, err := newStage(in, &in.Preset.Units[0])
	require.NoError(t, err)
	require.NoError(t, s.settle(context.Background()))
	cures, err := s.cures(context.Background(), ink)
	require.NoError(t, err)
	require.Len(t, cures, 2)
	for i, c := range cures {
		assert.InDelta(t, math.Abs(*ink.Tries[i+1].GhostPct), c.ghostPct, 1e-3, c.what)
	}
	// Neither leaves much less: the gripper edge itself comes back.
	assert.Regexp(t, `no key cures it, nor does turning the form \(\d+ %\) or a take-off bar of 12 mm \(\d+ %\); another place for the solid may`, strings.Join(ink.Sentences, "\n"))
}

// TestCureWords name what helps with what it leaves, and what does not as such.
func TestCureWords(t *testing.T) {
	turned, bar := cure{"turning the form", 2}, cure{"a take-off bar of 12 mm", 9}
	assert.Equal(t, "no key cures it; turning the form leaves one of 2 %", cureWords(-10, []cure{turned, bar}))
	assert.Equal(t, "no key cures it, nor does turning the form (2 %) or a take-off bar of 12 mm (9 %); another place for the solid may", cureWords(-2.5, []cure{turned, bar}))
	assert.Equal(t, "no key cures it; another place for the solid may", cureWords(-10, nil))
}
