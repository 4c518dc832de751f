// Package bilevel writes separations of 1 bit a pixel, row by row: as TIFF in
// Group 4, as a page of PDF, or as PNG. A row is given as its run ends, as
// coverage reads them: bare paper up to ends[0], ink up to ends[1], and so on;
// behind the last it goes on as it was. No picture is held.
package bilevel

import (
	"errors"
	"fmt"
	"math"
)

// A Picture is what is written.
type Picture struct {
	Width, Height int                               // px, above 0
	DPI           float64                           // both ways; a whole number of pixels a metre in PNG
	Description   string                            // that the file states; may be empty
	Row           func(y int, ends []int32) []int32 // appends the strictly rising run ends of row y, from the top
}

// The largest that either format holds of a picture, in px a side, and in
// pixels an inch.
const (
	mostPX  = 1 << 24
	mostDPI = 100_000
)

func (p *Picture) check() error {
	switch {
	case p == nil || p.Row == nil:
		return errors.New("there is no picture to write; give one")
	case p.Width < 1 || p.Height < 1 || p.Width > mostPX || p.Height > mostPX:
		return fmt.Errorf("a picture of %d x %d px cannot be written; give 1 to %d px a side", p.Width, p.Height, mostPX)
	case !(p.DPI >= 1 && p.DPI <= mostDPI):
		return fmt.Errorf("a resolution of %g dpi cannot be written; give 1 to %d", p.DPI, mostDPI)
	}
	return nil
}

const metresPerInch = 0.0254

// pixelsAMetre is the resolution in whole pixels a metre, all that PNG states.
func pixelsAMetre(dpi float64) int { return int(math.Round(dpi / metresPerInch)) }

// DPIOfPNG is the resolution nearest to dpi that PNG states.
func DPIOfPNG(dpi float64) float64 { return float64(pixelsAMetre(dpi)) * metresPerInch }
