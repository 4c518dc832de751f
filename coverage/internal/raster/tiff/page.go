package tiff

import (
	"slices"
	"strings"

	"bladeline/coverage/internal/raster"
)

// maxTables bounds the bytes of JPEG tables, which all segments share: four of
// quantization and eight of codes come to less than 3 kB, twice that at 16 bits.
const maxTables = 1 << 16

// A page is one directory whose picture can be decoded.
type page struct {
	in          *input
	header      raster.Header
	compression int64
	t4Options   int64
	predictor   bool
	reversed    bool   // FillOrder 2: the bits of every byte of data are turned round
	jpegTables  []byte // tables that all strips or tiles share
	segments
}

func newPage(d *directory) (*page, error) {
	p := &page{in: d.in}
	steps := []func(*directory) error{
		p.readSize, p.readCompression, p.readSamples, p.readCoding, p.readPlace, p.readInks, p.readSegments,
	}
	for _, step := range steps {
		if err := step(d); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// Header describes the page.
func (p *page) Header() *raster.Header { return &p.header }

func (p *page) readSize(d *directory) error {
	width, err := d.one(tagImageWidth, 0)
	if err != nil {
		return err
	}
	height, err := d.one(tagImageLength, 0)
	p.header = raster.Header{Page: d.page, Width: raster.Int(width), Height: raster.Int(height)}
	return err
}

// readCompression takes a missing tag for no compression, as old writers meant
// it.
func (p *page) readCompression(d *directory) error {
	var err error
	p.compression, err = d.one(tagCompression, compressionNone)
	if err != nil {
		return err
	}
	switch name, known := compressionNames[p.compression]; {
	case !known:
		return d.unread("save it with Group 4, LZW or Deflate", "compression %d is not read", p.compression)
	case p.compression == compressionOldJPEG:
		return d.unread("save it with Group 4, LZW or Deflate", "%s is not read", name)
	}
	return nil
}

// bilevel tells if the compression is one of ITU-T's for 1-bit pictures.
func (p *page) bilevel() bool {
	return p.compression == compressionHuffman || p.compression == compressionGroup3 || p.compression == compressionGroup4
}

// readPlace reads what is said of the picture's place in the world: size and
// turn.
func (p *page) readPlace(d *directory) error {
	orientation, err := d.one(tagOrientation, 1)
	if err != nil {
		return err
	}
	if orientation < 1 || orientation > 8 {
		orientation = 1 // 0 is written by programs that never set the tag
	}
	p.header.Orientation = int(orientation)
	unit, err := d.one(tagResolutionUnit, unitInch)
	if err != nil {
		return err
	}
	perInch := map[int64]float64{unitInch: 1, unitCentimetre: 2.54}[unit]
	x, err := d.rational(tagXResolution)
	if err != nil {
		return err
	}
	y, err := d.rational(tagYResolution)
	p.header.DPIX, p.header.DPIY = x*perInch, y*perInch
	return err
}

// readInks reads names: the inks' own, else those of process inks. Samples
// beyond the named ones are inks without a name.
func (p *page) readInks(d *directory) error {
	titles, err := d.names(tagPageName, 1)
	if err != nil {
		return err
	}
	if len(titles) > 0 {
		p.header.Title = strings.TrimSpace(titles[0])
	}
	names, err := d.names(tagInkNames, maxInks)
	if err != nil {
		return err
	}
	if p.header.Model != raster.Separated {
		if p.header.Model == raster.Gray && p.header.Samples == 1 && len(names) == 1 {
			p.header.Inks = names // separate writes so what a file's name cannot hold
		}
		return nil
	}
	const processInks = 1
	set, err := d.one(tagInkSet, processInks)
	if err != nil {
		return err
	}
	if len(names) == 0 && set == processInks && p.header.Samples >= 4 {
		names = []string{"Cyan", "Magenta", "Yellow", "Black"}
	}
	p.header.Inks = make([]string, p.header.Samples)
	copy(p.header.Inks, names)
	return nil
}

// readCoding reads what lies between the bytes of the file and the samples.
func (p *page) readCoding(d *directory) error {
	order, err := d.one(tagFillOrder, 1)
	if err != nil {
		return err
	}
	if order != 1 && order != 2 {
		return d.damaged(nil, "fill order %d does not exist", order)
	}
	p.reversed = order == 2
	if p.t4Options, err = d.one(tagT4Options, 0); err != nil {
		return err
	}
	if p.compression == compressionJPEG && d.has(tagJPEGTables) {
		if n := d.fields[tagJPEGTables].count; n > maxTables {
			return d.damaged(nil, "JPEG tables of %d bytes are not possible", n)
		}
		if _, p.jpegTables, err = d.raw(tagJPEGTables, maxTables); err != nil {
			return err
		}
	}
	return p.readPredictor(d)
}

func (p *page) readPredictor(d *directory) error {
	const none, horizontal = 1, 2
	predictor, err := d.one(tagPredictor, none)
	if err != nil {
		return err
	}
	if !slices.Contains([]int64{compressionLZW, compressionDeflate, compressionOldDeflate}, p.compression) {
		return nil // the tag belongs to these; others leave it behind when they recompress
	}
	switch {
	case predictor == horizontal && (p.header.Bits == 8 || p.header.Bits == 16):
		p.predictor = true
	case predictor != none:
		return d.unread("save it without a predictor", "predictor %d of %d-bit samples is not read", predictor, p.header.Bits)
	}
	return nil
}
