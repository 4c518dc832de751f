package sheet

import (
	"errors"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/disintegration/imaging"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// mostPX is the longest side of a picture.
const mostPX = 20_000

// WritePNG writes a page as a gray picture. It draws what the page of a form has:
// pictures, upright lines and boxes, and texts that read across.
func WritePNG(w io.Writer, p *Page, dpi float64) error {
	if p == nil {
		return errNoPage
	}
	c := canvas{pxPerMM: dpi / 25.4}
	width, height := c.px(p.WidthMM), c.px(p.HeightMM)
	if width < 1 || height < 1 || max(width, height) > mostPX {
		return errors.New("a picture of such a resolution cannot be drawn; give another")
	}
	c.Gray = image.NewGray(image.Rect(0, 0, width, height))
	draw.Draw(c, c.Bounds(), image.White, image.Point{}, draw.Src)
	for _, m := range p.Marks {
		if err := c.mark(m); err != nil {
			return err
		}
	}
	return png.Encode(w, c.Gray)
}

// canvas is a picture that marks are drawn on.
type canvas struct {
	*image.Gray
	pxPerMM float64
}

func (c canvas) px(mm float64) int { return int(math.Round(mm * c.pxPerMM)) }

func (c canvas) rectangle(b Box) image.Rectangle {
	return image.Rect(c.px(b.Left), c.px(b.Top), c.px(b.Right), c.px(b.Bottom))
}

func (c canvas) fill(r image.Rectangle, g Gray) {
	draw.Draw(c, r, image.NewUniform(grayOf(g)), image.Point{}, draw.Src)
}

func grayOf(g Gray) color.Gray { return color.Gray{Y: uint8(math.Round(255 * float64(g)))} }

func (c canvas) mark(m Mark) error {
	switch m := m.(type) {
	case Picture:
		r := c.rectangle(m.Box)
		scaled := imaging.Resize(m.Image, max(1, r.Dx()), max(1, r.Dy()), imaging.Box)
		draw.Draw(c, r, scaled, image.Point{}, draw.Src)
	case Line:
		c.line(m)
	case Polygon:
		c.box(m)
	case Text:
		return c.text(m)
	}
	return nil
}

// line draws an upright line, a pixel wide at least.
func (c canvas) line(l Line) {
	b := l.BoxMM()
	half := max(l.WidthMM, 1/c.pxPerMM) / 2
	if b.Left == b.Right {
		b.Left, b.Right = b.Left-half, b.Right+half
	} else {
		b.Top, b.Bottom = b.Top-half, b.Bottom+half
	}
	r := c.rectangle(b)
	r.Max.X, r.Max.Y = max(r.Max.X, r.Min.X+1), max(r.Max.Y, r.Min.Y+1)
	c.fill(r, l.Gray)
}

// box draws an upright rectangle.
func (c canvas) box(p Polygon) {
	b := p.BoxMM()
	if p.Fill != nil {
		c.fill(c.rectangle(b), *p.Fill)
	}
	if p.WidthMM == 0 {
		return
	}
	for _, l := range []Line{
		{From: Point{b.Left, b.Top}, To: Point{b.Right, b.Top}},
		{From: Point{b.Left, b.Bottom}, To: Point{b.Right, b.Bottom}},
		{From: Point{b.Left, b.Top}, To: Point{b.Left, b.Bottom}},
		{From: Point{b.Right, b.Top}, To: Point{b.Right, b.Bottom}},
	} {
		l.WidthMM = p.WidthMM
		c.line(l)
	}
}

func (c canvas) text(t Text) error {
	face, err := opentype.NewFace(fontOf(t.Bold), &opentype.FaceOptions{Size: t.SizePT * mmPerPT * c.pxPerMM, DPI: 72})
	if err != nil {
		return err
	}
	defer face.Close()
	x := t.X - t.Before*t.WidthMM()
	d := font.Drawer{Dst: c, Src: image.NewUniform(grayOf(t.Gray)), Face: face, Dot: fixed.P(c.px(x), c.px(t.Y))}
	d.DrawString(t.Text)
	return nil
}
