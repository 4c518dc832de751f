package ccitt

import "io"

// Huffman decodes rows of Modified Huffman, TIFF's compression 2: rows of
// one-dimensional codes without EOL, each on a byte of its own (TIFF 6.0,
// section 10). What fills a row's last byte has no meaning.
type Huffman struct{ rows }

// Reset starts a strip of rows that are width pixels wide.
func (h *Huffman) Reset(src io.Reader, width int) { h.reset(src, width) }

// Row decodes one row and returns its black runs as pairs of start and end in
// pixels, strictly rising. The slice is valid until the next call.
func (h *Huffman) Row() ([]int32, error) {
	h.skip(h.n & 7) // whole bytes were read
	return h.finish(h.plain())
}
