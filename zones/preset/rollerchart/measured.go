package rollerchart

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// What is said of measured rollers is common practice, from memory and without a
// source. A press's manual states its own.
const (
	leastStripeMM = 3.0 // below, a roller slips and passes too little ink
	mostStripeMM  = 5.0 // above, it bounces, grows hot and wears
	evenMM        = 0.5 // between two places of a stripe that count as alike
	roundMM       = 0.1 // total indicated run-out, of one turn
	levelMM       = 0.3 // between the ends and the middle of a roller that is a cylinder
	asStatedMM    = 0.5 // between a diameter and that of the file
	slipTimes     = 1.5 // or more, thicker or thinner than the file says: a slip of the pen
)

// The kinds of finding.
const (
	CodeLight    = "light-stripe"
	CodeHeavy    = "heavy-stripe"
	CodeParallel = "not-parallel"
	CodeEnds     = "heavy-ends"
	CodeMiddle   = "heavy-middle"
	CodeStripe   = "other-stripe"
	CodeSwollen  = "swollen-ends"
	CodeCrown    = "crown"
	CodeTaper    = "taper"
	CodeRunOut   = "run-out"
	CodeDiameter = "other-diameter"
	CodeSlip     = "no-such-diameter"
)

// A Finding is what is wrong with a roller that was measured, and what to do.
type Finding struct {
	Code    string  `json:"code"`
	Roller  string  `json:"roller"`
	Against *string `json:"against"` // of a stripe: what it is made with, where that is said
	Text    string  `json:"text"`
	Do      string  `json:"do"`
}

// Caution stands wherever rollers are measured.
const Caution = "Nothing is measured, set or touched on a moving press: nips catch hands and cloths. Stop it and make it safe as its manual and local rules say. Figures here are common practice; the stripes and limits of the press's manual, and staff trained on it, come first."

// Hold holds what was measured, in a file, against the train, and keeps what is
// found. A roller that the train does not have is an error of type
// *settings.FileError.
func (c *Chart) Hold(file string, measured []preset.MeasuredRoller) error {
	c.Measured = true
	for _, m := range measured {
		r, against, err := c.find(file, m)
		if err != nil {
			return err
		}
		m.Against = against
		h := held{chart: c, roller: r, MeasuredRoller: m}
		h.cylinder()
		h.stripe()
	}
	return nil
}

// find is the roller that a row names, and the one that it touches there, as the chart
// calls them.
func (c *Chart) find(file string, m preset.MeasuredRoller) (r *Roller, against string, err error) {
	wrong := func(column, what string, names []string) error {
		for i, name := range names {
			names[i] = settings.Quoted(name)
		}
		return &settings.FileError{File: file, Place: fmt.Sprintf("row %d, column %s", m.Row, column), What: what, Do: "name one of these: " + strings.Join(names, ", ")}
	}
	var names []string
	for i := range c.Rollers {
		r = &c.Rollers[i]
		names = append(names, r.Name)
		if !strings.EqualFold(r.Name, m.Roller) {
			continue
		}
		if m.Against == "" {
			return r, "", nil
		}
		for _, other := range r.Touches {
			if strings.EqualFold(other, m.Against) {
				return r, other, nil
			}
		}
		return nil, "", wrong("against", fmt.Sprintf("roller %s does not touch %s", settings.Quoted(r.Name), settings.Quoted(m.Against)), append([]string{}, r.Touches...))
	}
	return nil, "", wrong("roller", fmt.Sprintf("press %s has no roller %s", settings.Quoted(c.Press), settings.Quoted(m.Roller)), names)
}

// held is a row in the course of being held against the train.
type held struct {
	chart  *Chart
	roller *Roller
	preset.MeasuredRoller
}

func (h *held) found(code, text, do string) {
	h.chart.Findings = append(h.chart.Findings, Finding{Code: code, Roller: h.roller.Name, Text: h.roller.Name + ": " + text, Do: do})
}

// cylinder looks at the roller's own form.
func (h *held) cylinder() {
	if v := h.RunOutMM; v != nil && *v > roundMM {
		h.found(CodeRunOut, fmt.Sprintf("the indicator moves %s mm in a turn; up to %s mm is usual", mm(*v), mm(roundMM)), "look at bearings and journals; a roller that is itself out of round is to be reground")
	}
	if h.slipped() {
		return
	}
	if v := h.DiameterMM; v != nil && math.Abs(*v-h.roller.DiameterMM) > asStatedMM {
		text := fmt.Sprintf("it is %s mm thick, and %s mm in the press's file", mm(*v), mm(h.roller.DiameterMM))
		if h.roller.Kind != Ductor {
			text += fmt.Sprintf(": its marks come back every %.1f mm, not every %.1f", math.Pi**v, h.roller.CircumferenceMM)
		}
		h.found(CodeDiameter, text, "measure once more; if it holds, write it into the press's file, and set the stripes anew")
	}
	if h.LeftMM == nil || h.RightMM == nil {
		return
	}
	left, right := *h.LeftMM, *h.RightMM
	if math.Abs(left-right) > levelMM {
		h.found(CodeTaper, fmt.Sprintf("it tapers: %s mm at the left end, %s at the right", mm(left), mm(right)), "have it reground: no setting makes its stripe parallel")
	}
	if h.DiameterMM == nil {
		return
	}
	switch middle := *h.DiameterMM; {
	case min(left, right)-middle > levelMM:
		h.found(CodeSwollen, fmt.Sprintf("its ends are swollen: %s and %s mm, %s in the middle", mm(left), mm(right), mm(middle)), "wash the ends as well as the middle, look what wash is used, and have it reground where they stay so")
	case middle-max(left, right) > levelMM:
		h.found(CodeCrown, fmt.Sprintf("it is crowned: %s mm in the middle, %s and %s at the ends", mm(middle), mm(left), mm(right)), "have it reground, unless the press's manual wants a crown")
	}
}

// slipped tells of a diameter that no roller of the file's grows or wears to, of which
// nothing more is said.
func (h *held) slipped() bool {
	stated := h.roller.DiameterMM
	for _, v := range []*float64{h.LeftMM, h.DiameterMM, h.RightMM} {
		if v != nil && (*v > slipTimes*stated || *v < stated/slipTimes) {
			h.found(CodeSlip, fmt.Sprintf("%s mm was written down, and it is %s mm in the press's file: no roller changes so much", mm(*v), mm(stated)), "look whether a point or a figure slipped, and measure once more")
			return true
		}
	}
	return false
}

// stripe looks at how the roller is set.
func (h *held) stripe() {
	before := len(h.chart.Findings)
	h.width()
	h.shape()
	if h.Against == "" {
		return
	}
	for i := before; i < len(h.chart.Findings); i++ {
		h.chart.Findings[i].Against = &h.Against
	}
}

// width looks at how wide the stripe is: at the places, else against the file.
func (h *held) width() {
	least, most := math.Inf(1), math.Inf(-1)
	for _, v := range []*float64{h.StripeLeftMM, h.StripeMM, h.StripeRightMM} {
		if v != nil {
			least, most = min(least, *v), max(most, *v)
		}
	}
	switch stated := h.roller.StripeMM; {
	case math.IsInf(least, 1):
	case least < leastStripeMM:
		h.found(CodeLight, fmt.Sprintf("its stripe%s is %s mm at the narrowest; %s to %s mm are usual", h.with(), mm(least), mm(leastStripeMM), mm(mostStripeMM)), "set it closer there: too light it slips, and passes too little ink")
	case most > mostStripeMM:
		h.found(CodeHeavy, fmt.Sprintf("its stripe%s is %s mm at the widest; %s to %s mm are usual", h.with(), mm(most), mm(leastStripeMM), mm(mostStripeMM)), "back it off there: too heavy it bounces, grows hot, and wears itself and the plate")
	case stated != nil && h.StripeMM != nil && math.Abs(*h.StripeMM-*stated) > evenMM:
		h.found(CodeStripe, fmt.Sprintf("its stripe%s is %s mm, and %s mm in the press's file", h.with(), mm(*h.StripeMM), mm(*stated)), "set it to what the file says, or correct the file")
	}
}

// shape looks at how the stripe differs along the roller.
func (h *held) shape() {
	if h.StripeLeftMM == nil || h.StripeRightMM == nil {
		return
	}
	left, right := *h.StripeLeftMM, *h.StripeRightMM
	if math.Abs(left-right) > evenMM {
		narrow := "left"
		if right < left {
			narrow = "right"
		}
		h.found(CodeParallel, fmt.Sprintf("its stripe%s is not parallel: %s mm at the left, %s at the right", h.with(), mm(left), mm(right)), "set the "+narrow+" end closer, or back off the other, until both are alike")
	}
	if h.StripeMM == nil {
		return
	}
	switch middle := *h.StripeMM; {
	case min(left, right)-middle > evenMM:
		h.found(CodeEnds, fmt.Sprintf("its stripe%s is heavy at the ends: %s and %s mm, %s in the middle", h.with(), mm(left), mm(right), mm(middle)), "measure its diameter at the ends: they are swollen, or the middle is worn; setting does not cure it")
	case middle-max(left, right) > evenMM:
		h.found(CodeMiddle, fmt.Sprintf("its stripe%s is heavy in the middle: %s mm, %s and %s at the ends", h.with(), mm(middle), mm(left), mm(right)), "measure its diameter in the middle: it is crowned, or a shaft bends; setting does not cure it")
	}
}

// with names what the stripe is made with, where that is said.
func (h *held) with() string {
	switch h.Against {
	case "":
		return ""
	case Plate:
		return " with the plate"
	}
	return " with " + h.Against
}

// mm is a measured length, to a hundredth.
func mm(v float64) string { return settings.Plain(math.Round(v*100) / 100) }
