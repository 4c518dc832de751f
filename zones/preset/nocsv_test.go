package preset

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is no CSV at all is told by what it is, where its first bytes say so.
func TestNoCSV(t *testing.T) {
	noise := make([]byte, 4096)
	for i, random := 0, rand.New(rand.NewPCG(1, 2)); i < len(noise); i++ {
		noise[i] = byte(random.Uint32())
	}
	noise[0] = 0xfd // the first byte of no kind of file
	for text, want := range map[string]string{
		"PK\x03\x04\x14\x00\x06\x00\xff":   "this is no CSV file, but a spreadsheet (.xlsx, .ods) or a ZIP archive; open it there and save it as CSV in UTF-8",
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1": "this is no CSV file, but a spreadsheet (.xls); open it there and save it as CSV in UTF-8",
		"%PDF-1.3\n":                       "this is no CSV file, but a PDF; name a CSV file",
		"%!PS-Adobe-3.0\n":                 "this is no CSV file, but PostScript; name a CSV file",
		"\x89PNG\r\n\x1a\n":                "this is no CSV file, but a PNG; name a CSV file",
		"II*\x00\x08\x00\x00\x00":          "this is no CSV file, but a TIFF; name a CSV file",
		"MM\x00*\x00\x00\x00\x08":          "this is no CSV file, but a TIFF; name a CSV file",
		"\x1f\x8b\x08":                     "this is no CSV file, but compressed by gzip; unpack it",
		string(noise):                      "this is no CSV file, nor any text; check that this is the file you meant",
		"ink;zone\nBl\xfcte;1\n":           "row 1: the text is not UTF-8; save it as CSV in UTF-8", // Windows-1252
	} {
		_, err := openTable("d.csv", strings.NewReader(text), presetTable)
		require.Error(t, err)
		assert.EqualError(t, err, "d.csv: "+want)
	}
}
