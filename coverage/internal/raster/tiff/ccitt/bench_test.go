package ccitt

import (
	"bytes"
	"testing"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"
)

// Benchmarks decode a halftone and line work 10,000 px wide, in bytes of code a
// second; ns/row and ns/end say what a row and a changing element take.
func BenchmarkGroup4(b *testing.B) {
	benchmark(b, new(Group4), fax.EncodeG4)
}

func BenchmarkGroup3Plain(b *testing.B) {
	benchmark(b, NewGroup3(0), func(rows [][]int32, width int) []byte {
		return fax.EncodeG3(rows, width, fax.G3{})
	})
}

func BenchmarkGroup3Coded(b *testing.B) {
	benchmark(b, NewGroup3(twoDimensional), func(rows [][]int32, width int) []byte {
		return fax.EncodeG3(rows, width, fax.G3{K: 4})
	})
}

func BenchmarkHuffman(b *testing.B) {
	benchmark(b, new(Huffman), fax.EncodeMH)
}

func benchmark(b *testing.B, d decoder, encode func([][]int32, int) []byte) {
	const width, height = 10_000, 256
	for _, nature := range []rastertest.Nature{rastertest.Halftone, rastertest.Text} {
		b.Run(nature.String(), func(b *testing.B) {
			data := encode(picture(1, nature, width, height), width)
			b.SetBytes(int64(len(data)))
			rows, ends := 0, 0
			for b.Loop() {
				d.Reset(bytes.NewReader(data), width)
				for range height {
					row, err := d.Row()
					if err != nil {
						b.Fatal(err)
					}
					rows++
					ends += len(row)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(rows), "ns/row")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(ends), "ns/end")
		})
	}
}
