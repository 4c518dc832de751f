package preset

import "fmt"

// Grams prints a mass in g with no more digits than an estimate is worth.
func Grams(g float64) string {
	places := 0
	switch {
	case g < 10:
		places = 2
	case g < 100:
		places = 1
	}
	return fmt.Sprintf("%.*f", places, g)
}
