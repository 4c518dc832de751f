package testform

import (
	"bytes"
	"io"
	"time"

	"bladeline/coverage/bilevel"

	"codeberg.org/go-pdf/fpdf"
)

// madeAt stands for the time of making, so that one form gives the same bytes at
// any time.
var madeAt = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// WriteTIFF writes the form as TIFF in Group 4.
func (f *Form) WriteTIFF(w io.Writer) error { return bilevel.WriteTIFF(w, f.Picture()) }

// WritePNG writes the form as PNG; its resolution must be one that PNG states.
func (f *Form) WritePNG(w io.Writer) error { return bilevel.WritePNG(w, f.Picture()) }

// WritePDF writes a page as large as the form that holds nothing but its raster:
// what makes the plate then has no lines to round, but pixels to take over.
func (f *Form) WritePDF(w io.Writer) error {
	var picture bytes.Buffer
	if err := f.WritePNG(&picture); err != nil {
		return err
	}
	width, length := f.SizeMM()
	size := fpdf.SizeType{Wd: width, Ht: length}
	d := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: size})
	d.SetCreationDate(madeAt)
	d.SetModificationDate(madeAt)
	d.SetCatalogSort(true)
	d.SetAutoPageBreak(false, 0)
	d.SetProducer("bladeline", true)
	d.SetTitle(f.says()[0], true)
	d.AddPageFormat("P", size)
	kind := fpdf.ImageOptions{ImageType: "PNG"}
	d.RegisterImageOptionsReader("form", kind, &picture)
	d.ImageOptions("form", 0, 0, width, length, false, kind, 0, "")
	return d.Output(w)
}
