package png

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"

	"bladeline/coverage/internal/raster"
)

// A chunkReader walks a PNG's chunks: length, type, data, CRC (PNG
// specification, third edition, section 5.3). Every chunk's CRC is checked.
type chunkReader struct {
	src  *bufio.Reader
	sum  hash.Hash32
	kind string
	left int64 // data bytes of the chunk that are not yet read
}

func newChunkReader(r io.Reader) *chunkReader {
	return &chunkReader{src: bufio.NewReaderSize(r, 64<<10), sum: crc32.NewIEEE()}
}

// next goes to the following chunk; the data of the one before must be read.
func (c *chunkReader) next() error {
	var head [8]byte
	if _, err := io.ReadFull(c.src, head[:]); err != nil {
		return early(err)
	}
	length := binary.BigEndian.Uint32(head[:])
	if length > 1<<31-1 {
		return fmt.Errorf("%w: a chunk of %d bytes", errChunk, length)
	}
	c.kind, c.left = string(head[4:]), int64(length)
	c.sum.Reset()
	c.sum.Write(head[4:])
	return nil
}

// data returns the whole data of the chunk, which must not be longer than most.
func (c *chunkReader) data(most int64) ([]byte, error) {
	if c.left > most {
		return nil, fmt.Errorf("%w: %s has %d bytes", errChunk, c.kind, c.left)
	}
	b := make([]byte, c.left)
	if _, err := io.ReadFull(c, b); err != nil {
		return nil, early(err)
	}
	return b, c.finish()
}

// sized returns the data of a chunk that has n bytes.
func (c *chunkReader) sized(n int64) ([]byte, error) {
	if c.left != n {
		return nil, fmt.Errorf("%w: %s has %d bytes", errChunk, c.kind, c.left)
	}
	return c.data(n)
}

// skip passes over the data of the chunk.
func (c *chunkReader) skip() error {
	if _, err := io.Copy(io.Discard, c); err != nil {
		return early(err)
	}
	return c.finish()
}

// Read reads data of the current chunk, io.EOF at their end.
func (c *chunkReader) Read(p []byte) (int, error) {
	if c.left == 0 {
		return 0, io.EOF
	}
	n, err := c.src.Read(p[:min(int64(len(p)), c.left)])
	c.sum.Write(p[:n])
	c.left -= int64(n)
	return n, early(err)
}

// finish checks the CRC behind the data.
func (c *chunkReader) finish() error {
	var stored [4]byte
	if _, err := io.ReadFull(c.src, stored[:]); err != nil {
		return early(err)
	}
	if binary.BigEndian.Uint32(stored[:]) != c.sum.Sum32() {
		return fmt.Errorf("%w: the CRC of a %q chunk does not match its data", errChunk, c.kind)
	}
	return nil
}

var errChunk = errors.New("damaged chunk")

func early(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

// An imageData reads the data of all IDAT chunks, which follow each other, as
// one stream.
type imageData struct{ *chunkReader }

func (d imageData) Read(p []byte) (int, error) {
	for d.left == 0 {
		if d.kind != "IDAT" {
			return 0, io.EOF
		}
		if err := d.finish(); err != nil {
			return 0, err
		}
		if err := d.next(); err != nil {
			return 0, err
		}
		if d.kind != "IDAT" {
			return 0, io.EOF
		}
	}
	if d.kind != "IDAT" {
		return 0, io.EOF
	}
	return d.chunkReader.Read(p)
}

// rest reads from behind the image data to the end of the file.
func (c *chunkReader) rest(o order) error {
	for {
		if err := o.place(c.kind); err != nil {
			return err
		}
		if c.kind == "IEND" {
			_, err := c.sized(0)
			return err
		}
		if err := c.skip(); err != nil {
			return err
		}
		if err := c.next(); err != nil {
			return err
		}
	}
}

// failed makes the error for a file, or a row counted from 0, that could not
// be read; row -1 is the file. What has its words already keeps them.
func failed(row int, err error) error {
	at := raster.Where{}
	if row >= 0 {
		at = raster.Where{Page: 1, Row: row + 1}
	}
	switch {
	case isWorded(err):
		return err
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return &raster.FormatError{Where: at, What: "the file ends early", Do: exportAgain, Err: err}
	case isDamage(err):
		return &raster.FormatError{Where: at, What: "the data are damaged: " + err.Error(), Do: exportAgain, Err: err}
	default:
		return &raster.ReadError{Where: at, Err: err}
	}
}

func isWorded(err error) bool {
	_, format := errors.AsType[*raster.FormatError](err)
	_, unsupported := errors.AsType[*raster.UnsupportedError](err)
	return format || unsupported
}

const exportAgain = "copy or export the file again"
