package ghostscript

import (
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"slices"
)

const (
	tagInkNames = 333 // TIFF 6.0, section 16
	typeASCII   = 2
	entryBytes  = 12
)

type byteOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// writeInkName adds to a TIFF of one ink the ink's name, which file names cannot
// always hold. A directory with the name is put behind all that is there.
func writeInkName(path, ink string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	order, entries, err := readDirectory(f)
	if err != nil {
		return err
	}
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	text := append([]byte(ink), 0)
	text = append(text, make([]byte, 4+len(text)%2)...) // at least 4, and an even number
	length := len(ink) + 1
	start := end + end%2
	if start+int64(len(text)+entryBytes*(len(entries)+2)) > 1<<32-1 {
		return fmt.Errorf("%s: is too large for a TIFF", path)
	}
	entry := make([]byte, entryBytes)
	order.PutUint16(entry, tagInkNames)
	order.PutUint16(entry[2:], typeASCII)
	order.PutUint32(entry[4:], uint32(length))
	order.PutUint32(entry[8:], uint32(start))
	if length <= 4 { // stands in the entry itself
		copy(entry[8:], text[:4])
	}
	at := slices.IndexFunc(entries, func(e []byte) bool { return order.Uint16(e) > tagInkNames })
	if at < 0 {
		at = len(entries)
	}
	return replaceDirectory(f, order, start, text, slices.Insert(entries, at, entry))
}

// readDirectory reads the entries of a TIFF's first directory.
func readDirectory(f *os.File) (order byteOrder, entries [][]byte, err error) {
	head := make([]byte, 8)
	if _, err := f.ReadAt(head, 0); err != nil {
		return nil, nil, err
	}
	switch string(head[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return nil, nil, fmt.Errorf("%s: is no TIFF", f.Name())
	}
	at := int64(order.Uint32(head[4:]))
	count := make([]byte, 2)
	if _, err := f.ReadAt(count, at); err != nil {
		return nil, nil, err
	}
	all := make([]byte, entryBytes*int(order.Uint16(count)))
	if _, err := f.ReadAt(all, at+2); err != nil {
		return nil, nil, err
	}
	return order, slices.Collect(slices.Chunk(all, entryBytes)), nil
}

// replaceDirectory writes a text and a directory behind it to a place, and has the
// TIFF begin with that directory.
func replaceDirectory(f *os.File, order byteOrder, at int64, text []byte, entries [][]byte) error {
	b := order.AppendUint16(slices.Clone(text), uint16(len(entries)))
	for _, e := range entries {
		b = append(b, e...)
	}
	b = order.AppendUint32(b, 0) // no further directory
	if _, err := f.WriteAt(b, at); err != nil {
		return err
	}
	head := make([]byte, 4)
	order.PutUint32(head, uint32(at+int64(len(text))))
	_, err := f.WriteAt(head, 4)
	return err
}
