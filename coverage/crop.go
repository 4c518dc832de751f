package coverage

import (
	"fmt"
	"math"

	"bladeline/coverage/internal/raster"
)

// A Crop is what is cut off a page, at each edge of the picture as it is meant to be
// seen, to the nearest pixel.
type Crop struct {
	LeftMM, RightMM, TopMM, BottomMM float64
	DPIX, DPIY                       float64 // px an inch in place of the page's own; 0: its own
}

// A view is what is counted of a page: all of it, or what a crop leaves.
type view struct {
	counting
	header    *raster.Header // of what is counted
	whole     bool
	left, top int // of the page's px
}

// viewsOf are what crops leave of a page, beside what is held of each already.
func viewsOf(page raster.Page, crops []*Crop, held []holding, light bool) (views []*view, err error) {
	for i, c := range crops {
		v, err := c.of(page.Header())
		if err == nil {
			err = held[i].take(v.header)
		}
		if err != nil {
			return nil, err
		}
		v.counting = countingOf(v.header, light)
		views = append(views, v)
	}
	return views, nil
}

// named are the view's Maps, with the names that the page has for them.
func (v *view) named() []*Map {
	maps := v.maps()
	for i, m := range maps {
		m.title = v.header.Title
		if v.header.Inks != nil {
			m.Ink = v.header.Inks[i]
		}
	}
	return maps
}

// of is what is left of a page; all of it where there is no crop.
func (c *Crop) of(page *raster.Header) (*view, error) {
	if c == nil {
		return &view{header: page, whole: true}, nil
	}
	h := *page
	if err := h.Check(); err != nil {
		return nil, err
	}
	edges, dpiX, dpiY := c.stored(&h)
	if !(dpiX > 0) || !(dpiY > 0) {
		return nil, c.refused(&h, "the raster states no resolution, so it is not known where to crop it", "state the resolution of the piece")
	}
	left, right, err := cutOff(edges[0], edges[1], dpiX, h.Width)
	if err == nil {
		var top, bottom int
		if top, bottom, err = cutOff(edges[2], edges[3], dpiY, h.Height); err == nil {
			h.Width, h.Height = h.Width-left-right, h.Height-top-bottom
			return &view{header: &h, left: left, top: top}, nil
		}
	}
	return nil, c.refused(&h, err.Error(), "correct the crop")
}

// A CropError reports a page that cannot be cropped so.
type CropError struct {
	Crop Crop // that was asked for
	*UnsupportedError
}

func (e *CropError) Unwrap() error { return e.UnsupportedError }

func (c *Crop) refused(h *raster.Header, what, do string) error {
	return &CropError{*c, &raster.UnsupportedError{Where: raster.Where{Page: h.Page}, What: what, Do: do}}
}

// stored are the mm at the left, right, top and bottom of a picture as it is stored,
// and its resolution.
func (c *Crop) stored(h *raster.Header) (mm [4]float64, dpiX, dpiY float64) {
	mm, dpiX, dpiY = [4]float64{c.LeftMM, c.RightMM, c.TopMM, c.BottomMM}, c.DPIX, c.DPIY
	o := orientations[h.Orientation]
	if o.mirror { // undone in the other order than upright does it
		mm[0], mm[1] = mm[1], mm[0]
	}
	if o.upend {
		mm[2], mm[3] = mm[3], mm[2]
	}
	if o.transpose {
		mm[0], mm[1], mm[2], mm[3] = mm[2], mm[3], mm[0], mm[1]
		dpiX, dpiY = dpiY, dpiX
	}
	if dpiX == 0 {
		dpiX = h.DPIX
	}
	if dpiY == 0 {
		dpiY = h.DPIY
	}
	return mm, dpiX, dpiY
}

// cutOff is how many of px pixels are cut off before and behind the rest.
func cutOff(beforeMM, behindMM, dpi float64, px int) (before, behind int, err error) {
	most := float64(px) / dpi * mmPerInch
	if !(beforeMM >= 0) || !(behindMM >= 0) || !(beforeMM+behindMM < most) {
		return 0, 0, fmt.Errorf("%g and %g mm cannot be cut off what is %.3f mm wide or high", beforeMM, behindMM, most)
	}
	before = int(math.Round(beforeMM / mmPerInch * dpi))
	behind = int(math.Round(behindMM / mmPerInch * dpi))
	if before+behind >= px {
		return 0, 0, fmt.Errorf("nothing is left of %d pixels", px)
	}
	return before, behind, nil
}

// within is a sink that takes the rows of the whole page and hands on what is viewed
// of them. All of a page is decoded, so that damage is found wherever it is.
func (v *view) within(to raster.Sink) raster.Sink {
	if v.whole {
		return to
	}
	return &croppedSink{to: to, view: v}
}

// part is what is viewed of a block, in px of the view. skipped says how many of the
// block's columns and rows are not, at its left and top.
func (v *view) part(b raster.Block) (in raster.Block, skipped struct{ columns, rows int }) {
	step := max(1, b.Step)
	skipped.columns = min(b.W, max(0, (v.left-b.X+step-1)/step))
	skipped.rows = min(b.H, max(0, v.top-b.Y))
	in = b
	in.X, in.Y = b.X+skipped.columns*step-v.left, b.Y+skipped.rows-v.top
	in.W = max(0, min(b.W-skipped.columns, (v.header.Width-in.X+step-1)/step))
	in.H = max(0, min(b.H-skipped.rows, v.header.Height-in.Y))
	return in, skipped
}

// croppedSink hands on what is viewed.
type croppedSink struct {
	to   raster.Sink
	view *view
	row  []byte
	ends []int32
}

func (s *croppedSink) Packed(b raster.Block, data []byte, stride int) error {
	in, skipped := s.view.part(b)
	if in.W == 0 || in.H == 0 {
		return nil
	}
	h := s.view.header
	bit := skipped.columns * b.Samples * h.Bits
	data = data[skipped.rows*stride+bit/8:]
	if bit%8 == 0 {
		return s.to.Packed(in, data, stride)
	}
	row := in
	row.H = 1
	for y := range in.H { // bits that begin within a byte are moved to its beginning
		n := h.PackedBytes(in.W * b.Samples)
		s.row = shifted(s.row, data[y*stride:], n, bit%8, in.W*b.Samples*h.Bits)
		row.Y = in.Y + y
		if err := s.to.Packed(row, s.row, n); err != nil {
			return err
		}
	}
	return nil
}

// shifted are n bytes of bits that begin some bits within the first byte.
func shifted(into, data []byte, n, by, bits int) []byte {
	into = into[:0]
	for i := range n {
		v := data[i] << by
		if i*8+8-by < bits {
			v |= data[i+1] >> (8 - by)
		}
		into = append(into, v)
	}
	return into
}

func (s *croppedSink) Runs(b raster.Block, ends []int32) error {
	in, skipped := s.view.part(b)
	if in.W == 0 || in.H == 0 {
		return nil
	}
	s.ends = s.ends[:0]
	for i := 0; i+1 < len(ends); i += 2 {
		from, to := max(ends[i]-int32(skipped.columns), 0), min(ends[i+1]-int32(skipped.columns), int32(in.W))
		if from < to {
			s.ends = append(s.ends, from, to)
		}
	}
	return s.to.Runs(in, s.ends)
}
