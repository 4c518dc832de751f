package job

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// NewCurve writes a curve under a name of its own to a file that is not there yet.
// It begins as the one that is called from. An error of the name is an AskedError.
func NewCurve(name, from, path string) error {
	file, err := Load(from, CurveKind)
	if err != nil {
		return err
	}
	if _, err := curves.ParseCurve(file.Name, file.Data); err != nil {
		return err
	}
	data, err := settings.SetValue(file.Name, file.Data, settings.TOMLString(name), "name")
	if err != nil {
		return err
	}
	if _, err := curves.ParseCurve("the new curve", data); err != nil {
		return &AskedError{err}
	}
	return writeNew(Bytes(path, data))
}

// ImportCurve writes the curve of a table of points to a file that is not there
// yet. Without a name it has that of the table's file.
func ImportCurve(table, name string, shape curves.Shape, path string) error {
	var points []curves.Point
	err := ReadFile(table, func(r io.Reader) (err error) {
		points, err = preset.ReadPoints(table, r)
		return err
	})
	if err != nil {
		return err
	}
	curve := &curves.Curve{Name: settings.Printable(cmp.Or(name, strings.ToValidUTF8(coverage.Stem(table), ""))), Shape: shape, Points: points}
	data := curve.TOML()
	if _, err := curves.ParseCurve(table, data); err != nil {
		return err
	}
	return writeNew(Bytes(path, data))
}

// A CurveEdit is what became of a curve's file.
type CurveEdit struct {
	File          string
	Before, After *curves.Curve
}

// EditCurve writes a curve's own file as change makes it of its text, which is
// given with its name for errors. A curve that ships is refused by a ShippedError.
func EditCurve(called string, change func(file string, data []byte) ([]byte, error)) (*CurveEdit, error) {
	file, err := Load(called, CurveKind)
	if err != nil {
		return nil, err
	}
	if file.Shipped {
		return nil, &ShippedError{called, CodeShippedCurve}
	}
	data, err := change(file.Name, file.Data)
	if err != nil {
		return nil, err
	}
	e := &CurveEdit{File: file.Name}
	if e.After, err = curves.ParseCurve(file.Name, data); err != nil {
		return nil, err
	}
	if err := WriteFiles([]File{Bytes(file.Name, data)}); err != nil {
		return nil, err
	}
	if e.Before, err = curves.ParseCurve(file.Name, file.Data); err != nil { // it was not valid, and is now
		e.Before = e.After
	}
	return e, nil
}

// isNew refuses a path where there is something.
func isNew(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return errExists(path)
	}
	return nil
}

func errExists(path string) error {
	return fmt.Errorf("%s: already exists and is not overwritten; choose another name", path)
}

// writeNew writes a file that must not be there yet.
func writeNew(f File) error {
	if err := isNew(f.Path); err != nil {
		return err
	}
	return WriteFiles([]File{f})
}
