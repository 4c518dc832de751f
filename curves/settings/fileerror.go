package settings

import "errors"

// A FileError reports what is wrong in a text file, where, and what to do. Its
// message is a single line.
type FileError struct {
	File  string
	Place string // line and column, key, or row; may be empty
	What  string
	Do    string // may be empty
}

func (e *FileError) Error() string {
	s := e.What
	if e.Place != "" {
		s = short(e.Place, mostPlace) + ": " + s
	}
	if e.File != "" {
		s = e.File + ": " + s
	}
	if e.Do != "" {
		s += "; " + e.Do
	}
	return OneLine(s)
}

// InFile writes the file's name into a FileError and puts the table in front
// of its place, and returns err.
func InFile(err error, file, table string) error {
	if e, ok := errors.AsType[*FileError](err); ok {
		e.File = file
		e.Place = table + e.Place
	}
	return err
}
