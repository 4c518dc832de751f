package settings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// swap is a text with some of its parts replaced.
func swap(text string, oldnew ...string) string { return strings.NewReplacer(oldnew...).Replace(text) }

func TestSetValue(t *testing.T) {
	const press = "name = \"Hall\" # of the ferry\r\n[keys] # scale\r\nstep = 1\r\nzero = [ # from zone 1\r\n  1, # worn\r\n 0]  # set in May\r\n[sweep]\r\nzero = 3\r\n"
	got, err := SetValue("p.toml", []byte(press), "[0, 2.5]", "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, swap(press, "[ # from zone 1\r\n  1, # worn\r\n 0]", "[0, 2.5]"), string(got))

	got, err = SetValue("p.toml", []byte(press), `"Quay"`, "name")
	require.NoError(t, err)
	assert.Equal(t, swap(press, `"Hall"`, `"Quay"`), string(got))

	got, err = SetValue("p.toml", []byte("\ufeff"+press), "2", "keys", "travel")
	require.NoError(t, err)
	assert.Equal(t, "\ufeff"+swap(press, "# scale\r\n", "# scale\r\ntravel = 2\r\n"), string(got))

	got, err = SetValue("p.toml", []byte("keys.zero = [] # none\nkeys.step = 1\n"), "[1]", "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "keys.zero = [1] # none\nkeys.step = 1\n", string(got))

	_, err = SetValue("p.toml", []byte("keys = { step = 1 }\n"), "[1]", "keys", "zero")
	assert.EqualError(t, err, "p.toml: keys.zero: has no line of its own; write one: zero = …")
}

func TestSetNumbers(t *testing.T) {
	const press = "[keys]\r\nzero = [ # from zone 1\r\n  1, # worn by 2\r\n -0.5 ]  # set in May\r\n"
	got, err := SetNumbers("p.toml", []byte(press), []float64{10.25, 0}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, swap(press, "  1,", "  10.25,", "-0.5", "0"), string(got))

	got, err = SetNumbers("p.toml", []byte(press), []float64{1, 2, 3.1}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "[keys]\r\nzero = [1, 2, 3.1]  # set in May\r\n", string(got), "of another number, all anew")

	got, err = SetNumbers("p.toml", []byte("[keys] # scale\n"), []float64{1, 2}, "keys", "zero")
	require.NoError(t, err)
	assert.Equal(t, "[keys] # scale\nzero = [1, 2]\n", string(got))
}
