package testform

import (
	"fmt"
	"image"
	"image/draw"
	"math"
	"slices"

	"bladeline/curves/settings"
	"bladeline/zones/press"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// mark is a text or a tick.
type mark struct {
	x, y int       // of its upper left corner
	rows [][]int32 // of each row the run ends, from x on
}

// layMarks numbers the zones, marks their borders, and says what the form is.
func (f *Form) layMarks() {
	wide := f.Press.Fountain.ZoneWidthMM - gapMM
	for _, z := range f.Zones {
		if z.Step == 0 {
			continue
		}
		middle := (f.column(z.LeftMM) + f.column(z.RightMM)) / 2
		f.text(fmt.Sprint(z.Number), middle, f.GripperMM+6.5, 8, 0.6*wide)
		f.text(fmt.Sprintf("%g %%", f.Steps[z.Step-1].CoveragePct), middle, f.GripperMM+1, 3, 0.75*wide)
		for _, mm := range []float64{z.LeftMM, z.RightMM} {
			f.tick(f.column(mm))
		}
	}
	for i, line := range f.says() {
		f.text(line, float64(f.width)/2, f.LengthMM-edgeMM-tailMM+2+5*float64(len(f.says())-1-i), 3, f.WidthMM-2*edgeMM-4)
	}
}

// says is what the form says of itself, a line each.
func (f *Form) says() []string {
	side := "left"
	if f.Press.Fountain.FirstZone == press.Right {
		side = "right"
	}
	return []string{
		fmt.Sprintf("Test form for %s. Zone 1 at the %s, gripper edge (lead edge) nearest you.", settings.Printable(f.Press.Name), side),
		fmt.Sprintf("Form %s x %s mm: plate and sheet must be as large. The %s mm at the gripper edge are bare. %s dpi.", settings.Plain(f.WidthMM), settings.Plain(f.LengthMM), settings.Plain(f.GripperMM), settings.Plain(math.Round(f.DPI*100)/100)),
		"Run all keys alike until the rollers have settled, then read the density of the solid strip in every zone.",
	}
}

// tick marks a border between zones, unless it lies at the sheet's edge.
func (f *Form) tick(at float64) {
	if edge := f.perMM(); at < edge || at > float64(f.width)-edge {
		return
	}
	wide := max(1, int(math.Round(tickMM*f.perMM())))
	rows := f.fromLead(f.GripperMM, f.GripperMM+labelMM)
	m := mark{x: int(math.Round(at - float64(wide)/2)), y: rows.from}
	for range rows.to - rows.from {
		m.rows = append(m.rows, []int32{0, int32(wide)})
	}
	if !slices.ContainsFunc(f.marks, func(other mark) bool { return other.x == m.x && other.y == m.y }) {
		f.marks = append(f.marks, m)
	}
}

var bold = func() *opentype.Font {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		panic(err) // the font is compiled in
	}
	return f
}()

// capPart is how high a capital of the font is, in sizes of the type; measured.
const capPart = 0.72

// text sets a line around a column, its foot so many mm from the lead edge, with
// capitals so high or, where it would be wider than mostMM, lower.
func (f *Form) text(s string, middle, footMM, capMM, mostMM float64) {
	size := capMM / capPart * f.perMM()
	if wide := widthPX(s, size); wide > mostMM*f.perMM() {
		size *= mostMM * f.perMM() / wide
	}
	m := painted(s, size)
	if len(m.rows) == 0 {
		return
	}
	foot := f.fromLead(footMM, footMM).to
	m.x, m.y = int(math.Round(middle-widthPX(s, size)/2)), foot-m.y
	f.marks = append(f.marks, m)
}

func faceOf(size float64) font.Face {
	face, err := opentype.NewFace(bold, &opentype.FaceOptions{Size: size, DPI: 72})
	if err != nil {
		panic(err) // which it gives of no size
	}
	return face
}

func widthPX(s string, size float64) float64 {
	return float64(font.MeasureString(faceOf(size), s)) / 64
}

// painted is a text at a size in px; its y is how far it reaches above the
// baseline.
func painted(s string, size float64) mark {
	face := faceOf(size)
	bounds, _ := font.BoundString(face, s)
	above, below := -bounds.Min.Y.Floor(), bounds.Max.Y.Ceil()
	picture := image.NewAlpha(image.Rect(0, 0, bounds.Max.X.Ceil()+1, above+below))
	pen := font.Drawer{Dst: draw.Image(picture), Src: image.Opaque, Face: face, Dot: fixed.P(0, above)}
	pen.DrawString(s)
	m := mark{y: above}
	for y := range above + below {
		m.rows = append(m.rows, runs(picture.Pix[y*picture.Stride:y*picture.Stride+picture.Rect.Dx()]))
	}
	return m
}

// runs are the run ends of what is at least half covered.
func runs(row []byte) []int32 {
	var ends []int32
	ink := false
	for x, v := range row {
		if v >= 128 != ink {
			ends, ink = append(ends, int32(x)), !ink
		}
	}
	if ink {
		ends = append(ends, int32(len(row)))
	}
	return ends
}

// markRow appends what marks ink in a row, from the left, overlaps once.
func (f *Form) markRow(y int, ends []int32) []int32 {
	var parts [][2]int32
	for _, m := range f.marks {
		if y < m.y || y >= m.y+len(m.rows) {
			continue
		}
		row := m.rows[y-m.y]
		for i := 0; i < len(row); i += 2 {
			parts = append(parts, [2]int32{max(0, int32(m.x)+row[i]), min(int32(f.width), int32(m.x)+row[i+1])})
		}
	}
	slices.SortFunc(parts, func(a, b [2]int32) int { return int(a[0] - b[0]) })
	begun := len(ends)
	for _, p := range parts {
		switch last := len(ends) - 1; {
		case p[0] >= p[1]:
		case last > begun && ends[last] >= p[0]:
			ends[last] = max(ends[last], p[1])
		default:
			ends = append(ends, p[0], p[1])
		}
	}
	return ends
}

// marked is how many pixels of marks lie between two columns, which may be within
// a pixel.
func (f *Form) marked(left, right float64) (sum float64) {
	var ends []int32
	for y := range f.height {
		if f.field.has(y) || f.strip.has(y) {
			continue
		}
		ends = f.markRow(y, ends[:0])
		for i := 0; i < len(ends); i += 2 {
			sum += max(0, min(right, float64(ends[i+1]))-max(left, float64(ends[i])))
		}
	}
	return sum
}
