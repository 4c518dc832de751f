package rastertest

import (
	"bytes"
	"io"

	"bladeline/coverage/internal/raster/fax"
)

const (
	lzwClear = 256
	lzwEnd   = 257
	lzwFirst = 258  // the first entry of an empty table
	lzwLast  = 4094 // the entry after which the table is cleared
)

// An LZWEncoder codes bytes as TIFF 6.0, section 13, has it: most significant
// bit first, and codes growing one entry early.
type LZWEncoder struct {
	w     io.Writer
	bits  fax.BitWriter
	table []uint16 // code of (string so far, next byte), 0 is none
	added []int    // filled places of the table
	code  int      // the string so far, -1 where there is none
	next  int      // the entry that the next code brings
	width uint
}

// NewLZWEncoder returns an encoder of one block, from its clear code to the
// end code that Close writes.
func NewLZWEncoder(w io.Writer) *LZWEncoder {
	e := &LZWEncoder{w: w, table: make([]uint16, 4096*256), code: -1, width: 9}
	e.clear()
	return e
}

// Write codes more of the block.
func (e *LZWEncoder) Write(data []byte) (int, error) {
	for _, c := range data {
		e.add(c)
	}
	return len(data), e.flush()
}

// Close ends the block.
func (e *LZWEncoder) Close() error {
	if e.code >= 0 {
		e.put(e.code)
	}
	e.bits.Put(lzwEnd, e.width)
	e.bits.Align(0)
	return e.flush()
}

func (e *LZWEncoder) flush() error {
	_, err := e.w.Write(e.bits.Bytes)
	e.bits.Bytes = e.bits.Bytes[:0]
	return err
}

func (e *LZWEncoder) add(c byte) {
	if e.code < 0 {
		e.code = int(c)
		return
	}
	at := e.code<<8 | int(c)
	if known := e.table[at]; known != 0 {
		e.code = int(known)
		return
	}
	e.table[at] = uint16(e.next)
	e.added = append(e.added, at)
	e.put(e.code)
	e.code = int(c)
}

// put writes a code and counts the entry that a reader gains by it.
func (e *LZWEncoder) put(code int) {
	e.bits.Put(uint32(code), e.width)
	e.next++
	switch e.next {
	case 512, 1024, 2048:
		e.width++
	case lzwLast + 1:
		e.clear()
	}
}

func (e *LZWEncoder) clear() {
	e.bits.Put(lzwClear, e.width)
	for _, at := range e.added {
		e.table[at] = 0
	}
	e.added = e.added[:0]
	e.next, e.width = lzwFirst, 9
}

// EncodeLZW returns data as one LZW block of TIFF.
func EncodeLZW(data []byte) []byte {
	var b bytes.Buffer
	e := NewLZWEncoder(&b)
	if _, err := e.Write(data); err != nil {
		panic(err)
	}
	if err := e.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}
