package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"math"
	"net/http"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
)

// A shape is a rectangle of a drawn form, in fractions of the plate's width and
// length from its left and lead edge, in bench view.
type shape struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	W    float64 `json:"w"`
	H    float64 `json:"h"`
	Tint float64 `json:"tint"` // %
}

// plate is a form that is drawn by hand.
type plate struct {
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	Ink      string  `json:"ink"`
	Shapes   []shape `json:"shapes"`
}

// Bounds of what is drawn, at 1 px a mm.
const (
	maxPlateMM = 2000
	maxShapes  = 500
	maxDrawing = 2 // at once; no drawing waits for an upload
)

// draw paints a form as a raster and measures it as any other. The same form
// is the same separation, so that drawing it again takes no place.
func (s *Server) draw(r *http.Request) (any, error) {
	var p plate
	if err := read(r, &p); err != nil {
		return nil, err
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	if err := enter(r, s.drawing); err != nil {
		return nil, err
	}
	defer leave(s.drawing)
	raster := p.raster()
	id := fmt.Sprintf("%x", sha256.Sum256(append([]byte(p.Ink+"\x00"), raster...)))
	if sep, err := s.store.find(id); err == nil {
		return sep.json(), nil
	}
	label := fileLabel("drawn(" + strings.NewReplacer("/", "_", `\`, "_").Replace(p.Ink) + ").png")
	maps, err := p.measured(r, label, raster)
	if err != nil {
		return nil, err
	}
	return s.store.keep(&separation{Map: maps[0], id: id, kind: drawn, tab: tabOf(r), raster: raster}).json(), nil
}

// measured measures a plate's raster. It waits for no upload.
func (p *plate) measured(r *http.Request, label string, raster []byte) ([]*coverage.Map, error) {
	maps, err := measured(r.Context(), label, bytes.NewReader(raster), int64(len(raster)), coverage.Options{Inks: []string{p.Ink}})
	if err != nil && r.Context().Err() != nil {
		return nil, errGone
	}
	return maps, err
}

func (p *plate) check() error {
	switch {
	case !(p.WidthMM >= 1 && p.WidthMM <= maxPlateMM):
		return refused("width_mm", "a plate %s mm wide cannot be drawn; give 1 to %d", settings.Plain(p.WidthMM), maxPlateMM)
	case !(p.HeightMM >= 1 && p.HeightMM <= maxPlateMM):
		return refused("height_mm", "a plate %s mm long cannot be drawn; give 1 to %d", settings.Plain(p.HeightMM), maxPlateMM)
	case !settings.IsName(p.Ink):
		return refused("ink", "%q is not the name of an ink; write one on a single line", firstOf(p.Ink, maxName))
	case len(p.Shapes) > maxShapes:
		return refused("shapes", "%d shapes are too many; leave %d at most", len(p.Shapes), maxShapes)
	}
	for i, s := range p.Shapes {
		if !s.sound() {
			return refused(fmt.Sprintf("shapes[%d]", i), "a shape lies within 0 and 1 of the plate's sides, with a tint of 0 to 100 %%; correct it")
		}
	}
	return checkName("ink", p.Ink)
}

// sound lets a shape reach over the plate's edge by what rounding adds; it is
// cut off there.
func (s shape) sound() bool {
	for _, v := range []float64{s.X, s.Y, s.W, s.H, s.Tint / 100} {
		if !(v >= 0 && v <= 1) {
			return false
		}
	}
	return true
}

// raster is the plate as a gray PNG of 1 px a mm, its lead edge at the bottom.
func (p *plate) raster() []byte {
	width, height := int(math.Round(p.WidthMM)), int(math.Round(p.HeightMM))
	picture := image.NewGray(image.Rect(0, 0, width, height))
	fill(picture, picture.Bounds(), 0xff)
	at := func(part float64, length int) int {
		return int(math.Round(min(part, 1) * float64(length)))
	}
	for _, s := range p.Shapes {
		box := image.Rect(at(s.X, width), height-at(s.Y+s.H, height), at(s.X+s.W, width), height-at(s.Y, height))
		fill(picture, box, uint8(math.Round(255*(1-s.Tint/100))))
	}
	var b bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	encoder.Encode(&b, picture) // a Buffer takes everything
	return withResolution(b.Bytes(), 1000)
}

// fill paints a box in one shade; image/draw sets gray pixel by pixel, and 500
// shapes on the largest plate would take many seconds.
func fill(picture *image.Gray, box image.Rectangle, shade uint8) {
	box = box.Intersect(picture.Bounds())
	if box.Empty() {
		return
	}
	first := picture.Pix[picture.PixOffset(box.Min.X, box.Min.Y):][:box.Dx()]
	for x := range first {
		first[x] = shade
	}
	for y := box.Min.Y + 1; y < box.Max.Y; y++ {
		copy(picture.Pix[picture.PixOffset(box.Min.X, y):], first)
	}
}

// withResolution puts a pHYs chunk behind a PNG's header: pixels a metre, both
// ways (PNG, third edition, 11.3.4.3).
func withResolution(data []byte, perMetre uint32) []byte {
	const header = 8 + 25 // signature and IHDR
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return bytes.Join([][]byte{data[:header], chunk, data[header:]}, nil)
}

// drawn is the very raster that was measured of a drawn form.
func (s *Server) drawn(r *http.Request) (*file, error) {
	sep, err := s.store.find(r.URL.Query().Get("separation"))
	if err != nil {
		return nil, err
	}
	if sep.kind != drawn {
		return nil, &refusal{http.StatusNotFound, "this separation was not drawn here; its own file is its raster", ""}
	}
	return &file{kind: "image/png", name: sep.File, data: sep.raster}, nil
}
