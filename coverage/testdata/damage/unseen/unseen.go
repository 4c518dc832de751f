// Package unseen damages TIFF files in small ways and counts what of that
// bladeline does not see: gives a number, neither the true one nor with a
// warning.
package unseen

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"slices"

	"bladeline/coverage"
	"bladeline/coverage/internal/raster/rastertest"
)

// A Share is how many of some cases of damage went unseen.
type Share struct{ Unseen, Of int }

// Pct is the share in %.
func (s Share) Pct() float64 { return 100 * float64(s.Unseen) / float64(s.Of) }

// String gives the two numbers.
func (s Share) String() string { return fmt.Sprintf("%d of %d", s.Unseen, s.Of) }

func (s *Share) count(unseen bool) {
	s.Of++
	if unseen {
		s.Unseen++
	}
}

// Tags are the shares of sizes that were changed by one, up and down.
type Tags struct{ Width, Height, Rows, Counts Share }

// A Kind is files of one compression, the same picture in various strips.
type Kind struct {
	Name  string
	Pages []rastertest.TIFFPage
}

// Flips flips bits of the strips, one at a time, each time another of the first
// page's. Each file that gave a number is handed to keep.
func (k Kind) Flips(flips int, keep func(file []byte)) (s Share) {
	sound, layout := encode(k.Pages[0])
	want := mustMeasure(sound)
	var bits int
	for _, n := range layout.Counts {
		bits += 8 * int(n)
	}
	random := rand.New(rand.NewPCG(1, uint64(bits)))
	for range flips {
		damaged := bytes.Clone(sound)
		flip(damaged, layout, random.IntN(bits))
		maps, err := measure(damaged)
		s.count(isUnseen(maps, err, want))
		if err == nil {
			keep(damaged)
		}
	}
	return s
}

// flip flips a bit of the strips, counted through all of them.
func flip(file []byte, layout rastertest.TIFFLayout, bit int) {
	for i, n := range layout.Counts {
		if bit < 8*int(n) {
			file[int(layout.Offsets[i])+bit/8] ^= 0x80 >> (bit % 8)
			return
		}
		bit -= 8 * int(n)
	}
}

// Tags changes each size of each page by one.
func (k Kind) Tags() (tags Tags) {
	const width, height, rows, counts = 256, 257, 278, 279
	for _, page := range k.Pages {
		sound, layout := encode(page)
		want := mustMeasure(sound)
		change := func(s *Share, tag uint16, values ...uint32) {
			damaged := page
			damaged.Override = map[uint16]any{tag: values}
			if old, jpeg := page.Override[compressionTag]; jpeg {
				damaged.Override[compressionTag] = old
			}
			file, _ := encode(damaged)
			maps, err := measure(file)
			s.count(isUnseen(maps, err, want))
		}
		for _, by := range []int{-1, 1} {
			change(&tags.Width, width, uint32(page.Width+by))
			change(&tags.Height, height, uint32(page.Height+by))
			change(&tags.Rows, rows, uint32(page.RowsPerStrip+by))
			for i := 0; i < len(layout.Counts); i += 1 + len(layout.Counts)/8 {
				var changed []uint32
				for _, n := range layout.Counts {
					changed = append(changed, uint32(n))
				}
				changed[i] += uint32(by)
				change(&tags.Counts, counts, changed...)
			}
		}
	}
	return tags
}

func encode(page rastertest.TIFFPage) ([]byte, rastertest.TIFFLayout) {
	var b bytes.Buffer
	layouts, err := rastertest.WriteTIFF(&b, rastertest.Form{}, page)
	if err != nil {
		panic(err)
	}
	return b.Bytes(), layouts[0]
}

func measure(file []byte) ([]*coverage.Map, error) {
	f, err := coverage.OpenReader("plate.tif", bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Measure(context.Background(), coverage.Options{})
}

func mustMeasure(sound []byte) []*coverage.Map {
	maps, err := measure(sound)
	if err != nil {
		panic(err)
	}
	return maps
}

// isUnseen tells of what a damaged file gave if the damage went unseen.
func isUnseen(maps []*coverage.Map, err error, want []*coverage.Map) bool {
	return err == nil && slices.EqualFunc(maps, want, func(m, sound *coverage.Map) bool {
		return len(m.Warnings) == len(sound.Warnings)
	}) && !slices.EqualFunc(maps, want, sameInk)
}

func sameInk(m, other *coverage.Map) bool {
	return slices.Equal(m.Columns, other.Columns) && slices.Equal(m.Rows, other.Rows)
}
