package png

import (
	"errors"
	"fmt"
	"io"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/inflate"
)

// rowsBytes is about how many bytes of rows are handed over at once.
const rowsBytes = 256 << 10

type decoder struct {
	file  *file
	pixel int    // bytes a filter looks back: a pixel's, at least 1
	lines []byte // filtered rows as inflated, each behind its filter byte
	rows  []byte // unfiltered rows, the last of the batch before first
}

// NewDecoder returns a decoder for one goroutine.
func (f *file) NewDecoder() raster.Decoder {
	rowBytes := f.header.RowBytes(f.header.Width)
	batch := min(max(1, rowsBytes/rowBytes), f.header.Height)
	if batch > 16 { // whole batches of the counters
		batch -= batch % 16
	}
	return &decoder{
		file:  f,
		pixel: max(1, f.header.Bits*f.header.Samples/8),
		lines: make([]byte, batch*(rowBytes+1)),
		rows:  make([]byte, (batch+1)*rowBytes),
	}
}

// DecoderBytes is what the rows take, filtered and unfiltered.
func (f *file) DecoderBytes() int { return 2 * max(rowsBytes, f.header.RowBytes(f.header.Width)) }

// Decode decodes the picture and reads the file to its end, so that every
// check it carries is made.
func (d *decoder) Decode(_ int, to raster.Sink) error {
	f := d.file
	chunks := newChunkReader(io.NewSectionReader(f.r, f.image, f.size-f.image))
	if err := chunks.next(); err != nil {
		return failed(0, err)
	}
	if err := d.decodeImage(imageData{chunks}, to); err != nil {
		return err
	}
	if err := chunks.rest(order{seen: f.seen, image: true}); err != nil {
		return failed(-1, err)
	}
	return nil
}

// decodeImage decodes the image data, inflating them ahead.
func (d *decoder) decodeImage(stored imageData, to raster.Sink) error {
	var data inflate.Reader
	data.Reset(stored)
	defer data.Ahead()()
	return d.decodePasses(&data, to)
}

// decodePasses decodes the picture and reads the image data to their end.
func (d *decoder) decodePasses(data *inflate.Reader, to raster.Sink) error {
	f := d.file
	for _, p := range f.passes {
		if err := d.decodePass(p, data, to); err != nil {
			return err
		}
	}
	if err := checkEnd(data); err != nil {
		return failed(f.header.Height-1, err)
	}
	return nil
}

var errSurplus = errors.New("there are more of them than the picture takes")

// maxBehind is how many bytes may stand in the last IDAT chunk behind the zlib
// stream: the streaming writer of the Rust library image-rs/image-png put one
// too many there until 2021 (its pull request 278). libpng warns of any.
const maxBehind = 1

// checkEnd wants the stream to end behind the last row, as its checksum then
// shows, and the image data behind the stream. libpng takes what is more with a
// warning; here it shows that the picture is of another size.
func checkEnd(data *inflate.Reader) error {
	var more [1]byte
	n, err := io.ReadFull(data, more[:])
	if n > 0 {
		return errSurplus
	}
	if !errors.Is(err, io.EOF) {
		return err
	}
	behind, err := data.Behind(maxBehind + 1)
	if behind > maxBehind {
		return errSurplus
	}
	return err
}

// decodePass inflates, unfilters and hands over the rows of a pass, a batch at
// a time.
func (d *decoder) decodePass(p pass, data io.Reader, to raster.Sink) error {
	rowBytes := d.file.header.RowBytes(p.width)
	clear(d.rows[:rowBytes])
	for y := 0; y < p.height; {
		batch := min(len(d.lines)/(rowBytes+1), len(d.rows)/rowBytes-1, p.height-y)
		n, err := io.ReadFull(data, d.lines[:batch*(rowBytes+1)])
		if err != nil {
			return failed(p.y+(y+n/(rowBytes+1))*p.down, err)
		}
		for i := range batch {
			line := d.lines[i*(rowBytes+1):][:rowBytes+1]
			above, row := d.rows[i*rowBytes:][:rowBytes], d.rows[(i+1)*rowBytes:][:rowBytes]
			copy(row, line[1:])
			if err := unfilter(line[0], row, above, d.pixel); err != nil {
				return failed(p.y+(y+i)*p.down, err)
			}
		}
		if err := d.hand(p, y, d.rows[rowBytes:(batch+1)*rowBytes], rowBytes, to); err != nil {
			return err
		}
		copy(d.rows[:rowBytes], d.rows[batch*rowBytes:])
		y += batch
	}
	return nil
}

// hand hands over rows of a pass from row y on: one by one where rows of other
// passes lie between them.
func (d *decoder) hand(p pass, y int, rows []byte, rowBytes int, to raster.Sink) error {
	b := raster.Block{X: p.x, Y: p.y + y*p.down, W: p.width, H: len(rows) / rowBytes, Step: p.across, Samples: d.file.header.Samples}
	if p.down == 1 {
		return to.Packed(b, rows, rowBytes)
	}
	b.H = 1
	for ; len(rows) > 0; rows = rows[rowBytes:] {
		if err := to.Packed(b, rows[:rowBytes], rowBytes); err != nil {
			return err
		}
		b.Y += p.down
	}
	return nil
}

var errFilter = errors.New("a row filter that does not exist")

// unfilter undoes a row's filter in place: section 9.2 of the specification.
func unfilter(filter byte, row, above []byte, pixel int) error {
	switch filter {
	case 0:
	case 1:
		for i := pixel; i < len(row); i++ {
			row[i] += row[i-pixel]
		}
	case 2:
		for i := range row {
			row[i] += above[i]
		}
	case 3:
		for i := range min(pixel, len(row)) {
			row[i] += above[i] / 2
		}
		for i := pixel; i < len(row); i++ {
			row[i] += byte((int(row[i-pixel]) + int(above[i])) / 2)
		}
	case 4:
		for i := range min(pixel, len(row)) {
			row[i] += above[i]
		}
		for i := pixel; i < len(row); i++ {
			row[i] += paeth(row[i-pixel], above[i], above[i-pixel])
		}
	default:
		return fmt.Errorf("%w: %d", errFilter, filter)
	}
	return nil
}

// paeth predicts from the neighbour nearest to left + up - corner: section 9.4.
func paeth(left, up, corner byte) byte {
	a, b, c := int(left), int(up), int(corner)
	toLeft, toUp, toCorner := abs(b-c), abs(a-c), abs(a+b-2*c)
	switch {
	case toLeft <= toUp && toLeft <= toCorner:
		return left
	case toUp <= toCorner:
		return up
	}
	return corner
}

func abs(v int) int { return max(v, -v) }

// isDamage tells what the format's own checks found from a failure of the
// file system.
func isDamage(err error) bool {
	for _, damage := range []error{errChunk, errFilter, errSurplus, inflate.ErrHeader, inflate.ErrData, inflate.ErrChecksum} {
		if errors.Is(err, damage) {
			return true
		}
	}
	return false
}
