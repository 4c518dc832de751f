package press

// Turned is a way to turn a key's screw, as one faces its head.
type Turned string

// The ways.
const (
	Clockwise        Turned = "clockwise"
	CounterClockwise Turned = "counter-clockwise"
)

// Turns is which way the screw of a key is turned that opens or closes; "" where
// the scale counts no turns, so that nobody need turn a screw by hand. Clockwise
// closes (common practice, no source).
func (u KeyUnit) Turns(opens bool) Turned {
	switch {
	case u != Turn:
		return ""
	case opens:
		return CounterClockwise
	}
	return Clockwise
}
