package rastertest

// EncodePackBits returns one row as PackBits (TIFF 6.0, section 9): n in 0 to
// 127 is followed by n+1 bytes as they are, n in -127 to -1 by one byte that
// stands 1-n times. Runs of two are worth a code of their own only where no
// literal is open.
func EncodePackBits(row []byte) []byte {
	var out []byte
	literal := -1 // place of the open literal's n
	for len(row) > 0 {
		n := runLength(row)
		switch {
		case n > 2 || n == 2 && literal < 0:
			out = append(out, byte(1-n), row[0])
			literal = -1
		case literal >= 0 && int(out[literal])+n <= 127:
			out[literal] += byte(n)
			out = append(out, row[:n]...)
		default:
			literal = len(out)
			out = append(out, byte(n-1))
			out = append(out, row[:n]...)
		}
		row = row[n:]
	}
	return out
}

// runLength counts, up to 128, the bytes at the start of row that are alike.
func runLength(row []byte) int {
	n := 1
	for n < len(row) && n < 128 && row[n] == row[0] {
		n++
	}
	return n
}
