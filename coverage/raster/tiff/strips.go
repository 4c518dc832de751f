package tiff

import (
	"bladeline/coverage/raster"
)

// partBytes is about how much of an uncompressed strip makes one part, so that
// a page in one strip still keeps every core busy.
const partBytes = 4 << 20

// readStrips finds the strips of the page.
func (p *page) readStrips(d *directory) error {
	h := &p.header
	if err := h.Check(); err != nil {
		return err
	}
	rows, err := d.one(tagRowsPerStrip, int64(h.Height))
	if err != nil {
		return err
	}
	if rows < 1 {
		return d.damaged(nil, "a strip has %d rows", rows)
	}
	p.rowsPerStrip = int(min(rows, int64(h.Height)))
	p.partRows = p.rowsPerStrip
	if p.compression == compressionNone {
		p.partRows = min(p.rowsPerStrip, max(1, partBytes/h.RowBytes(h.Width)))
	}
	if p.offsets, err = d.ints(tagStripOffsets); err != nil {
		return err
	}
	if strips := p.strips(); len(p.offsets) < strips {
		return d.damaged(nil, "the page needs %d strips of %d rows and names %d", strips, p.rowsPerStrip, len(p.offsets))
	}
	return p.readStripCounts(d)
}

// readStripCounts finds the strips' lengths. Old writers leave them out; then
// an uncompressed strip is as long as its rows, a single one ends with the file.
func (p *page) readStripCounts(d *directory) error {
	var err error
	if p.counts, err = d.ints(tagStripByteCounts); err != nil {
		return err
	}
	strips := p.strips()
	switch {
	case len(p.counts) >= strips:
	case p.counts == nil && p.compression == compressionNone:
		for s := range strips {
			p.counts = append(p.counts, int64(p.stripRows(s)*p.header.RowBytes(p.header.Width)))
		}
	case p.counts == nil && strips == 1:
		p.counts = []int64{max(0, d.in.size-p.offsets[0])}
	default:
		return d.damaged(nil, "the page needs the lengths of %d strips and names %d", strips, len(p.counts))
	}
	return nil
}

func (p *page) strips() int { return (p.header.Height + p.rowsPerStrip - 1) / p.rowsPerStrip }

// stripRows is how many rows strip s holds; the last may hold fewer.
func (p *page) stripRows(s int) int {
	return min(p.rowsPerStrip, p.header.Height-s*p.rowsPerStrip)
}

// partsPerStrip is how many parts a full strip is cut into.
func (p *page) partsPerStrip() int { return (p.rowsPerStrip + p.partRows - 1) / p.partRows }

// Parts counts the parts of all strips.
func (p *page) Parts() int {
	last := p.strips() - 1
	return last*p.partsPerStrip() + (p.stripRows(last)+p.partRows-1)/p.partRows
}

// Part is the rows that part i covers, over the page's whole width.
func (p *page) Part(i int) raster.Block {
	strip, within := i/p.partsPerStrip(), i%p.partsPerStrip()*p.partRows
	return raster.Block{
		Y: strip*p.rowsPerStrip + within,
		W: p.header.Width,
		H: min(p.partRows, p.stripRows(strip)-within),
	}
}
