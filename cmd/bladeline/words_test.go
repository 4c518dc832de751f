package main

import (
	"slices"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
)

// TestCodesHaveWords holds that the command line knows what to do about all that
// has a code.
func TestCodesHaveWords(t *testing.T) {
	codes := slices.Concat(coverage.Codes, job.Codes)
	for _, code := range codes {
		assert.Contains(t, cures, code)
	}
	assert.Len(t, cures, len(codes), "and about nothing else")
}
