package rehearsal

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bladeline/zones/press"
)

// TestSweepAdvice: what is said of the whole does what it says when it is followed, and
// zones are then told beside the others, so that "light" never stands for one that the
// table has as heavy.
func TestSweepAdvice(t *testing.T) {
	on := smallPress(press.Left, "spring.csv")
	in := inputOf(t, on, even(0.2), 1.2, 1.4, 1.4, 1.4, 1.4, 1.4)
	ink := rehearsed(t, in)
	require.Regexp(t, `^on the whole the form will run about \d+ % heavy: take a shorter sweep, about `, ink.Sentences[0])
	for _, text := range ink.Sentences[1:] {
		if strings.Contains(text, " will run ") {
			assert.Regexp(t, `^beside the others zones? `, text)
		}
	}
	sweep := regexp.MustCompile(`--try sweep=(\d+)`).FindStringSubmatch(ink.Sentences[0])
	require.Len(t, sweep, 2)
	to, err := strconv.ParseFloat(sweep[1], 64)
	require.NoError(t, err)
	in.Tries = []Try{{Text: sweep[0], Sweep: &to}}
	tried := rehearsed(t, in).Tries[1]
	assert.InDelta(t, 1, (ink.MeanUM/ink.TargetUM)*(1+tried.MeanPct/100), GoodPct/100.0)
}
