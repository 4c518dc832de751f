package zonestest

import (
	"image"
	"math/rand/v2"
	"testing"

	"bladeline/coverage"

	"github.com/disintegration/imaging"
	"github.com/stretchr/testify/assert"
)

// Maps are turned as a library that turns pictures does it.
func TestTurnedAndMirrored(t *testing.T) {
	const side, height = 7, 5
	img := image.NewGray(image.Rect(0, 0, 33, 21))
	r := rand.New(rand.NewPCG(2, 0))
	for i := range img.Pix {
		img.Pix[i] = uint8(r.UintN(256))
	}
	m := gridded(imaging.Clone(img), CellsOf(rowsOf(imaging.Clone(img)), side, height))
	for _, c := range []struct {
		theirs *image.NRGBA
		ours   *coverage.Map
	}{
		{imaging.Rotate90(img), Turned(m, 1)},
		{imaging.Rotate180(img), Turned(m, 2)},
		{imaging.Rotate270(img), Turned(m, -1)},
		{imaging.FlipH(img), Mirrored(m)},
		{imaging.Clone(img), Turned(m, 4)},
	} {
		assert.Equal(t, gridded(c.theirs, c.ours.Cells), c.ours)
	}
	assert.NotEqual(t, m.Cells.X, Mirrored(m).Cells.X, "the last cell is narrower")
}

// rowsOf are a gray picture's values.
func rowsOf(img *image.NRGBA) [][]uint64 {
	rows := make([][]uint64, img.Rect.Dy())
	for y := range rows {
		for x := range img.Rect.Dx() {
			rows[y] = append(rows[y], uint64(img.NRGBAAt(x, y).R))
		}
	}
	return rows
}

// gridded is the Map of a picture, whose cells have the borders of a grid.
func gridded(img *image.NRGBA, grid coverage.Cells) *coverage.Map {
	rows := rowsOf(img)
	m := MapOf(255, 100, 100, rows...)
	m.Cells = coverage.Cells{X: grid.X, Y: grid.Y}
	for j, bottom := range grid.Y[1:] {
		for i, right := range grid.X[1:] {
			var sum uint32
			for _, row := range rows[grid.Y[j]:bottom] {
				for _, v := range row[grid.X[i]:right] {
					sum += uint32(v)
				}
			}
			m.Cells.Ink = append(m.Cells.Ink, sum)
		}
	}
	return m
}
