package press

// Turned is a way to turn a key's screw, as one faces its head.
type Turned string

// The ways.
const (
	Clockwise        Turned = "clockwise"
	CounterClockwise Turned = "counter-clockwise"
)

// Turns is which way the screw of a key is turned that opens or closes; "" where
// no screw is known of that one would turn by hand.
func (s Sense) Turns(opens bool) Turned {
	switch {
	case s == "":
		return ""
	case opens == (s == Opens):
		return Clockwise
	}
	return CounterClockwise
}
