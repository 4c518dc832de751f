package bilevel

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"bladeline/coverage/internal/raster/fax"
)

// The greatest page that readers of PDF take, in points a side (ISO 32000-1, annex
// C.2), and the points of an inch.
const (
	mostPoints    = 14_400
	pointsPerInch = 72
)

// WritePDF writes a PDF (ISO 32000-1) of one page that is as large as the picture
// and holds nothing else, in Group 4. Who renders it at its resolution gets its
// pixels.
func WritePDF(w io.Writer, p *Picture) error {
	if err := p.check(); err != nil {
		return err
	}
	width, height := float64(p.Width)/p.DPI*pointsPerInch, float64(p.Height)/p.DPI*pointsPerInch
	if max(width, height) > mostPoints {
		return fmt.Errorf("a page of %.0f x %.0f mm is larger than a PDF's may be, %.0f mm a side; write it as TIFF", width/pointsPerInch*25.4, height/pointsPerInch*25.4, mostPoints/pointsPerInch*25.4)
	}
	picture, err := p.group4()
	if err != nil {
		return err
	}
	content := fmt.Sprintf("q %.6f 0 0 %.6f 0 0 cm /P Do Q", width, height)
	f := &pdfFile{}
	f.WriteString("%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
	f.object("<< /Type /Catalog /Pages 2 0 R >>", nil)
	f.object("<< /Type /Pages /Kids [3 0 R] /Count 1 >>", nil)
	f.object(fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %.6f %.6f] /Resources << /XObject << /P 5 0 R >> >> /Contents 4 0 R >>", width, height), nil)
	f.object("<< /Length %d >>", []byte(content))
	f.object(fmt.Sprintf("<< /Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /DeviceGray /BitsPerComponent 1 /Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns %d /Rows %d >> /Length %%d >>",
		p.Width, p.Height, p.Width, p.Height), picture)
	f.object(fmt.Sprintf("<< /Title %s /Producer (bladeline) >>", pdfText(p.Description)), nil)
	f.end()
	_, err = w.Write(f.Bytes())
	return err
}

// group4 is the whole picture in one block.
func (p *Picture) group4() ([]byte, error) {
	var b bytes.Buffer
	var ends []int32
	e := fax.NewG4Encoder(&b, p.Width)
	for y := range p.Height {
		ends = p.Row(y, ends[:0])
		e.Row(ends)
	}
	err := e.Close()
	return b.Bytes(), err
}

// pdfFile is a file in the making, with where its objects begin.
type pdfFile struct {
	bytes.Buffer
	at []int
}

// object adds the next object, and its stream where it has one, whose length goes
// into the dictionary.
func (f *pdfFile) object(dictionary string, stream []byte) {
	f.at = append(f.at, f.Len())
	if stream == nil {
		fmt.Fprintf(f, "%d 0 obj\n%s\nendobj\n", len(f.at), dictionary)
		return
	}
	fmt.Fprintf(f, "%d 0 obj\n"+dictionary+"\nstream\n", len(f.at), len(stream))
	f.Write(stream)
	f.WriteString("\nendstream\nendobj\n")
}

// end adds the table of the objects, the last of which is the information on the
// file.
func (f *pdfFile) end() {
	table := f.Len()
	fmt.Fprintf(f, "xref\n0 %d\n0000000000 65535 f \n", len(f.at)+1)
	for _, at := range f.at {
		fmt.Fprintf(f, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(f, "trailer\n<< /Size %d /Root 1 0 R /Info %d 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(f.at)+1, len(f.at), table)
}

// pdfText is a text string in UTF-16 (ISO 32000-1, 7.9.2.2), in hexadecimals.
func pdfText(s string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, unit := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", unit)
	}
	return b.String() + ">"
}
