package rastertest

// A bitWriter gathers bits, most significant first.
type bitWriter struct {
	out []byte
	acc uint64 // its low n bits are still to be written
	n   uint
}

// put writes the low n bits of code, n up to 32.
func (b *bitWriter) put(code uint32, n uint) {
	b.acc = b.acc<<n | uint64(code)
	for b.n += n; b.n >= 8; {
		b.n -= 8
		b.out = append(b.out, byte(b.acc>>b.n))
	}
}

// align fills the last byte up with copies of one bit.
func (b *bitWriter) align(bit uint32) {
	for b.n != 0 {
		b.put(bit, 1)
	}
}
