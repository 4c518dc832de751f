package settings

import (
	"math"
	"strconv"
	"strings"
)

// Plain writes a number for a message as a person does: without an exponent,
// but where the digits would be too many to count.
func Plain(v float64) string {
	if size := math.Abs(v); v == 0 || size >= 1e-12 && size < 1e15 {
		return Decimal(v)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// Decimal writes a number in full, without an exponent, so that it is read back
// as it was.
func Decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Shortest writes a number in as few digits as give it back, with an exponent
// where that is shorter: for tables that programs read.
func Shortest(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// Number writes a number into a file as a person does, to 9 decimals and so
// freed of the binary fraction's tail: 11 × 1.1 is 12.1.
func Number(v float64) string { return Decimal(math.Round(v*1e9) / 1e9) }

// Numbers are numbers for a list in a file.
func Numbers(vs []float64) string {
	texts := make([]string, len(vs))
	for i, v := range vs {
		texts[i] = Number(v)
	}
	return strings.Join(texts, ", ")
}
