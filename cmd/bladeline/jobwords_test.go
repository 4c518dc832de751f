package main

import (
	"testing"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/stretchr/testify/assert"
)

// TestErrorsOfJobsHaveWords holds that the command line can say each of them.
func TestErrorsOfJobsHaveWords(t *testing.T) {
	for _, code := range job.Codes {
		assert.Contains(t, jobWords, code)
	}
	assert.Len(t, jobWords, len(job.Codes), "and no others")
}
