package zones

import (
	"fmt"

	"bladeline/coverage"
	"bladeline/curves/settings"
)

// Codes of errors and warnings whose cure depends on how bladeline is used, so
// that their texts state the fact alone.
const (
	CodeNoResolution  = "no-resolution"  // a ResolutionError: none is stated
	CodeBadResolution = "bad-resolution" // a ResolutionError: it is that of no plate
	CodeOverfull      = "overfull"       // an OverfullError
	CodeInkBeyond     = "ink-beyond"     // an InkBeyondError
	CodeSameInk       = "same-ink"       // a SameInkError

	CodePiecesResolution = "pieces-resolution" // a PiecesResolutionError
)

// Codes are all of them.
var Codes = []string{CodeNoResolution, CodeBadResolution, CodeOverfull, CodeInkBeyond, CodeSameInk, CodeComposite, CodeOutside, CodePiecesResolution}

// A SeparationError is what is wrong with one separation.
type SeparationError struct {
	File string
	Page int // counted from 1; 0 is not known
	Ink  string
	Err  error // what is wrong; some are of the types below
}

func (e *SeparationError) Unwrap() error { return e.Err }

func (e *SeparationError) Error() string {
	place := e.File
	if e.Page > 0 {
		place += fmt.Sprintf(": page %d", e.Page)
	}
	return fmt.Sprintf("%s: ink %s: %s", place, e.Ink, e.Err)
}

// inMap is an error in one separation.
func inMap(m *coverage.Map, err error) error {
	if m.Sheet != nil { // a form has no pages
		return &SeparationError{m.File, 0, m.Ink, err}
	}
	return &SeparationError{m.File, m.Page, m.Ink, err}
}

// A ResolutionError reports a raster whose size in mm is not known.
type ResolutionError struct {
	DPIX, DPIY float64 // as the raster lies; 0 is not stated
	Unknown    string  // what is not known either, in words
	InForm     bool    // the raster is a piece of a form file, which may state it
}

// Code is CodeNoResolution or CodeBadResolution.
func (e *ResolutionError) Code() string {
	if e.DPIX == 0 || e.DPIY == 0 {
		return CodeNoResolution
	}
	return CodeBadResolution
}

func (e *ResolutionError) Error() string {
	if e.Code() == CodeNoResolution {
		return fmt.Sprintf("the raster states no resolution, so %s is not known", e.Unknown)
	}
	return fmt.Sprintf("%s × %s dpi is not the resolution of a plate", settings.Plain(e.DPIX), settings.Plain(e.DPIY))
}

// An OverfullError reports a zone that would be covered more than wholly, as the
// raster is longer than the press prints.
type OverfullError struct {
	Zone              int
	CoveragePct       float64
	PrintMM, RasterMM float64
	InForm            bool // it is of the pieces of a form file
}

// Code is CodeOverfull.
func (e *OverfullError) Code() string { return CodeOverfull }

func (e *OverfullError) Error() string {
	return fmt.Sprintf("in zone %d the ink covers %.1f %%: the press prints %s mm and the raster is %s mm long",
		e.Zone, e.CoveragePct, settings.Plain(e.PrintMM), mmText(e.RasterMM))
}

// An InkBeyondError reports ink beyond the fountain's ends.
type InkBeyondError struct {
	LeftMM, RightMM float64 // how far beyond each end; 0: not there
	FountainMM      float64 // the fountain's length
	InForm          bool    // it is of the pieces of a form file
	OfPieces        bool    // it is of several pieces, of a file or not
}

// Code is CodeInkBeyond.
func (e *InkBeyondError) Code() string { return CodeInkBeyond }

func (e *InkBeyondError) Error() string {
	switch {
	case e.RightMM == 0:
		return fmt.Sprintf("ink stands %s mm beyond the fountain's left end", mmText(e.LeftMM))
	case e.LeftMM == 0:
		return fmt.Sprintf("ink stands %s mm beyond the fountain's right end", mmText(e.RightMM))
	}
	return fmt.Sprintf("ink stands beyond the fountain's ends, %s mm at the left and %s mm at the right: the form is wider than the %s mm that it inks",
		mmText(e.LeftMM), mmText(e.RightMM), mmText(e.FountainMM))
}

// A SameInkError reports two separations of one ink.
type SameInkError struct {
	Ink            string
	Place, Earlier string // file and page of each
}

// Code is CodeSameInk.
func (e *SameInkError) Code() string { return CodeSameInk }

func (e *SameInkError) Error() string {
	return fmt.Sprintf("%s: is the ink %s, and so is %s", e.Place, e.Ink, e.Earlier)
}

// An Outside is what a warning of CodeOutside is about: ink beyond the length that
// the press prints.
type Outside struct {
	BeyondMM float64 // how far
	PrintMM  float64 // what the press prints, from the lead edge
}

// A PiecesResolutionError reports a resolution that is asked for a form of several
// pieces.
type PiecesResolutionError struct{}

// Code is CodePiecesResolution.
func (e *PiecesResolutionError) Code() string { return CodePiecesResolution }

func (e *PiecesResolutionError) Error() string {
	return "the form states the resolution of each of its pieces, and none is for all of them"
}
