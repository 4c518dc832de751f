package png

import (
	"fmt"

	"bladeline/coverage/internal/raster"
)

// An order holds chunks to where they may stand: section 5.6 of the
// specification, table 7. The chunks that say what the samples are or how large,
// and those that must be understood, stand once and in their places.
//
// Other chunks are not read, and change no number. That one of them stands twice
// or elsewhere than the table has it is let through: libpng warns and goes on,
// and there are writers that put gAMA, cHRM and sRGB behind PLTE. What follows
// IEND is no part of the picture, and is not looked at.
type order struct {
	seen  map[string]bool // of the chunks that are read
	image bool            // the image data are behind
}

// place refuses a chunk that cannot stand where it does.
func (o *order) place(kind string) error {
	first := len(o.seen) == 0
	switch {
	case !isName(kind):
		return fmt.Errorf("%w: its type is %q", errChunk, kind)
	case first != (kind == "IHDR"):
		return fmt.Errorf("%w: %q comes where the header or a later chunk is expected", errChunk, kind)
	}
	switch kind {
	case "IHDR", "PLTE", "tRNS", "pHYs":
		switch {
		case o.seen[kind]:
			return fmt.Errorf("%w: there is a second %s", errChunk, kind)
		case o.image:
			return fmt.Errorf("%w: %s comes after the image data", errChunk, kind)
		case kind == "PLTE" && o.seen["tRNS"]:
			return fmt.Errorf("%w: PLTE comes after tRNS", errChunk)
		}
		o.seen[kind] = true
	case "IDAT":
		if o.image {
			return fmt.Errorf("%w: the image data are in two places", errChunk)
		}
		o.image = true
	case "IEND":
		if !o.image {
			return fmt.Errorf("%w: IEND comes before any image data", errChunk)
		}
	default:
		if critical := kind[0]&0x20 == 0; critical {
			return &raster.UnsupportedError{What: fmt.Sprintf("the PNG has a chunk %q that must be understood and is not known", kind), Do: exportAgain}
		}
	}
	return nil
}

// isName tells if four bytes are letters, as section 5.3 wants them.
func isName(kind string) bool {
	for _, c := range []byte(kind) {
		if c |= 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return true
}
