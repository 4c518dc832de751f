package press

// Sense is what turning a screw clockwise does to its key.
type Sense string

// The senses.
const (
	Closes Sense = "closes"
	Opens  Sense = "opens"
)

// SenseOf is the sense of keys of a unit: the one that is stated, else Closes where
// screws are turned, which is usual in the trade (common practice, no source); ""
// where no screw is known of.
func SenseOf(unit KeyUnit, stated Sense) Sense {
	if stated == "" && unit == Turn {
		return Closes
	}
	return stated
}

// Words says which way to turn; empty where there is no screw.
func (s Sense) Words() string {
	switch s {
	case Closes:
		return "clockwise closes, less ink; counter-clockwise opens, more ink"
	case Opens:
		return "clockwise opens, more ink; counter-clockwise closes, less ink"
	}
	return ""
}
