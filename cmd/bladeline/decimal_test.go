package main

import (
	"strconv"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
)

// A number of copies that is more than the machine's words hold is refused; in 32 bits 2³² + 1
// would be 1.
func TestWholeIsNotCut(t *testing.T) {
	var n int
	flags := pflag.NewFlagSet("", pflag.ContinueOnError)
	wholeVar(flags, &n, "copies", 7, "")
	assert.Equal(t, 7, n)
	assert.NoError(t, flags.Parse([]string{"--copies", "5000"}))
	assert.Equal(t, 5000, n)
	tooLarge := map[int]string{32: "4294967297", 64: "18446744073709551617"}[strconv.IntSize]
	assert.ErrorContains(t, flags.Parse([]string{"--copies", tooLarge}), tooLarge)
	assert.Error(t, flags.Parse([]string{"--copies", "5.5"}))
}
