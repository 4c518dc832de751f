package coverage

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	imagepng "image/png"
	"io"
	"runtime"
	"slices"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// FuzzPNGChunks gets behind the checksums: it takes sound files apart, changes
// their rows and their chunks, and puts them together with lengths, CRCs and
// zlib's checksum right again. The answer is one that any bytes get; it is the
// same twice, takes little memory, and where image/png reads the file, too, is
// what that sees.
func FuzzPNGChunks(f *testing.F) {
	bases := chunkBases()
	for base := range bases {
		f.Add(uint8(base), []byte{}, []byte{}, uint8(base))
	}
	for op := range uint8(len(chunkEdits)) {
		for at := range uint8(7) {
			for base := range bases {
				if (base+int(at))%3 == 0 {
					f.Add(uint8(base), []byte{}, []byte{op, at, at + op, at * 5}, uint8(0))
				}
			}
		}
	}
	for op := range uint8(len(rowEdits)) {
		for base := range bases {
			f.Add(uint8(base), []byte{op, uint8(base), op}, []byte{}, uint8(7))
		}
	}
	f.Fuzz(func(t *testing.T, base uint8, rows, edits []byte, piece uint8) {
		chunks := rebuilt(bases[int(base)%len(bases)], rows, int(piece))
		requirePNGAnswer(t, editChunks(chunks, edits))
	})
}

// chunkBases are small files of every colour type, depth and layout, with every
// chunk that is read.
func chunkBases() (bases [][]rastertest.PNGChunk) {
	for _, f := range []rastertest.PNGFile{
		{Colour: rastertest.PNGGray, Alpha: []byte{0, 1}},
		{Colour: rastertest.PNGPalette, Palette: []byte{0, 0, 0, 90, 90, 90}, Alpha: []byte{255, 77}},
		{Colour: rastertest.PNGRGB, Alpha: make([]byte, 6)},
		{Colour: rastertest.PNGGrayAlpha},
		{Colour: rastertest.PNGRGBA},
	} {
		samples := map[int]int{rastertest.PNGRGB: 3, rastertest.PNGGrayAlpha: 2, rastertest.PNGRGBA: 4}[f.Colour]
		depths := map[int][]int{rastertest.PNGGray: {1, 2, 4, 8, 16}, rastertest.PNGPalette: {1, 2, 4, 8}}[f.Colour]
		if depths == nil {
			depths = []int{8, 16}
		}
		for _, bits := range depths {
			for _, f.Interlaced = range []bool{false, true} {
				f.PHYs, f.Filter = [2]uint32{1000, 1000}, rastertest.PNGAnyFilter
				f.Picture = rastertest.New(9, 5, max(1, samples), bits)
				if f.Colour == rastertest.PNGGray || f.Colour == rastertest.PNGGrayAlpha {
					f.Picture = rastertest.Random(1, rastertest.Noise, 9, 5, max(1, samples), bits)
				}
				bases = append(bases, rastertest.SplitPNG(rastertest.EncodePNG(f)))
			}
		}
	}
	return bases
}

// A tape gives the numbers that edits are made of.
type tape []byte

func (t *tape) next() int {
	if len(*t) == 0 {
		return 0
	}
	v := (*t)[0]
	*t = (*t)[1:]
	return int(v)
}

// mostEdits keeps a file small, and what became of it comprehensible.
const mostEdits = 12

// brinks are where fields and sizes tip over.
var brinks = []uint32{0, 1, 2, 3, 4, 5, 7, 8, 9, 16, 255, 256, 257, 1 << 15, 1<<16 - 1, 1 << 16, 1 << 20, 1<<20 + 1, 1<<31 - 1, 1 << 31, 1<<32 - 1}

func brink(v int) uint32 { return brinks[v%len(brinks)] }

// rowEdits change the filtered rows, or the stream they are in: its first
// result is what is packed, its second what stands behind it.
var rowEdits = []func(rows []byte, at, v int) (changed, behind []byte){
	func(rows []byte, at, v int) ([]byte, []byte) { rows[at%len(rows)] = byte(v); return rows, nil },
	func(rows []byte, at, v int) ([]byte, []byte) { rows[at%len(rows)] ^= 1 << (v % 8); return rows, nil },
	func(rows []byte, at, _ int) ([]byte, []byte) { return rows[:len(rows)-at%len(rows)], nil },
	func(rows []byte, at, v int) ([]byte, []byte) {
		return append(rows, bytes.Repeat([]byte{byte(v)}, at)...), nil
	},
	func(rows []byte, at, v int) ([]byte, []byte) { return rows, bytes.Repeat([]byte{byte(v)}, at%4) },
}

// rebuilt edits a file's rows and packs them again, into IDAT chunks of so many
// bytes, 0 being one.
func rebuilt(file []rastertest.PNGChunk, edits tape, piece int) []rastertest.PNGChunk {
	at := slices.IndexFunc(file, func(c rastertest.PNGChunk) bool { return c.Name == "IDAT" })
	stored, err := zlib.NewReader(bytes.NewReader(file[at].Data))
	if err != nil {
		panic(err)
	}
	rows, err := io.ReadAll(stored)
	if err != nil {
		panic(err)
	}
	var behind []byte
	for i := 0; i < mostEdits && len(edits) > 0 && len(rows) > 0; i++ {
		var more []byte
		rows, more = rowEdits[edits.next()%len(rowEdits)](rows, edits.next(), edits.next())
		behind = append(behind, more...)
	}
	stream := append(deflated(rows), behind...)
	var data []rastertest.PNGChunk
	for piece > 0 && len(stream) > piece {
		data = append(data, rastertest.PNGChunk{Name: "IDAT", Data: stream[:piece:piece]})
		stream = stream[piece:]
	}
	data = append(data, rastertest.PNGChunk{Name: "IDAT", Data: stream})
	return slices.Concat(file[:at], data, file[at+1:])
}

// chunkNames are those of the specification, and some that it leaves open.
var chunkNames = []string{
	"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "pHYs", "gAMA", "cHRM", "sRGB", "iCCP", "bKGD", "hIST", "sBIT",
	"tIME", "tEXt", "zTXt", "iTXt", "sPLT", "eXIf", "acTL", "fcTL", "fdAT", "ABCD", "abCd", "a1b2",
}

// chunkEdits change chunk i, another one j, or its bytes.
var chunkEdits = []func(file []rastertest.PNGChunk, i, j, v int) []rastertest.PNGChunk{
	func(file []rastertest.PNGChunk, i, j, _ int) []rastertest.PNGChunk {
		return slices.Insert(file, j%len(file), file[i])
	},
	func(file []rastertest.PNGChunk, i, _, _ int) []rastertest.PNGChunk {
		return slices.Delete(file, i, i+1)
	},
	func(file []rastertest.PNGChunk, i, j, _ int) []rastertest.PNGChunk {
		j %= len(file)
		file[i], file[j] = file[j], file[i]
		return file
	},
	func(file []rastertest.PNGChunk, i, _, v int) []rastertest.PNGChunk { // shorter
		file[i].Data = file[i].Data[:max(0, len(file[i].Data)-v)]
		return file
	},
	func(file []rastertest.PNGChunk, i, j, v int) []rastertest.PNGChunk { // longer
		file[i].Data = append(slices.Clone(file[i].Data), bytes.Repeat([]byte{byte(j)}, v)...)
		return file
	},
	func(file []rastertest.PNGChunk, i, j, v int) []rastertest.PNGChunk { // another byte
		if n := len(file[i].Data); n > 0 {
			file[i].Data = slices.Clone(file[i].Data)
			file[i].Data[v%n] = byte(j)
		}
		return file
	},
	func(file []rastertest.PNGChunk, i, j, v int) []rastertest.PNGChunk { // another number
		if n := len(file[i].Data) / 4; n > 0 {
			file[i].Data = slices.Clone(file[i].Data)
			binary.BigEndian.PutUint32(file[i].Data[v%n*4:], brink(j+v))
		}
		return file
	},
	func(file []rastertest.PNGChunk, i, j, v int) []rastertest.PNGChunk { // a new one
		c := rastertest.PNGChunk{Name: chunkNames[j%len(chunkNames)], Data: bytes.Repeat([]byte{byte(j)}, v)}
		return slices.Insert(file, i, c)
	},
	func(file []rastertest.PNGChunk, i, j, _ int) []rastertest.PNGChunk { // another name
		file[i].Name = chunkNames[j%len(chunkNames)]
		return file
	},
}

func editChunks(file []rastertest.PNGChunk, edits tape) []rastertest.PNGChunk {
	for i := 0; i < mostEdits && len(edits) > 0 && len(file) > 0; i++ {
		edit := chunkEdits[edits.next()%len(chunkEdits)]
		file = edit(file, edits.next()%len(file), edits.next(), edits.next())
	}
	return file
}

// mostAllocated bounds what is allocated in all to measure a small file.
const mostAllocated = 64 << 20

// requirePNGAnswer measures a file twice.
func requirePNGAnswer(t *testing.T, file []rastertest.PNGChunk) {
	data := rastertest.JoinPNG(file...)
	measure := func() ([]*Map, error) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		f, err := OpenReader("any.png", bytes.NewReader(data), int64(len(data)))
		var maps []*Map
		if err == nil {
			maps, err = f.Measure(t.Context(), Options{})
		}
		runtime.ReadMemStats(&after)
		require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(mostAllocated))
		return maps, err
	}
	maps, err := measure()
	again, errAgain := measure()
	require.Equal(t, err, errAgain)
	require.Equal(t, maps, again)
	if err != nil {
		_, format := errors.AsType[*raster.FormatError](err)
		_, unsupported := errors.AsType[*raster.UnsupportedError](err)
		require.True(t, format || unsupported, "%T: %s", err, err)
		require.Regexp(t, `^any\.png: [^\n]+; [^\n]+$`, err.Error())
		return
	}
	require.Len(t, maps, 1)
	requireSound(t, maps[0])
	if !hasMasked(file, maps[0]) {
		requireSeen(t, data, maps[0])
	}
}

// hasMasked tells if a clear gray has bits beyond a sample's depth below 8. They
// are to be masked (PNG, third edition, 11.3.1.1), as libpng does and image/png
// does not.
func hasMasked(file []rastertest.PNGChunk, m *Map) bool {
	return slices.ContainsFunc(file, func(c rastertest.PNGChunk) bool {
		return c.Name == "tRNS" && len(c.Data) == 2 && uint64(c.Data[1]) > m.Full && m.Full < 255
	})
}

// requireSeen holds a Map against what image/png sees, if it reads the file.
func requireSeen(t *testing.T, data []byte, m *Map) {
	img, err := imagepng.Decode(bytes.NewReader(data))
	if err != nil {
		return
	}
	ink, neutral := darkness(img)
	require.True(t, neutral)
	const rounding = 2e-3 // image/color takes alpha through 16 bits
	require.InDelta(t, 100*ink, m.CoveragePct(), rounding)
}
