package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChoose: what is asked for an ink by name goes before what is asked for all,
// and names are compared without regard to capitals.
func TestChoose(t *testing.T) {
	chosen, err := Choose(OfGravity, []Choice[float64]{{"", 1}, {"harbour RED", 1.4}}, []string{"Black", "Harbour Red"})
	require.NoError(t, err)
	for ink, want := range map[string]float64{"Black": 1, "Harbour Red": 1.4} {
		v, asked := chosen.For(ink)
		assert.True(t, asked)
		assert.Equal(t, want, v, ink)
	}
	chosen, err = Choose(OfGravity, []Choice[float64]{{"black", 0}}, []string{"Black", "Cyan"})
	require.NoError(t, err)
	_, asked := chosen.For("Cyan")
	assert.False(t, asked, "nothing is asked for it")
	v, asked := chosen.For("Black")
	assert.True(t, asked, "though it is the zero value")
	assert.Zero(t, v)
}

// TestChooseRefuses names the choice that is wrong, of several the first.
func TestChooseRefuses(t *testing.T) {
	for _, c := range []struct {
		code    string
		index   int
		choices []Choice[int]
	}{
		{CodeUnknownInk, 1, []Choice[int]{{"Black", 1}, {"Green", 2}, {"Blue", 3}}},
		{CodeAskedTwice, 2, []Choice[int]{{"", 1}, {"Black", 2}, {"", 3}}},
		{CodeAskedTwice, 1, []Choice[int]{{"Black", 1}, {"black", 1}}},
	} {
		var e *ChoiceError
		_, err := Choose(OfSweep, c.choices, []string{"Black"})
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []any{c.code, c.index, OfSweep}, []any{e.Code(), e.Index, e.Of})
	}
}
