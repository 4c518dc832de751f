package main

import "image"

// A reversal is a solid rectangle in which other elements, drawn from left to
// right, stand bare.
type reversal struct {
	image.Rectangle
	inside []element
	bare   runs // of the row drawn last
}

func (r *reversal) bounds() image.Rectangle { return r.Rectangle }

func (r *reversal) ink(y int, to *runs) {
	r.bare = runs{ends: r.bare.ends[:0], width: int32(r.Max.X)}
	drawRow(r.inside, y, &r.bare)
	at := int32(r.Min.X)
	for i := 0; i < len(r.bare.ends); i += 2 {
		to.add(at, r.bare.ends[i])
		at = r.bare.ends[i+1]
	}
	to.add(at, int32(r.Max.X))
}

func (r *reversal) tones(y int, line []byte) {
	row := runs{width: int32(r.Min.X + len(line))}
	r.ink(y, &row)
	row.solid(line, r.Min.X)
}

// Bars are lines of one width at equal distances, upright or slanting.
type bars struct {
	image.Rectangle
	line, pitch int // px along a row
	slant       int // px to the right in 16 rows
}

func (b *bars) bounds() image.Rectangle { return b.Rectangle }

func (b *bars) ink(y int, to *runs) {
	shift := (y - b.Min.Y) * b.slant / 16 % b.pitch
	for x := b.Min.X - b.pitch + shift; x < b.Max.X; x += b.pitch {
		to.add(int32(max(x, b.Min.X)), int32(min(x+b.line, b.Max.X)))
	}
}

func (b *bars) tones(y int, line []byte) {
	row := runs{width: int32(b.Min.X + len(line))}
	b.ink(y, &row)
	row.solid(line, b.Min.X)
}
