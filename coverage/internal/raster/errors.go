package raster

import (
	"errors"
	"fmt"
	"strings"
)

// Where is a place in a file. Zero fields are not known, or do not apply.
type Where struct {
	File string
	Page int // counted from 1
	Row  int // counted from 1
}

// String gives "FILE: page P, row R", as much of it as is known.
func (w Where) String() string {
	var at []string
	if w.Page > 0 {
		at = append(at, fmt.Sprintf("page %d", w.Page))
	}
	if w.Row > 0 {
		at = append(at, fmt.Sprintf("row %d", w.Row))
	}
	place := strings.Join(at, ", ")
	if w.File != "" && place != "" {
		return w.File + ": " + place
	}
	return w.File + place
}

func (w Where) message(what, do string) string {
	s := what
	if place := w.String(); place != "" {
		s = place + ": " + s
	}
	if do != "" {
		s += "; " + do
	}
	return s
}

// A FormatError reports a file whose bytes are damaged, cut short or contradict
// each other.
type FormatError struct {
	Where
	What string // what is wrong
	Do   string // what to do about it
	Err  error  // the cause, where a library reported one
}

func (e *FormatError) Error() string { return e.message(e.What, e.Do) }
func (e *FormatError) Unwrap() error { return e.Err }

// An UnsupportedError reports a sound file of a kind that bladeline does not
// read, or that is no separation.
type UnsupportedError struct {
	Where
	What string
	Do   string
}

func (e *UnsupportedError) Error() string { return e.message(e.What, e.Do) }

// A ReadError reports that the file system failed while a file was being read.
type ReadError struct {
	Where
	Err error
}

func (e *ReadError) Error() string { return e.message(fmt.Sprint(e.Err), "") }
func (e *ReadError) Unwrap() error { return e.Err }

// InFile writes the file's name into err, where err carries a place that still
// lacks one, and returns err.
func InFile(err error, file string) error {
	var w *Where
	var format *FormatError
	var unsupported *UnsupportedError
	var read *ReadError
	var fault *FaultError
	switch {
	case errors.As(err, &format):
		w = &format.Where
	case errors.As(err, &unsupported):
		w = &unsupported.Where
	case errors.As(err, &read):
		w = &read.Where
	case errors.As(err, &fault):
		w = &fault.Where
	default:
		return err
	}
	if w.File == "" {
		w.File = file
	}
	return err
}
