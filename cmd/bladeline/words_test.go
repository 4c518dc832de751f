package main

import (
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
)

// TestCodesHaveWords holds that the command line knows what to do about all that
// has a code.
func TestCodesHaveWords(t *testing.T) {
	for _, code := range coverage.Codes {
		assert.Contains(t, cures, code)
	}
	assert.Len(t, cures, len(coverage.Codes), "and about nothing else")
}
