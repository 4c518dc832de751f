package ghostscript

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// screenSide is the side in px of the piece of screen that is repeated. It has
// eight dots, at 45° and 8/√2 = 5.66 px from one another, which grow in turns, so
// that it shows 256 tints: that of 8 bits to the nearest, where Ghostscript's own
// screen of 32 px a dot at 600 dpi takes away up to a third of a light tint.
const screenSide = 16

// dots are the centres, in the turns in which they grow: neighbours far apart.
var dots = [][2]float64{{0, 0}, {8, 8}, {12, 4}, {4, 12}, {8, 0}, {0, 8}, {4, 4}, {12, 12}}

// screenSetup is PostScript that has every page screened so. Ghostscript's own
// transfer curve, which lightens tints for printers, is taken off.
func screenSetup() string {
	return fmt.Sprintf(`<</Install {<</HalftoneType 3 /Width %d /Height %d /Thresholds <%s>>> sethalftone {} {} {} {} setcolortransfer}>> setpagedevice`,
		screenSide, screenSide, thresholds())
}

// thresholds are, row by row in hexadecimal, the paper of a pixel's tint, 1 to
// 255, below which it prints (PLRM 7.4.5: threshold halftones).
func thresholds() string {
	type pixel struct {
		at          int
		far         float64 // from the dot that it is part of
		dy, dx, dot float64
	}
	var pixels []pixel
	for at := range screenSide * screenSide {
		best := pixel{at: at, far: math.Inf(1)}
		for i, d := range dots {
			// Off the middle of the pixel, so that few are equally far.
			dx := around(float64(at%screenSide) + 0.5 - d[0])
			dy := around(float64(at/screenSide) + 0.25 - d[1])
			if far := dx*dx + dy*dy; far < best.far {
				best.far, best.dx, best.dy, best.dot = far, dx, dy, float64(i)
			}
		}
		pixels = append(pixels, best)
	}
	slices.SortFunc(pixels, func(a, b pixel) int {
		return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.dy, b.dy), cmp.Compare(a.dx, b.dx), cmp.Compare(a.dot, b.dot))
	})
	paper := make([]int, len(pixels))
	for rank, p := range pixels {
		paper[p.at] = min(255, len(pixels)-rank)
	}
	var hex strings.Builder
	for _, v := range paper {
		fmt.Fprintf(&hex, "%02x", v)
	}
	return hex.String()
}

// around is a distance on the repeated piece, from -8 to below 8 px.
func around(d float64) float64 {
	return math.Mod(d+screenSide*3/2, screenSide) - screenSide/2
}
