package sheet

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"bladeline/zones"

	"github.com/disintegration/imaging"
)

// A formDrawing is a form as it is drawn on a page, by itself or over a fountain: what
// its inks print, and its pieces by their numbers.
type formDrawing struct {
	*Page
	forms       []*zones.Form // an ink each, of one sheet
	whole       Box           // where all of it would stand
	left, right float64       // between which it is shown
}

// box is where it stands.
func (d *formDrawing) box() Box {
	return Box{max(d.left, d.whole.Left), d.whole.Top, min(d.right, d.whole.Right), d.whole.Bottom}
}

// ink draws what is printed as gray, in as many pixels as the page can show.
func (d *formDrawing) ink() {
	const pxPerMM = 4
	canvas, box := painted(d.forms, 1024), d.box()
	pxAcross := float64(canvas.Bounds().Dx()) / (d.whole.Right - d.whole.Left)
	px := func(x float64) int { return int(math.Round((x - d.whole.Left) * pxAcross)) }
	visible := image.Rect(px(box.Left), 0, px(box.Right), canvas.Bounds().Dy())
	width, height := max(1, int((box.Right-box.Left)*pxPerMM)), max(1, int((box.Bottom-box.Top)*pxPerMM))
	d.add(Picture{box, resized(imaging.Crop(canvas, visible), width, height)})
}

// pieces outlines those of all inks, each once.
func (d *formDrawing) pieces() {
	type copyOf struct{ number, across, along int }
	seen := map[copyOf]bool{}
	for _, f := range d.forms {
		form := f.Outline()
		for _, p := range f.PieceOutlines() {
			if c := (copyOf{p.Number, p.Across, p.Along}); !seen[c] {
				seen[c] = true
				d.piece(p, form)
			}
		}
	}
}

// piece outlines a copy of a piece, and numbers it where there is room.
func (d *formDrawing) piece(p zones.PieceOutline, form zones.Outline) {
	on := d.box()
	across, along := (d.whole.Right-d.whole.Left)/form.WidthMM, (d.whole.Bottom-d.whole.Top)/form.LengthMM
	b := Box{Left: d.whole.Left + p.LeftMM*across, Bottom: d.whole.Bottom - p.FromLeadMM*along}
	b.Right, b.Top = b.Left+p.WidthMM*across, b.Bottom-p.LengthMM*along
	b = Box{max(b.Left, on.Left), max(b.Top, on.Top), min(b.Right, on.Right), min(b.Bottom, on.Bottom)}
	if b.Right <= b.Left || b.Bottom <= b.Top {
		return
	}
	d.frame(b, 0.2)
	const numberPT = 9
	high := numberPT * mmPerPT
	label := fmt.Sprint(p.Number)
	wide := widthMM(label, numberPT, true) + 1.6
	if p.Number == 0 || b.Right-b.Left < wide+1 || b.Bottom-b.Top < high+2 {
		return
	}
	x, y := (b.Left+b.Right)/2, (b.Top+b.Bottom)/2
	d.area([]Point{{x - wide/2, y - high*0.7}, {x + wide/2, y - high*0.7}, {x + wide/2, y + high*0.7}, {x - wide/2, y + high*0.7}}, White, 0)
	d.text(x, y+high*0.36, label, numberPT, true, centred)
}

// Painted is a form's ink as gray, from its cells, paper white, most pixels wide
// and high at most.
func Painted(f *zones.Form, most int) *image.Gray {
	canvas := paintedCells([]zones.Cells{f.Cells()}, most/4, Black)
	size := canvas.Bounds().Size()
	if longer := max(size.X, size.Y); longer > most {
		return resized(canvas, max(1, scaled(size.X, most, longer)), max(1, scaled(size.Y, most, longer)))
	}
	return canvas
}

// scaled is a side of a picture whose longer one is to be most.
func scaled(side, most, longer int) int { return int(int64(side) * int64(most) / int64(longer)) }

// darkestPiece is how light full ink of a form of pieces is: their outlines are seen on
// it.
const darkestPiece Gray = 0.3

// painted is what the inks of a form print together: what is printed by none is white.
func painted(forms []*zones.Form, most int) *image.Gray {
	var cells []zones.Cells
	darkest := Black
	for _, f := range forms {
		cells = append(cells, f.Cells())
		if len(f.PieceOutlines()) > 0 {
			darkest = darkestPiece
		}
	}
	return paintedCells(cells, most, darkest)
}

// paintedCells paints cells where they are, a few pixels each, as the last ones
// may be narrower. Where there are more cells than most either way each gets
// one pixel: finer than is shown, and it would cost memory.
func paintedCells(inks []zones.Cells, most int, darkest Gray) *image.Gray {
	pxPerCell := 4
	c := inks[0]
	columns, rows := c.Size()
	if max(columns, rows) > most {
		pxPerCell = 1
	}
	canvas := image.NewGray(image.Rect(0, 0, columns*pxPerCell, rows*pxPerCell))
	atX := func(i int) int { return int(math.Round(c.Left(i) * float64(columns*pxPerCell))) }
	atY := func(i int) int { return int(math.Round(c.Top(i) * float64(rows*pxPerCell))) }
	for y := range rows {
		for x := range columns {
			bare := 1.0
			for _, ink := range inks {
				bare *= 1 - min(1, ink.Ink(x, y))
			}
			shade := color.Gray{Y: uint8(math.Round(255 * (float64(darkest) + float64(1-darkest)*bare)))}
			draw.Draw(canvas, image.Rect(atX(x), atY(y), atX(x+1), atY(y+1)), image.NewUniform(shade), image.Point{}, draw.Src)
		}
	}
	return canvas
}

func resized(picture image.Image, width, height int) *image.Gray {
	scaled := imaging.Resize(picture, width, height, imaging.Box)
	gray := image.NewGray(scaled.Bounds())
	draw.Draw(gray, gray.Bounds(), scaled, image.Point{}, draw.Src)
	return gray
}
