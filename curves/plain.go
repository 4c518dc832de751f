package curves

import (
	"math"
	"strconv"
)

// Plain writes a number for a message as a person does: without an exponent,
// but where the digits would be too many to count.
func Plain(v float64) string {
	if size := math.Abs(v); v == 0 || size >= 1e-12 && size < 1e15 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
