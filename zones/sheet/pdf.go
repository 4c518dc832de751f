package sheet

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// madeAt stands for the time of making, so that one preset gives the same
// bytes at any time.
var madeAt = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

var errNoPage = errors.New("there is no page to write; give a preset with at least one ink")

// WritePDF writes pages as one PDF, with the letters that it needs embedded.
func WritePDF(w io.Writer, pages []*Page) error {
	if len(pages) == 0 || slices.Contains(pages, nil) {
		return errNoPage
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: pages[0].WidthMM, Ht: pages[0].HeightMM}})
	f.SetCreationDate(madeAt)
	f.SetModificationDate(madeAt)
	f.SetCatalogSort(true)
	f.SetAutoPageBreak(false, 0)
	f.SetProducer(producer, true)
	f.SetTitle(pages[0].Title, true)
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	d := pdf{f, map[int]bool{}}
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.WidthMM, Ht: p.HeightMM})
		for _, m := range p.Marks {
			d.draw(m)
		}
	}
	return f.Output(w)
}

// pdf is a document in the making.
type pdf struct {
	*fpdf.Fpdf
	widths map[int]bool // of its pictures, px
}

func (d *pdf) draw(m Mark) {
	switch m := m.(type) {
	case Line:
		d.pen(m.WidthMM, m.Gray)
		if m.Dashed {
			d.SetDashPattern([]float64{dashMM, dashMM}, 0)
		}
		d.Line(m.From.X, m.From.Y, m.To.X, m.To.Y)
		d.SetDashPattern(nil, 0)
	case Polygon:
		d.polygon(m)
	case Circle:
		if style := d.style(m.Fill, m.WidthMM); style != "" {
			d.Circle(m.At.X, m.At.Y, m.RadiusMM, style)
		}
	case Text:
		d.text(m)
	case Picture:
		d.picture(m)
	}
}

// picture places a picture. The library writes pictures in the order of their
// widths, and those of one width in any order, so each is given a width of its
// own: else the bytes would differ from run to run.
func (d *pdf) picture(m Picture) {
	if m.Image == nil {
		return
	}
	size := m.Image.Bounds().Size()
	width := size.X
	for d.widths[width] {
		width++
	}
	d.widths[width] = true
	picture := m.Image
	if width != size.X {
		picture = resized(picture, width, size.Y)
	}
	name, kind := strconv.Itoa(width), fpdf.ImageOptions{ImageType: "PNG"}
	d.RegisterImageOptionsReader(name, kind, bytes.NewReader(encoded(picture)))
	d.ImageOptions(name, m.Box.Left, m.Box.Top, m.Box.Right-m.Box.Left, m.Box.Bottom-m.Box.Top, false, kind, 0, "")
}

// dashMM is the length of a dash, and of the space behind it.
const dashMM = 1.2

func (d *pdf) pen(widthMM float64, g Gray) {
	d.SetLineWidth(widthMM)
	d.SetDrawColor(level(g), level(g), level(g))
}

// style sets what an area is filled and outlined with, and is how it is drawn.
func (d *pdf) style(fill *Gray, widthMM float64) string {
	style := ""
	if widthMM > 0 {
		style = "D"
		d.pen(widthMM, Black)
	}
	if fill != nil {
		style += "F"
		d.SetFillColor(level(*fill), level(*fill), level(*fill))
	}
	return style
}

func (d *pdf) polygon(m Polygon) {
	style := d.style(m.Fill, m.WidthMM)
	points := make([]fpdf.PointType, len(m.Points))
	for i, p := range m.Points {
		points[i] = fpdf.PointType{X: p.X, Y: p.Y}
	}
	d.Polygon(points, style)
}

func (d *pdf) text(m Text) {
	style := ""
	if m.Bold {
		style = "B"
	}
	d.SetFont("go", style, m.SizePT)
	d.SetTextColor(level(m.Gray), level(m.Gray), level(m.Gray))
	at := m.start()
	if !m.Up {
		d.Text(at.X, at.Y, m.Text)
		return
	}
	d.TransformBegin()
	d.TransformRotate(90, at.X, at.Y)
	d.Text(at.X, at.Y, m.Text)
	d.TransformEnd()
}

// level is a shade as an 8-bit sample.
func level(g Gray) int { return int(255*g + 0.5) }
