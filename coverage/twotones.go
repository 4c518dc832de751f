package coverage

import "bladeline/coverage/internal/raster"

// twoTones is a sink for palettes and clear grays of one bit a pixel. The bits
// are counted as they are; what the tone of each is worth is worked out of how
// many there are.
type twoTones struct {
	*plain           // names a pixel that is to be refused
	wrong  [2]bool   // no pixel may be of this tone
	worth  [2]uint64 // the ink of each tone
}

func newTwoTones(h *raster.Header, light bool, to raster.Sink) *twoTones {
	s := &twoTones{plain: newPlain(h, light, to)}
	for bit, row := range [][]byte{{0x00}, {0x80}} {
		t, known := s.tone(row, 0)
		s.wrong[bit], s.worth[bit] = !known || t.coloured, uint64(s.ink(t))
	}
	return s
}

// countTwoTones counts a picture's bits.
func countTwoTones(h *raster.Header, light bool) counting {
	bits := *h
	bits.Model, bits.InkLow = raster.Gray, false
	s := newSums(&bits, bits.Full())
	worth := newTwoTones(h, light, nil).worth
	return counting{s, func(a *accumulator) raster.Sink { return newTwoTones(h, light, a) }, func() []*Map {
		maps := s.maps(false)
		for _, m := range maps {
			m.change(plainFull(h), func(ones, pixels uint64) uint64 {
				return worth[1]*ones + worth[0]*(pixels-ones)
			})
		}
		return maps
	}}
}

// Packed hands on rows that hold no wrong tone.
func (s *twoTones) Packed(b raster.Block, data []byte, stride int) error {
	for y := 0; s.wrong != [2]bool{} && y < b.H; y++ {
		row := data[y*stride:]
		if s.wrong[0] && hasBit(row, b.W, 0) || s.wrong[1] && hasBit(row, b.W, 1) {
			return s.convert(b, b.Y+y, row)
		}
	}
	return s.to.Packed(b, data, stride)
}

// hasBit tells if one of the first w bits of a row is 0, or 1.
func hasBit(row []byte, w, bit int) bool {
	other := byte(0xff)
	if bit == 1 {
		other = 0
	}
	for _, v := range row[:w/8] {
		if v != other {
			return true
		}
	}
	return w%8 > 0 && (row[w/8]^other)&^(0xff>>(w%8)) != 0
}
