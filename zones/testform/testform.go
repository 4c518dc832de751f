// Package testform draws a form for a press without history: steps of coverage
// over its zones, and a solid strip in each for the densitometer. Printed with all
// keys alike, the strips say which opening each coverage wanted.
//
// A form is laid out in whole pixels, so that what each zone is covered with is
// known exactly, letters and all, and is what any reader of the file counts.
package testform

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"

	"bladeline/coverage/bilevel"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Options say how large a form is, and at what resolution it is drawn.
type Options struct {
	WidthMM   float64 // of the sheet, across the press; 0: the fountain's
	LengthMM  float64 // of the form, from the lead edge; 0: the press's print length
	GripperMM float64 // that stays bare at the lead edge
	DPI       float64
}

// DefaultGripperMM is what grippers take of most sheets, and a little more. Common
// practice, no source.
const DefaultGripperMM = 12

// What a form is made of, from the lead edge, in mm. Common practice, no source.
const (
	labelMM  = 17.0 // numbers of zones, with their coverages and borders
	stripMM  = 8.0  // solid: a densitometer looks at 3 to 5 mm of it
	spaceMM  = 2.0  // bare, on both sides of the strip
	pitchMM  = 4.0  // from line to line of the steps: short beside any roller's circumference, so that no ghost follows
	tailMM   = 17.0 // what is said of the form
	edgeMM   = 5.0  // bare at the sheet's other edges
	gapMM    = 1.0  // bare between the zones
	tickMM   = 0.3  // wide, at a zone's border
	leastMM  = 50.0 // of the field that the steps fill
	mostMM   = 10_000.0
	thinMM   = 8.0  // a zone that is narrower takes no strip that can be read
	fullest  = 0.85 // of the field, at most, is inked
	leastPct = 5.0  // the least step and the greatest, where strip and field allow it: a law
	mostPct  = 60.0 // of density reads films from a fifth to nearly three times the wanted
)

// A Zone is what a form carries in one zone.
type Zone struct {
	Number          int
	LeftMM, RightMM float64 // from the fountain's left end, in bench view
	Step            int     // from 1, from the left; 0: none, as the zone does not lie wholly on the sheet
	OffSheet        bool    // it does not lie on it at all
	CoveragePct     float64 // exact
}

// A Form is laid out on a press.
type Form struct {
	Press             *press.Press
	WidthMM, LengthMM float64
	GripperMM, DPI    float64
	Zones             []Zone // by number
	Steps             []Step // from the left
	PerStep           int    // the fewest zones that a step has

	width, height int // px
	bars          []bar
	marks         []mark
	strip, field  span
	lines         int // of the field
}

// span is rows from one to before another, from the top.
type span struct{ from, to int }

func (s span) has(y int) bool { return s.from <= y && y < s.to }

// bar is what is inked of a zone, from one column to before another.
type bar struct {
	from, to int
	rows     int // of the field that are solid
}

// New lays a form out. Errors are of what does not go on the press, in one line.
func New(on *press.Press, o Options) (*Form, error) {
	if on == nil {
		return nil, fmt.Errorf("there is no press; give one")
	}
	if err := on.Validate(); err != nil {
		return nil, settings.InFile(err, "press", "")
	}
	f := &Form{
		Press:     on,
		WidthMM:   cmp.Or(o.WidthMM, on.Fountain.WidthMM()),
		LengthMM:  cmp.Or(o.LengthMM, on.PrintLengthMM),
		GripperMM: o.GripperMM,
		DPI:       o.DPI,
	}
	if err := f.check(); err != nil {
		return nil, err
	}
	f.width, f.height = int(f.WidthMM*f.perMM()+hairPX), int(f.LengthMM*f.perMM()+hairPX) // no more than there is room for
	f.layZones()
	if err := f.laySteps(); err != nil {
		return nil, err
	}
	f.layMarks()
	f.fill()
	return f, nil
}

func (f *Form) check() error {
	least := math.Ceil(f.GripperMM + labelMM + stripMM + 2*spaceMM + leastMM + tailMM + edgeMM)
	fountain, printed := f.Press.Fountain.WidthMM(), f.Press.PrintLengthMM
	switch {
	case f.Press.Fountain.ZoneWidthMM < thinMM:
		return fmt.Errorf("zones of %s mm are too narrow for a strip that a densitometer reads; it takes %g mm", settings.Plain(f.Press.Fountain.ZoneWidthMM), thinMM)
	case !(f.GripperMM >= 0 && f.GripperMM <= 100):
		return fmt.Errorf("a gripper margin of %s mm is outside 0 to 100; measure what the grippers take of the sheet", settings.Plain(f.GripperMM))
	case f.LengthMM == 0:
		return fmt.Errorf("press %s states no print_length_mm; add it, or say how long the form is to be", settings.Quoted(f.Press.Name))
	case f.LengthMM > mostMM:
		return fmt.Errorf("a form %s mm long is none of a sheet; give its length in mm", settings.Plain(f.LengthMM))
	case !(f.LengthMM >= least):
		return fmt.Errorf("a form %s mm long has no room for strip and steps; it takes %s mm, with the grippers' margin", settings.Plain(f.LengthMM), settings.Plain(least))
	case printed > 0 && f.LengthMM > printed:
		return fmt.Errorf("a form %s mm long is longer than the %s mm that the press prints; make it shorter", settings.Plain(f.LengthMM), settings.Plain(printed))
	case !(f.WidthMM > 0 && f.WidthMM <= fountain):
		return fmt.Errorf("a sheet %s mm wide does not lie on the fountain of %s mm; give the width of the sheet across the press", settings.Plain(f.WidthMM), settings.Plain(fountain))
	case !(f.DPI >= 72 && f.DPI <= 5080):
		return fmt.Errorf("%s dpi is no resolution of a plate; give 72 to 5080", settings.Plain(f.DPI))
	}
	return nil
}

// perMM are the pixels of a mm.
func (f *Form) perMM() float64 { return f.DPI / 25.4 }

// referenceMM is what coverages refer to.
func (f *Form) referenceMM() float64 {
	if f.Press.PrintLengthMM > 0 {
		return f.Press.PrintLengthMM
	}
	return float64(f.height) / f.perMM()
}

// column is where a place on the fountain lies in the raster, whose middle lies on
// the fountain's.
func (f *Form) column(mm float64) float64 {
	return (mm-f.Press.Fountain.WidthMM()/2)*f.perMM() + float64(f.width)/2
}

// fromLead are the rows between two places, in mm from the lead edge, which is the
// raster's last row.
func (f *Form) fromLead(from, to float64) span {
	return span{f.height - int(math.Round(to*f.perMM())), f.height - int(math.Round(from*f.perMM()))}
}

// layZones finds the zones on the sheet, and what of each is inked.
func (f *Form) layZones() {
	f.bars = make([]bar, f.Press.Fountain.Zones)
	gap := gapMM * f.perMM() / 2
	edge := min(edgeMM, f.Press.Fountain.ZoneWidthMM/4) * f.perMM()
	for number := 1; number <= f.Press.Fountain.Zones; number++ {
		z := Zone{Number: number}
		z.LeftMM, z.RightMM = f.Press.Fountain.ZoneMM(number)
		left, right, width := f.column(z.LeftMM), f.column(z.RightMM), float64(f.width)
		z.OffSheet = right <= hairPX || left >= width-hairPX
		if left > -1 && right < width+1 {
			z.Step = 1 // which, is found later
			f.bars[number-1] = bar{from: int(math.Ceil(max(left+gap, edge))), to: int(math.Floor(min(right-gap, width-edge)))}
		}
		f.Zones = append(f.Zones, z)
	}
}

// hairPX is less than anybody can see.
const hairPX = 1e-6

// fill inks every zone until it is covered as its step asks, within half a row of
// it, and works out how much that is.
func (f *Form) fill() {
	zonePX := f.Press.Fountain.ZoneWidthMM * f.perMM() * f.referenceMM() * f.perMM()
	for i := range f.Zones {
		z, b := &f.Zones[i], &f.bars[i]
		left, right := f.column(z.LeftMM), f.column(z.RightMM)
		inked := f.marked(left, right)
		if z.Step > 0 {
			wide := float64(b.to - b.from)
			inked += wide * float64(f.strip.to-f.strip.from)
			rows := math.Round((f.Steps[z.Step-1].CoveragePct/100*zonePX - inked) / wide)
			b.rows = int(min(max(0, rows), fullest*float64(f.field.to-f.field.from)))
			inked += wide * float64(b.rows)
		}
		z.CoveragePct = 100 * inked / zonePX
	}
}

// Row appends the run ends of a row, from the top, as bilevel has them.
func (f *Form) Row(y int, ends []int32) []int32 {
	switch {
	case f.strip.has(y):
		return f.inked(ends, func(bar) bool { return true })
	case f.field.has(y):
		size, at := f.field.to-f.field.from, y-f.field.from
		n := ((at+1)*f.lines - 1) / size // the line that begins last before
		into := at - n*size/f.lines
		return f.inked(ends, func(b bar) bool { return into < (n+1)*b.rows/f.lines-n*b.rows/f.lines })
	}
	return f.markRow(y, ends)
}

// inked appends the zones that are solid in a row, from the left.
func (f *Form) inked(ends []int32, solid func(bar) bool) []int32 {
	for i := range f.bars {
		b := f.bars[i]
		if f.Press.Fountain.FirstZone == press.Right {
			b = f.bars[len(f.bars)-1-i]
		}
		if b.to > b.from && solid(b) {
			ends = append(ends, int32(b.from), int32(b.to))
		}
	}
	return ends
}

// Picture is the form as a raster.
func (f *Form) Picture() *bilevel.Picture {
	return &bilevel.Picture{Width: f.width, Height: f.height, DPI: f.DPI, Description: strings.Join(f.says(), "; "), Row: f.Row}
}

// WriteTIFF writes the form as TIFF in Group 4.
func (f *Form) WriteTIFF(w io.Writer) error { return bilevel.WriteTIFF(w, f.Picture()) }

// WritePNG writes the form as PNG; its resolution must be one that PNG states.
func (f *Form) WritePNG(w io.Writer) error { return bilevel.WritePNG(w, f.Picture()) }

// WritePDF writes a page as large as the form that holds nothing but its raster:
// what makes the plate then has no lines to round, but pixels to take over.
func (f *Form) WritePDF(w io.Writer) error { return bilevel.WritePDF(w, f.Picture()) }

// SizeMM is the raster's, which is whole pixels.
func (f *Form) SizeMM() (width, length float64) {
	return float64(f.width) / f.perMM(), float64(f.height) / f.perMM()
}
