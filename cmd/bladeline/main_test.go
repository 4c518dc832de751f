package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestAPanicIsAnError has the program fail by a mistake of its own.
func TestAPanicIsAnError(t *testing.T) {
	err := guarded(func() error { panic("a mistake") })
	require.EqualError(t, err, "the program failed (a mistake); please report this, with the files that were named")
	require.NoError(t, guarded(func() error { return nil }))
}
