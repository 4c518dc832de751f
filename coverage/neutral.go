package coverage

import (
	"fmt"

	"bladeline/coverage/raster"
)

// neutral is a sink that takes an RGB picture for the gray one it may be: it
// hands on one sample of every pixel and refuses the first pixel that has a
// colour.
type neutral struct {
	header *raster.Header // of the RGB picture
	to     raster.Sink
	gray   []byte
}

// grayHeader is the header of the gray picture inside.
func grayHeader(h *raster.Header) *raster.Header {
	g := *h
	g.Model, g.Samples = raster.Gray, 1
	g.InkLow = true // in RGB, 0 is dark
	return &g
}

// Packed hands on the rows as gray.
func (n *neutral) Packed(b raster.Block, data []byte, stride int) error {
	size := n.header.Bits / 8
	for ; b.H > 0; b.Y, b.H = b.Y+1, b.H-1 {
		n.gray = n.gray[:0]
		for x := range b.W {
			pixel := data[3*x*size:][:3*size]
			red, green, blue := pixel[:size], pixel[size:2*size], pixel[2*size:]
			if string(red) != string(green) || string(green) != string(blue) {
				return n.coloured(b.X+x, b.Y, pixel)
			}
			n.gray = append(n.gray, red...)
		}
		if err := n.to.Packed(raster.Block{X: b.X, Y: b.Y, W: b.W, H: 1}, n.gray, len(n.gray)); err != nil {
			return err
		}
		if b.H > 1 {
			data = data[stride:]
		}
	}
	return nil
}

// Runs is never called: an RGB picture has no runs.
func (n *neutral) Runs(y int, _ []int32) error {
	return &raster.FormatError{Where: raster.Where{Page: n.header.Page, Row: y + 1}, What: "runs in a picture of three samples"}
}

func (n *neutral) coloured(x, y int, pixel []byte) error {
	return &raster.UnsupportedError{
		Where: raster.Where{Page: n.header.Page, Row: y + 1},
		What:  fmt.Sprintf("an RGB picture is no separation: pixel %d of the row has the colour #%x", x+1, pixel),
		Do:    "export each ink as gray, or all of them as CMYK",
	}
}
