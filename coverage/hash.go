package coverage

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
)

// Hash is SHA-256 of what the Map says of its separation: ink, size, resolution and
// all sums, of a form those of its pieces and where they lie. Where it was read from,
// and what was doubted, is not part of it.
func (m *Map) Hash() [sha256.Size]byte {
	h := sha256.New()
	m.hashTo(h)
	return [sha256.Size]byte(h.Sum(nil))
}

func (m *Map) hashTo(h hash.Hash) {
	hashText(h, m.Ink)
	hashNumbers(h, []uint64{uint64(m.Width), uint64(m.Height), math.Float64bits(m.DPIX), math.Float64bits(m.DPIY), m.Full})
	hashNumbers(h, m.Columns)
	hashNumbers(h, m.Rows)
	hashNumbers(h, m.Cells.X)
	hashNumbers(h, m.Cells.Y)
	hashNumbers(h, m.Cells.Ink)
	if m.Sheet == nil {
		return
	}
	hashNumbers(h, []uint64{math.Float64bits(m.Sheet.WidthMM), math.Float64bits(m.Sheet.LengthMM), uint64(len(m.Sheet.Pieces))})
	for _, p := range m.Sheet.Pieces {
		hashText(h, fmt.Sprint(p.Number, p.XMM, p.YMM, p.Turn, p.Mirrored, p.Overprint, p.Across, p.Along, p.StepXMM, p.StepYMM))
		p.Map.hashTo(h)
	}
}

// hashNumbers adds how many there are, and each in eight bytes.
func hashNumbers[N int | uint32 | uint64](h hash.Hash, numbers []N) {
	const atOnce = 1 << 10
	b := binary.BigEndian.AppendUint64(make([]byte, 0, 8*atOnce), uint64(len(numbers)))
	for _, n := range numbers {
		if len(b) == cap(b) {
			h.Write(b)
			b = b[:0]
		}
		b = binary.BigEndian.AppendUint64(b, uint64(n))
	}
	h.Write(b)
}

func hashText(h hash.Hash, text string) {
	hashNumbers(h, []int{len(text)})
	h.Write([]byte(text))
}
