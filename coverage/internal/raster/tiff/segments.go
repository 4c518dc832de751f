package tiff

import (
	"bladeline/coverage/internal/raster"
)

// segments are the pieces, strips or tiles, that a page's data come in: TIFF
// 6.0, sections 3 and 15. A plane's segments follow each other left to right,
// then top to bottom; planes, where each sample has one, follow each other.
type segments struct {
	kind          string // strip or tile
	width, height int    // px of a full one
	across, down  int    // how many
	planes        int    // 1, or one a sample
	samples       int    // a pixel, within a segment
	offsets       []int64
	counts        []int64 // bytes
	partRows      int     // rows of a part: a segment's, or fewer where rows can be found in it
}

// partBytes is about how much of an uncompressed strip makes one part, so that
// a page in one strip still keeps every core busy.
const partBytes = 4 << 20

func (p *page) readSegments(d *directory) error {
	h := &p.header
	if err := h.Check(); err != nil {
		return err
	}
	if err := p.readPlanes(d); err != nil {
		return err
	}
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	var err error
	if d.has(tagTileWidth) {
		offsets, counts = tagTileOffsets, tagTileByteCounts
		err = p.readTiles(d)
	} else {
		err = p.readStrips(d)
	}
	if err != nil {
		return err
	}
	p.across = (h.Width + p.width - 1) / p.width
	p.down = (h.Height + p.height - 1) / p.height
	p.partRows = p.height
	if p.compression == compressionNone && p.kind == "strip" {
		p.partRows = min(p.height, max(1, partBytes/p.rowBytes()))
	}
	n := int64(p.across) * int64(p.down) * int64(p.planes)
	if p.offsets, err = d.ints(offsets, int(min(n, maxValues))); err != nil {
		return err
	}
	if named := d.fields[offsets].count; named != n {
		return d.damaged(nil, "the page needs %d %ss of %d × %d pixels and names %d", n, p.kind, p.width, p.height, named)
	}
	return p.readCounts(d, counts)
}

func (p *page) readPlanes(d *directory) error {
	const together, apart = 1, 2
	h := &p.header
	p.planes, p.samples = 1, h.Samples
	if h.Samples == 1 {
		return nil
	}
	planar, err := d.one(tagPlanarConfig, together)
	switch {
	case err != nil:
		return err
	case planar == apart:
		p.planes, p.samples = h.Samples, 1
	case planar != together:
		return d.damaged(nil, "planar configuration %d does not exist", planar)
	}
	if planar == apart && h.Model != raster.Separated {
		return d.unread("save it with the samples of a pixel together", "%s picture with one plane per sample is not read", aModel(h.Model))
	}
	if planar == together && p.bilevel() {
		return d.damaged(nil, "%s of %d samples per pixel does not exist", compressionNames[p.compression], h.Samples)
	}
	return nil
}

func (p *page) readStrips(d *directory) error {
	h := &p.header
	rows, err := d.one(tagRowsPerStrip, int64(h.Height))
	if err != nil {
		return err
	}
	if rows < 1 {
		return d.damaged(nil, "a strip has %d rows", rows)
	}
	p.kind, p.width, p.height = "strip", h.Width, int(min(rows, int64(h.Height)))
	return nil
}

func (p *page) readTiles(d *directory) error {
	width, err := d.one(tagTileWidth, 0)
	if err != nil {
		return err
	}
	height, err := d.one(tagTileLength, 0)
	if err != nil {
		return err
	}
	if width < 1 || height < 1 || width > raster.MaxSide || height > raster.MaxSide || width*int64(p.samples) > raster.MaxSums {
		return d.damaged(nil, "tiles of %d × %d pixels are not possible", width, height)
	}
	p.kind, p.width, p.height = "tile", int(width), int(height)
	return nil
}

// readCounts finds the segments' lengths. Old writers leave them out; then an
// uncompressed segment is as long as its rows, a single one ends where the next
// thing in the file begins.
func (p *page) readCounts(d *directory, tag uint16) error {
	n := p.count()
	var err error
	if p.counts, err = d.ints(tag, n); err != nil {
		return err
	}
	switch {
	case len(p.counts) >= n:
	case p.counts == nil && p.compression == compressionNone:
		for i := range n {
			p.counts = append(p.counts, int64(p.storedRows(i))*int64(p.rowBytes()))
		}
	case p.counts == nil && n == 1:
		p.counts = []int64{d.behind(p.offsets[0]) - p.offsets[0]}
	default:
		return d.damaged(nil, "the page needs the lengths of %d %ss and names %d", n, p.kind, len(p.counts))
	}
	return nil
}

// claim adds the bytes of the page's segments to those that the file's pages
// have used so far, and refuses segments that share theirs, with which a small
// file could ask for any amount of work, or lie on what describes them or any
// other page. Those that lie outside the file are found when they are read, with
// the row that is missing.
func (p *page) claim(d *directory, used *int64) error {
	for i := range p.count() {
		offset, length := p.offsets[i], p.counts[i]
		if offset < 0 || length <= 0 || offset > d.in.size-length {
			continue
		}
		data := span{offset, offset + length}
		if d.describes(data) {
			return d.damaged(nil, "%s %d of %d overlaps the file's header or the page's directory", p.kind, i+1, p.count())
		}
		if d.in.directories.meet(data) {
			return d.damaged(nil, "%s %d of %d overlaps the directory of another page", p.kind, i+1, p.count())
		}
		if *used += length; *used > d.in.size {
			return d.damaged(nil, "the %ss overlap", p.kind)
		}
	}
	return nil
}

// count is how many segments the page has.
func (p *page) count() int { return p.across * p.down * p.planes }

// rowBytes is the length of a stored row of a segment.
func (p *page) rowBytes() int { return p.header.PackedBytes(p.width * p.samples) }

// storedRows is how many rows a segment holds: the last strip may hold fewer
// than the others, a tile never does.
func (p *page) storedRows(segment int) int {
	if p.kind == "tile" {
		return p.height
	}
	return min(p.height, p.header.Height-segment%p.down*p.height)
}

// partsPerSegment is how many parts a full segment is cut into.
func (p *page) partsPerSegment() int { return (p.height + p.partRows - 1) / p.partRows }

// Parts counts the parts of all segments.
func (p *page) Parts() int { return p.count() * p.partsPerSegment() }

// Part is the visible area of part i, which may be empty behind the last row.
func (p *page) Part(i int) raster.Block {
	b, _, _ := p.part(i)
	return b
}

// part finds a part's visible area, its segment, and the row of that at which
// it begins.
func (p *page) part(i int) (b raster.Block, segment, row int) {
	segment, row = i/p.partsPerSegment(), i%p.partsPerSegment()*p.partRows
	inPlane := segment % (p.across * p.down)
	x, y := inPlane%p.across*p.width, inPlane/p.across*p.height+row
	b = raster.Block{
		X: x, Y: y, Step: 1,
		W:      min(p.width, p.header.Width-x),
		H:      max(0, min(p.partRows, p.height-row, p.header.Height-y)),
		Sample: segment / (p.across * p.down), Samples: p.samples,
	}
	return b, segment, row
}
