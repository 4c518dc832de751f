package png

import "bladeline/coverage/internal/raster"

// A pass is the pixels that are stored together: all of them, or one in so many
// columns and rows of an interlaced picture.
type pass struct {
	x, y          int // the first pixel
	across, down  int // distance of columns and of rows
	width, height int // pixels stored
}

// adam7 are the passes of an interlaced picture: PNG specification, section
// 8.2.
var adam7 = []pass{
	{x: 0, y: 0, across: 8, down: 8},
	{x: 4, y: 0, across: 8, down: 8},
	{x: 0, y: 4, across: 4, down: 8},
	{x: 2, y: 0, across: 4, down: 4},
	{x: 0, y: 2, across: 2, down: 4},
	{x: 1, y: 0, across: 2, down: 2},
	{x: 0, y: 1, across: 1, down: 2},
}

// passesOf lists the passes that have pixels.
func passesOf(h *raster.Header, interlaced bool) []pass {
	all := []pass{{across: 1, down: 1}}
	if interlaced {
		all = adam7
	}
	var passes []pass
	for _, p := range all {
		p.width = (h.Width - p.x + p.across - 1) / p.across
		p.height = (h.Height - p.y + p.down - 1) / p.down
		if p.width > 0 && p.height > 0 {
			passes = append(passes, p)
		}
	}
	return passes
}
