package ccitt

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"slices"
	"testing"

	"bladeline/coverage/internal/raster/fax"

	"github.com/stretchr/testify/require"
)

// withoutVectors runs f as on a processor that has none.
func withoutVectors(f func()) {
	had := hasVectors
	defer func() { hasVectors = had }()
	hasVectors = false
	f()
}

// TestVectors holds what is decoded with vectors against what is decoded
// without, rows and errors alike: dots of every size and density, sound and with
// bits flipped, which leads into every code and every place of b1.
func TestVectors(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 800 {
		width, height := 1+random.IntN(3000), 1+random.IntN(40)
		data := fax.EncodeG4(dots(random, width, height), width)
		if random.IntN(2) == 0 {
			for range 1 + random.IntN(3) {
				data[random.IntN(len(data))] ^= 1 << random.IntN(8)
			}
		}
		got, gotErr := decodeAll(new(Group4), bytes.NewReader(data), width, height)
		withoutVectors(func() {
			want, wantErr := decodeAll(new(Group4), bytes.NewReader(data), width, height)
			require.Equal(t, wantErr, gotErr)
			requireRows(t, want, got)
		})
	}
}

// dots are rows of runs around two lengths that follow each other with edges
// moved by up to so many pixels, some lost and some new.
func dots(random *rand.Rand, width, height int) [][]int32 {
	black, white := 1+random.IntN(1<<random.IntN(8)), 1+random.IntN(1<<random.IntN(12))
	moves, fresh := 1+random.IntN(5), random.IntN(30)
	var rows [][]int32
	var above []int32
	for range height {
		var row []int32
		for i, x := 0, int32(0); ; i++ {
			mean := white
			if len(row)%2 == 1 {
				mean = black
			}
			switch {
			case i < len(above) && random.IntN(100) >= fresh:
				x = max(x+min(1, int32(len(row))), above[i]+int32(random.IntN(2*moves+1)-moves))
			default:
				x += 1 + int32(random.IntN(2*mean))
			}
			if x >= int32(width) {
				break
			}
			row = append(row, x)
		}
		rows, above = append(rows, row), row
	}
	return rows
}

// TestChunks takes every entry of the table apart: its bits are those of its
// codes, and it gives the elements that these give one by one where all lie far
// enough apart.
func TestChunks(t *testing.T) {
	const b1, first = 2, 41 // where the row and its reference line are in line
	table := chunksByBits()
	used := 0
	for i, step := range table.steps {
		if step == 0 {
			continue
		}
		used++
		r := rows{width: 5000, line: make([]int32, 100), cur: first - 1 - (1 - i>>chunkBits)}
		for j := range first - 2 {
			r.line[j] = int32(100 * (j + 1))
		}
		p := place{250, b1, first}
		lanes := append(slices.Clone(r.line[b1:b1+7]), p.a0)
		data := binary.BigEndian.AppendUint64(nil, uint64(i)<<(64-chunkBits))
		r.in.Reset(bytes.NewReader(append(data, make([]byte, 40)...)))
		taken := int(step & 63)
		for 8*r.in.pos-r.n < taken {
			require.NoError(t, r.single(&p), "%#x", i)
		}
		require.Equal(t, taken, 8*r.in.pos-r.n, "%#x", i)
		require.Equal(t, p.i-b1, int(step>>stepSkip&7), "%#x", i)
		require.Equal(t, p.k-first, int(step>>stepGiven&7), "%#x", i)
		require.Equal(t, (p.k-first)%2 == 1, step>>stepOther != 0, "%#x", i)
		c := table.chunks[i]
		given := append(slices.Clone(r.line[first:p.k]), p.a0)
		for j, a := range given {
			lane := j
			if j == len(given)-1 {
				lane = a0Lane
			}
			require.Equal(t, a, lanes[c.from[lane]&7]+int32(c.delta[lane]), "%#x, lane %d", i, lane)
		}
	}
	require.Greater(t, used, 1<<chunkBits) // of twice as many
}
