package raster

import "strings"

// MaxName is how many letters of a name are kept: an ink's, a page's. Nobody
// reads more, and all that is drawn, listed and stored carries names along.
const MaxName = 200

// Name is a name as it is kept: cut to MaxName letters, in memory of its own,
// so that it keeps nothing larger alive.
func Name(s string) string {
	letters := 0
	for i := range s {
		if letters == MaxName {
			return strings.Clone(s[:i])
		}
		letters++
	}
	return strings.Clone(s)
}
