package main

import (
	"slices"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"

	"github.com/stretchr/testify/assert"
)

// TestCodesHaveWords holds that the command line knows what to do about all that
// has a code.
func TestCodesHaveWords(t *testing.T) {
	codes := slices.Concat(coverage.Codes, zones.Codes, preset.Codes, sheet.Codes, job.Codes)
	for _, code := range codes {
		assert.Contains(t, cures, code)
	}
	assert.Len(t, cures, len(codes), "and about nothing else")
}
