package coverage

import (
	"fmt"

	"bladeline/coverage/internal/raster"
)

// What is wrong with a file is one of these errors, or an InkCountError. Each
// says where: File, Page and Row, as much of it as is known.
type (
	// A FormatError reports bytes that are damaged, cut short or contradict each
	// other.
	FormatError = raster.FormatError
	// An UnsupportedError reports a file of a kind that is not read, or that is
	// not a separation.
	UnsupportedError = raster.UnsupportedError
	// A ReadError reports that the file system failed; errors.Is finds its cause,
	// as fs.ErrNotExist.
	ReadError = raster.ReadError
	// A FaultError reports a mistake of the reader's own.
	FaultError = raster.FaultError
)

// Codes of errors and warnings whose cure depends on how bladeline is used, so
// that their texts state the fact alone.
const (
	CodeInkCount = "ink-count" // an InkCountError
	CodePolarity = "polarity"  // a Warning: ink and paper may be exchanged
)

// Codes are all of them.
var Codes = []string{CodeInkCount, CodePolarity}

// An InkCountError reports that more or fewer inks were named than the file has
// separations.
type InkCountError struct {
	File        string
	Names       int // that Options gave
	Separations int // in the file
}

// Code is CodeInkCount.
func (e *InkCountError) Code() string { return CodeInkCount }

func (e *InkCountError) Error() string {
	return fmt.Sprintf("%s: %s given for the file's %s", e.File,
		plural(e.Names, "ink name is", "ink names are"), plural(e.Separations, "separation", "separations"))
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
