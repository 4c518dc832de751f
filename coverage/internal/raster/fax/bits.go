package fax

// A BitWriter gathers bits, most significant first.
type BitWriter struct {
	Bytes []byte // all that is whole
	acc   uint64 // its low n bits are still to be written
	n     uint
}

// Put writes the low n bits of code, n up to 32.
func (b *BitWriter) Put(code uint32, n uint) {
	b.acc = b.acc<<n | uint64(code)
	for b.n += n; b.n >= 8; {
		b.n -= 8
		b.Bytes = append(b.Bytes, byte(b.acc>>b.n))
	}
}

// Align fills the last byte up with copies of one bit.
func (b *BitWriter) Align(bit uint32) {
	for b.n != 0 {
		b.Put(bit, 1)
	}
}
