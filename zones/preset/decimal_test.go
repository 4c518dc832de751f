package preset

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// TestDecimalsAreThoseOfThePattern compares with the pattern that says what a
// number in a table is.
func TestDecimalsAreThoseOfThePattern(t *testing.T) {
	pattern := regexp.MustCompile(`^[+-]?\d+(\.\d+)?([eE][+-]?\d+)?$`)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[+-]?[0-9.eExpinfa_+-]{0,8}`).Draw(t, "text")
		_, err := strconv.ParseFloat(text, 64)
		assert.Equal(t, err == nil && pattern.MatchString(text), err == nil && isDecimal(text), "%q", text)
	})
	for text, is := range map[string]bool{"1": true, "-1.5e+3": true, "1.": false, ".5": false, "0x1p3": false, "inf": false, "nan": false, "": false, "+": false} {
		assert.Equal(t, is, isDecimal(text), text)
	}
}
