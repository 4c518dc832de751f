package page

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was used last is kept, the rest is made anew; what could not be made is tried again.
func TestRecentKeepsTheLast(t *testing.T) {
	r := recent[string]{most: 2}
	times := 0
	get := func(of string) {
		v, err := r.get(of, func() (string, error) { times++; return "made of " + of, nil })
		require.NoError(t, err)
		assert.Equal(t, "made of "+of, v)
	}
	for _, step := range []struct {
		of   string
		made int
	}{{"a", 1}, {"b", 2}, {"a", 2}, {"c", 3}, {"a", 3}, {"b", 4}, {"c", 5}} {
		get(step.of)
		assert.Equal(t, step.made, times, step.of)
	}
	_, err := r.get("d", func() (string, error) { return "", errors.New("not now") })
	require.Error(t, err)
	get("d")
	assert.Equal(t, 6, times)
}
