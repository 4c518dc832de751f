package tiff

import (
	"encoding/binary"
	"fmt"
)

// Markers of JPEG: ITU-T T.81 (09/92), table B.1.
const (
	markerSOF0 = 0xc0 // baseline
	markerSOF1 = 0xc1 // extended sequential
	markerSOF2 = 0xc2 // progressive
	markerDHT  = 0xc4
	markerRST0 = 0xd0
	markerSOI  = 0xd8
	markerEOI  = 0xd9
	markerSOS  = 0xda
	markerDQT  = 0xdb
	markerDRI  = 0xdd
	markerAPP0 = 0xe0
	markerCOM  = 0xfe
)

// A jpegScanner walks through a JPEG stream before the library decodes it: it
// follows every code, so that data that are left over or missing are seen, which
// the library and libjpeg pass over, and refuses what would cost many times the
// picture's size.
type jpegScanner struct {
	clean      []byte // what the library is to decode
	components []jpegComponent
	width      int
	height     int
	end        int              // of the segment's data, where the stream ends
	tables     [2][4]*jpegCodes // of DC and AC coefficients
	steps      [4]bool          // whether a table of quantization is defined
	defined    int              // how many tables were, one after another
	interval   int              // MCUs from one restart to the next, 0 for all
}

type jpegComponent struct {
	id, h, v byte
	steps    byte // its table of quantization
	scanned  bool
	codes    [2]*jpegCodes
}

// scanJPEG checks a segment's data, and the tables before them, and makes both
// one stream, without what says how colours are to be understood: TIFF's own
// tags rule that, as in libtiff. The stream takes the memory of joined, where
// data stand behind jpegHead(tables) bytes, and never gets ahead of them.
func scanJPEG(tables, joined []byte, samples int) (*jpegScanner, error) {
	s := &jpegScanner{clean: append(joined[:0], 0xff, markerSOI)}
	if samples == 4 {
		s.clean = append(s.clean, jpegInks...)
	}
	if len(tables) > 0 {
		if _, err := s.walk(tables); err != nil {
			return nil, err
		}
		if s.components != nil {
			return nil, fmt.Errorf("%w: a picture among the tables", errJPEG)
		}
	}
	var err error
	if s.end, err = s.walk(joined[jpegHead(tables):]); err != nil {
		return nil, err
	}
	if s.components == nil {
		return nil, fmt.Errorf("%w: no picture", errJPEG)
	}
	for _, c := range s.components {
		if !c.scanned {
			return nil, fmt.Errorf("%w: a sample without data", errJPEG)
		}
	}
	s.clean = append(s.clean, 0xff, markerEOI)
	return s, nil
}

// jpegInks say of four samples that they are inks: APP14, transform 0.
const jpegInks = "\xff\xee\x00\x0e" + "\x41\x64\x6f\x62\x65\x00\x64\x00\x00\x00\x00\x00"

// jpegHead is how many bytes the stream may need before a segment's data.
func jpegHead(tables []byte) int { return 2 + len(jpegInks) + len(tables) }

// walk goes from the start of a stream to its end, and returns how many bytes it
// takes.
func (s *jpegScanner) walk(stream []byte) (int, error) {
	data := stream
	if len(data) < 2 || data[0] != 0xff || data[1] != markerSOI {
		return 0, fmt.Errorf("%w: no start", errJPEG)
	}
	for data = data[2:]; ; {
		switch {
		case len(data) < 2:
			return 0, fmt.Errorf("%w: no end", errJPEG)
		case data[0] != 0xff:
			return 0, fmt.Errorf("%w: bytes between its segments", errJPEG)
		case data[1] == 0xff: // fill: T.81, B.1.1.2
			data = data[1:]
			continue
		case data[1] == markerEOI:
			return len(stream) - len(data) + 2, nil
		case data[1]&^7 == markerRST0: // behind the last part, where some coders write one, too
			data = data[2:]
			continue
		case len(data) < 4 || len(data) < segmentBytes(data) || segmentBytes(data) < 4:
			return 0, fmt.Errorf("%w: a segment that runs past its end", errJPEG)
		}
		used, err := s.segment(data)
		if err != nil {
			return 0, err
		}
		data = data[used:]
	}
}

// segmentBytes is the length of the segment that data begin with, and its marker.
func segmentBytes(data []byte) int { return 2 + int(binary.BigEndian.Uint16(data[2:])) }

// segment takes the segment that data begin with, of a scan also what is behind
// it, and returns how many bytes these were.
func (s *jpegScanner) segment(data []byte) (used int, err error) {
	used = segmentBytes(data)
	marker, body := data[1], data[4:used]
	switch {
	case marker == markerDQT:
		err = s.defineSteps(body)
	case marker == markerDHT:
		err = s.defineCodes(body)
	case marker == markerDRI && len(body) == 2:
		s.interval = int(binary.BigEndian.Uint16(body))
	case marker == markerSOF0, marker == markerSOF1:
		err = s.frame(body)
	case marker == markerSOS:
		var scanned int
		scanned, err = s.scan(body, data[used:])
		used += scanned
	case marker == markerSOF2:
		return 0, fmt.Errorf("%w (progressive)", errUnreadJPEG)
	case marker >= markerAPP0 && marker < markerAPP0+16, marker == markerCOM:
		return used, nil
	case marker > markerSOF2 && marker < markerSOF0+16:
		return 0, fmt.Errorf("%w (of type %d)", errUnreadJPEG, marker-markerSOF0)
	default:
		return 0, fmt.Errorf("%w: marker %d", errJPEG, marker)
	}
	if err != nil {
		return 0, err
	}
	s.clean = append(s.clean, data[:used]...)
	return used, nil
}

// defineSteps notes which tables of quantization there are: T.81, B.2.4.1.
func (s *jpegScanner) defineSteps(body []byte) error {
	for len(body) > 0 {
		size := 1 + 64<<(body[0]>>4) // 8 or 16 bits each
		if body[0]>>4 > 1 || int(body[0]&15) >= len(s.steps) || len(body) < size {
			return fmt.Errorf("%w: a table of quantization", errJPEG)
		}
		s.steps[body[0]&15] = true
		body = body[size:]
	}
	return nil
}

// frame reads the picture's size and samples: T.81, B.2.2.
func (s *jpegScanner) frame(body []byte) error {
	if len(body) < 6 || len(body) != 6+3*int(body[5]) || s.components != nil {
		return fmt.Errorf("%w: its frame", errJPEG)
	}
	if body[0] != 8 {
		return fmt.Errorf("%w (%d bits per sample)", errUnreadJPEG, body[0])
	}
	s.height, s.width = int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
	if s.height == 0 || s.width == 0 || body[5] == 0 || body[5] > 4 {
		return fmt.Errorf("%w: its frame", errJPEG)
	}
	for c := body[6:]; len(c) > 0; c = c[3:] {
		h, v := c[1]>>4, c[1]&15
		if h < 1 || h > 4 || v < 1 || v > 4 || int(c[2]) >= len(s.steps) {
			return fmt.Errorf("%w: its frame", errJPEG)
		}
		s.components = append(s.components, jpegComponent{id: c[0], h: h, v: v, steps: c[2]})
	}
	if len(s.components) == 1 { // alone its factors mean nothing: A.2.2
		s.components[0].h, s.components[0].v = 1, 1
	}
	if n := 64 * int64(s.blocks()); n > maxJPEG*5/4 {
		return fmt.Errorf("%w with %d samples in whole blocks", errUnreadJPEG, n)
	}
	return nil
}

// most are the largest sampling factors.
func (s *jpegScanner) most() (h, v int) {
	for _, c := range s.components {
		h, v = max(h, int(c.h)), max(v, int(c.v))
	}
	return h, v
}

// mcus counts those of a scan of several components.
func (s *jpegScanner) mcus() int {
	h, v := s.most()
	return over(s.width, 8*h) * over(s.height, 8*v)
}

// blocks counts those of all components.
func (s *jpegScanner) blocks() (n int) {
	for _, c := range s.components {
		n += s.mcus() * int(c.h) * int(c.v)
	}
	return n
}

// over is a divided by b, rounded up.
func over(a, b int) int { return (a + b - 1) / b }

// scan follows the codes of a scan: T.81, B.2.3 and A.2. Each component must be
// in one scan alone.
func (s *jpegScanner) scan(body, behind []byte) (used int, err error) {
	if len(body) < 4 || len(body) != 4+2*int(body[0]) || body[0] == 0 {
		return 0, fmt.Errorf("%w: its scan", errJPEG)
	}
	if coefficients := string(body[len(body)-3:]); coefficients != allCoefficients && coefficients != noCoefficients {
		return 0, fmt.Errorf("%w: its scan", errJPEG)
	}
	var unit []*jpegComponent // of each block of an MCU
	mcus := s.mcus()
	for pair := body[1 : len(body)-3]; len(pair) > 0; pair = pair[2:] {
		c := s.component(pair[0])
		if c == nil || c.scanned || pair[1]>>4 > 3 || pair[1]&15 > 3 {
			return 0, fmt.Errorf("%w: its scans", errJPEG)
		}
		c.scanned = true
		c.codes = [2]*jpegCodes{s.tables[0][pair[1]>>4], s.tables[1][pair[1]&15]}
		if c.codes[0] == nil || c.codes[1] == nil || !s.steps[c.steps] {
			return 0, fmt.Errorf("%w: codes without a table", errJPEG)
		}
		blocks := int(c.h) * int(c.v)
		if body[0] == 1 {
			h, v := s.most()
			mcus, blocks = over(over(s.width*int(c.h), h), 8)*over(over(s.height*int(c.v), v), 8), 1
		}
		for range blocks {
			unit = append(unit, c)
		}
	}
	bits := jpegBits{data: behind}
	for i := range mcus {
		if s.interval > 0 && i > 0 && i%s.interval == 0 {
			if err := bits.restart(i/s.interval - 1); err != nil {
				return 0, err
			}
		}
		for _, c := range unit {
			if err := bits.block(c.codes); err != nil {
				return 0, err
			}
		}
	}
	return bits.end()
}

// allCoefficients are what a sequential scan is of: T.81, B.2.3. Some coders
// leave that out, of which libjpeg's jdhuff.c knows.
const (
	allCoefficients = "\x00\x3f\x00"
	noCoefficients  = "\x00\x00\x00"
)

func (s *jpegScanner) component(id byte) *jpegComponent {
	for i := range s.components {
		if s.components[i].id == id {
			return &s.components[i]
		}
	}
	return nil
}
