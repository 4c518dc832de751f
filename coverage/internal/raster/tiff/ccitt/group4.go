package ccitt

import "io"

// Group4 decodes rows of ITU-T T.6.
type Group4 struct{ rows }

// Reset starts a strip of rows that are width pixels wide; its reference line
// is white.
func (g *Group4) Reset(src io.Reader, width int) { g.reset(src, width) }

// Row decodes one row and returns its black runs as pairs of start and end in
// pixels, strictly rising. The slice is valid until the next call.
func (g *Group4) Row() ([]int32, error) { return g.finish(g.coded()) }
