// Package raster says what a separation is (Header) and how its ink arrives:
// as packed rows of samples or as runs, part by part, into a Sink.
//
// It knows none of the file formats; each format is a package below it that
// returns Pages. Nothing here allocates an image: a Decoder hands rows over
// and takes their memory back as soon as the Sink returns.
package raster

import (
	"fmt"
	"math"
)

// Model is how the samples of a pixel are to be understood.
type Model int

const (
	Gray      Model = iota // one sample, the tone
	Separated              // one sample an ink
	RGB                    // three samples; a separation only where every pixel is neutral
	Palette                // one sample, an index; a separation only where every entry used is neutral
)

// String names the model as an operator would.
func (m Model) String() string {
	return [...]string{"gray", "separated", "RGB", "palette"}[m]
}

// Alpha is what the last sample of a pixel says of how much of it is there;
// the rest is bare paper.
type Alpha int

const (
	Opaque        Alpha = iota // no sample says anything of the kind
	Straight                   // the other samples are as they are where all is there
	Premultiplied              // the other samples are already multiplied by it
)

// A Header describes one page of a file as it is stored.
type Header struct {
	Page    int   // counted from 1
	Width   int   // pixels in a stored row
	Height  int   // stored rows
	Bits    int   // a sample: 1, 2, 4, 8 or 16
	Samples int   // samples a pixel, one of alpha included
	Model   Model // what the samples mean
	Alpha   Alpha // what the last of them means

	// InkLow is set where the low sample value is ink: TIFF BlackIsZero, PNG.
	InkLow bool
	// LittleEndian is set where 16-bit samples are stored low byte first.
	LittleEndian bool
	// Orientation is TIFF's, 1 to 8: which corner of the page the first
	// stored pixel shows. 1 is top left.
	Orientation int
	// DPIX and DPIY are the resolution along stored rows and columns in
	// pixels an inch, 0 where the file states none.
	DPIX, DPIY float64
	// Colours are the entries of a palette: red, green, blue and alpha, which
	// is 0xffff where an entry is opaque, each of 16 bits.
	Colours [][4]uint16
	// Clear holds the sample values of the one gray or RGB colour that is bare
	// paper; nil where there is none.
	Clear []uint16
	// Inks holds one name a sample; nil where the file names none.
	Inks []string
	// Title is the page's own name (TIFF PageName), often empty.
	Title string
}

// Full is the sample value of full ink or full light: 2^Bits - 1.
func (h *Header) Full() uint64 { return 1<<h.Bits - 1 }

// RowBytes is the length of w packed pixels, rounded up to whole bytes.
func (h *Header) RowBytes(w int) int { return h.PackedBytes(w * h.Samples) }

// PackedBytes is the length of n packed samples, rounded up to whole bytes.
func (h *Header) PackedBytes(n int) int { return (n*h.Bits + 7) / 8 }

// Area is how many samples the page has. Sizes are multiplied as int64, which
// holds what a header may claim on every processor.
func (h *Header) Area() int64 { return int64(h.Width) * int64(h.Height) * int64(h.Samples) }

// Sums is how many pixel columns and rows all samples have together.
func (h *Header) Sums() int64 { return (int64(h.Width) + int64(h.Height)) * int64(h.Samples) }

// Int is a number of a file as an int, the greatest int of one that is greater
// still: cut to fewer bits it would be another number.
func Int(v int64) int { return int(min(v, math.MaxInt)) }

// Limits on what a header may claim, so that memory stays bounded whatever a
// file says. 2^20 pixels are more than 10 m at 2540 dpi; 2^21 sums hold twelve
// inks of the largest plates at that resolution.
const (
	MaxSide = 1 << 20 // px
	MaxSums = 1 << 21 // pixel columns and rows of all samples
	MaxArea = 1 << 38 // samples; nine of those plates in four inks
)

// Check refuses a header that claims a picture without area or beyond the
// limits; decoders may allocate a row of a header that passed.
func (h *Header) Check() error {
	at := Where{Page: h.Page}
	switch {
	case h.Width < 1 || h.Height < 1:
		return &FormatError{Where: at, What: fmt.Sprintf("the picture is %d × %d pixels and has no area", h.Width, h.Height), Do: "export the file again"}
	case h.Width > MaxSide || h.Height > MaxSide:
		return &UnsupportedError{Where: at, What: fmt.Sprintf("the picture is %d × %d pixels, more than %d on a side", h.Width, h.Height, MaxSide), Do: "export it at a lower resolution"}
	case h.Sums() > MaxSums || h.Area() > MaxArea:
		return &UnsupportedError{Where: at, What: fmt.Sprintf("%d × %d pixels of %d samples are more than can be held at once", h.Width, h.Height, h.Samples), Do: "export it at a lower resolution, or one file per ink"}
	}
	return nil
}

// A Block is a rectangle of stored pixels: a strip, a tile, or some rows of
// one.
type Block struct {
	X, Y, W, H int
	// Step is the distance in px between its columns: 1, or more in a pass of
	// an interlaced picture, which is handed over row by row.
	Step int
	// Sample is the first sample of a pixel that it holds, Samples how many,
	// interleaved: all of them, or one where each has a plane of its own.
	Sample, Samples int
}

// A File is read page by page; at most one page is in use at a time.
type File interface {
	// Next returns the next page that may be a separation, io.EOF after the
	// last. Reduced copies of other pages (thumbnails) are passed over.
	Next() (Page, error)
}

// A Page is one picture of a file, cut into parts that decode independently:
// strips, tiles, or the whole where the format allows no less.
type Page interface {
	Header() *Header
	// Parts counts the parts; they are ordered top to bottom.
	Parts() int
	// Part is the area that part i covers.
	Part(i int) Block
	// NewDecoder returns a decoder with buffers of its own, for one goroutine.
	NewDecoder() Decoder
	// DecoderBytes is about the most memory that a decoder takes.
	DecoderBytes() int
}

// A Decoder decodes parts of one page, any part in any order.
type Decoder interface {
	// Decode hands every row of the part to the sink, top to bottom. It
	// returns a *FormatError for data that is damaged or ends early; rows
	// already handed over are then worthless.
	Decode(part int, to Sink) error
}

// A Sink takes the ink of a page as a decoder finds it. A sink belongs to one
// goroutine and must not keep the slices it is given.
type Sink interface {
	// Packed takes b.H rows of b.W pixels of b.Samples samples, as stored, most
	// significant bit first; row i starts at data[i*stride]. Bits beyond the
	// last pixel of a row have no meaning.
	Packed(b Block, data []byte, stride int) error
	// Runs takes one row of one bilevel sample, b.H being 1, as the ends of its
	// runs of ones: pairs of the first pixel of a run and the first behind it,
	// strictly rising, in px from b.X.
	Runs(b Block, ends []int32) error
}
