package rastertest

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
)

// RepeatedZlib is a zlib stream (RFC 1950) of a block so many times, made
// without holding or packing all of it: a Deflate block that refers to nothing
// but such blocks is the same each time. Of 1 MB of zeros it takes some 1 kB.
func RepeatedZlib(block []byte, times int) []byte {
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestCompression)
	if err != nil {
		panic(err)
	}
	var ends [2]int
	for i := range ends {
		w.Write(block) // into memory
		w.Flush()
		ends[i] = packed.Len()
	}
	again := packed.Bytes()[ends[0]:ends[1]]
	stream := append([]byte{0x78, 0xda}, packed.Bytes()[:ends[0]]...)
	for range times - 1 {
		stream = append(stream, again...)
	}
	stream = append(stream, 3, 0) // an empty last block
	return binary.BigEndian.AppendUint32(stream, repeatedAdler(block, times))
}

// repeatedAdler is the checksum of a block so many times: RFC 1950, section 8.
func repeatedAdler(block []byte, times int) uint32 {
	const modulus = 65521
	n := uint64(len(block) % modulus)
	var a, b uint64 // of the block alone, from 0
	for _, v := range block {
		a = (a + uint64(v)) % modulus
		b = (b + a) % modulus
	}
	s1, s2 := uint64(1), uint64(0)
	for range times {
		s2 = (s2 + n*s1 + b) % modulus
		s1 = (s1 + a) % modulus
	}
	return uint32(s2<<16 | s1)
}
