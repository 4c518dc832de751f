package sheet

import (
	"bytes"
	"io"
	"unicode/utf16"
)

// producer is what a sheet's document information names as its producer, and by
// which it is known again.
const producer = "bladeline"

// informedBytes is how far from a PDF's end its document information is looked for:
// behind it stands the table of the objects' places, 20 bytes each.
const informedBytes = 64 << 10

// IsSheet tells whether a file of size bytes is a PDF that WritePDF wrote. What cannot
// be read is none.
func IsSheet(r io.ReaderAt, size int64) bool {
	tail := make([]byte, min(size, informedBytes))
	if _, err := r.ReadAt(tail, size-int64(len(tail))); err != nil && err != io.EOF {
		return false
	}
	return bytes.Contains(tail, producerEntry())
}

// producerEntry is the entry as it stands in the file: in UTF-16, big end first, behind
// its byte order mark (ISO 32000-1, 7.9.2.2), as no form is marked that testform draws.
func producerEntry() []byte {
	entry := []byte("/Producer (\xfe\xff")
	for _, unit := range utf16.Encode([]rune(producer)) {
		entry = append(entry, byte(unit>>8), byte(unit))
	}
	return append(entry, ')')
}
