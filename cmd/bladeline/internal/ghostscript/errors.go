package ghostscript

import (
	"fmt"
)

// Codes of errors whose cure depends on how bladeline is used.
const (
	CodeMissing  = "no-ghostscript" // a MissingError
	CodeTooLarge = "page-too-large" // a TooLargeError
	CodeNoPage   = "no-such-page"   // a NoPageError
)

// Codes are all of them.
var Codes = []string{CodeMissing, CodeTooLarge, CodeNoPage}

// A MissingError reports that no Ghostscript can be run; where Path is one, it
// is too old or does not run.
type MissingError struct{ Path, Version string }

// Code is CodeMissing.
func (e *MissingError) Code() string { return CodeMissing }

func (e *MissingError) Error() string {
	switch {
	case e.Path == "":
		return "Ghostscript, which reads PDF and PostScript, is not in the path"
	case e.Version == "":
		return e.Path + ": does not run"
	}
	return fmt.Sprintf("%s: Ghostscript %s is too old, it must be %.2f or newer", e.Path, e.Version, oldest)
}

// A TooLargeError reports a page of more pixels than are separated.
type TooLargeError struct {
	File              string
	Page              int
	WidthMM, HeightMM float64
	DPIX, DPIY        float64
	Most              float64 // px
}

// Code is CodeTooLarge.
func (e *TooLargeError) Code() string { return CodeTooLarge }

func (e *TooLargeError) Error() string {
	at := dpi(e.DPIX)
	if e.DPIX != e.DPIY {
		at += "x" + dpi(e.DPIY)
	}
	return fmt.Sprintf("%s: page %d is %.0f x %.0f mm, at %s dpi more than %.0f million px a plate",
		e.File, e.Page, e.WidthMM, e.HeightMM, at, e.Most/1e6)
}

// A NoPageError reports that a page was asked for that is not there.
type NoPageError struct {
	File        string
	Page, Pages int
}

// Code is CodeNoPage.
func (e *NoPageError) Code() string { return CodeNoPage }

func (e *NoPageError) Error() string {
	if e.Pages == 1 {
		return fmt.Sprintf("%s: has no page %d, but one alone", e.File, e.Page)
	}
	return fmt.Sprintf("%s: has no page %d, but %d", e.File, e.Page, e.Pages)
}

// A NoRoomError reports that there is no room for what Ghostscript draws: no fault of
// the file, which may well be separated when there is.
type NoRoomError struct{ File string }

func (e *NoRoomError) Error() string {
	return "no space left on device for what Ghostscript draws of " + e.File
}

// A RefusedError reports a file that Ghostscript does not make pages of.
type RefusedError struct{ File, What, Do string }

func (e *RefusedError) Error() string { return e.File + ": " + e.What + "; " + e.Do }
