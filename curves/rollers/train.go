package rollers

// A Train is the rollers of a printing unit, from the ductor to the plate, as
// its press's file describes them.
type Train struct {
	PlateMM float64 // diameter of the plate cylinder; the blanket's is the same
	ImageMM float64 // length of image round the plate, from the gripper edge
	Paper   float64 // τ: share of the blanket's film that the paper takes, 0.1 to 0.7
	Split   float64 // share of two films that the roller which comes second along the ink's way keeps: 0.45 to 0.55, 0.5 halves
	Ductor  Ductor
	Turns   float64  // plate turns that an oscillator takes to go and come back
	Rollers []Roller // in any order, the ductor not among them
	Feed    Feed
}

// A Ductor carries ink from the fountain roller to the first roller, at strokes.
type Ductor struct {
	DiameterMM  float64
	Touches     string   // the roller that it feeds
	EverySheets int      // sheets from stroke to stroke
	Duty        float64  // share of the time between strokes that it rides on that roller, 0.2 to 0.5
	AtDeg       *float64 // where it lies on that roller; nil leaves that to Lay
}

// A Kind says what a roller does.
type Kind string

// The kinds of roller, the ductor aside.
const (
	Distributor Kind = "distributor" // passes ink on
	Oscillator  Kind = "oscillator"  // moves from side to side as well, driven
	Rider       Kind = "rider"       // lies on others and is turned by them
	FormRoller  Kind = "form"        // inks the plate
)

// A Surface is what a roller is covered with.
type Surface string

// The surfaces.
const (
	Hard   Surface = "hard"   // steel, copper or hard plastic
	Rubber Surface = "rubber" // soft; its stripes show how it is set
)

// A Roller is one roller of a train. Its nips are those with the rollers that it
// names, and with those that name it; a form roller also has one with the plate.
type Roller struct {
	Name       string
	Kind       Kind
	Surface    Surface
	DiameterMM float64
	Touches    []string // names of other rollers
	AtDeg      *float64 // of a roller whose place its nips leave open: where it lies on the first that it touches (a form roller: on the plate); nil leaves that to Lay
	StrokeMM   float64  // of an oscillator, from end to end
	StripeMM   float64  // width of the stripe that its nips are set to; 0 is not known
}

// A Feed is what ties a train to a real press. Only its two numbers cannot be
// read off the rollers.
type Feed struct {
	FilmFullUM                float64  // film on the fountain roller under a fully open key
	StripMM                   float64  // strip of fountain roller that a stroke of the ductor takes, at the press's reference sweep
	FilmFullError, StripError float64  // standard errors of both, as fitted; 0 is not known
	FittedFrom                []string // what they were fitted from; empty: they are not measured on this press
}

// A Laid is a train as it lies, looked at from the side that has the sheet
// running to the right below the plate.
type Laid struct {
	Plate   Circle   // about the origin
	Blanket Circle   // below it
	Ductor  Circle   // where it rides on the roller that it feeds
	Rollers []Circle // as the train's
	Nips    []Nip
}

// A Circle is a roller seen from its end.
type Circle struct {
	XMM, YMM   float64
	DiameterMM float64
	Clockwise  bool // which way it turns
}

// Indices of surfaces in nips, beside those of a train's rollers.
const (
	PlateSurface  = -1
	DuctorSurface = -2
)

// A Nip is where two surfaces touch.
type Nip struct {
	A, B       int     // indices of the train's rollers, or PlateSurface or DuctorSurface
	ADeg, BDeg float64 // where on each, from its centre
}
