package tiff

import (
	"slices"
	"strings"

	"bladeline/coverage/raster"
)

// A page is one directory whose picture can be decoded.
type page struct {
	in           *input
	header       raster.Header
	compression  int64
	rowsPerStrip int
	offsets      []int64 // of each strip
	counts       []int64 // bytes of each strip
	partRows     int     // rows of a part: a strip, or less where rows can be found in it
}

func newPage(d *directory) (*page, error) {
	p := &page{in: d.in}
	steps := []func(*directory) error{p.readSize, p.readCompression, p.readSamples, p.readLayout, p.readPlace, p.readInks, p.readStrips}
	for _, step := range steps {
		if err := step(d); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (p *page) readSize(d *directory) error {
	width, err := d.one(tagImageWidth, 0)
	if err != nil {
		return err
	}
	height, err := d.one(tagImageLength, 0)
	p.header = raster.Header{Page: d.page, Width: int(width), Height: int(height)}
	return err
}

func (p *page) readCompression(d *directory) error {
	var err error
	p.compression, err = d.one(tagCompression, compressionNone)
	if err != nil {
		return err
	}
	name, known := compressionNames[p.compression]
	switch {
	case !known:
		return d.unread("save it with Group 4, LZW or Deflate", "compression %d is not read", p.compression)
	case slices.Contains([]int64{compressionHuffman, compressionGroup3, compressionOldJPEG, compressionJPEG}, p.compression):
		return d.unread("save it with Group 4, LZW or Deflate", "%s is not read yet", name)
	}
	return nil
}

// readSamples finds out what a pixel is and refuses what is no separation.
func (p *page) readSamples(d *directory) error {
	bits, err := d.ints(tagBitsPerSample)
	if err != nil {
		return err
	}
	samples, err := d.one(tagSamplesPerPixel, max(1, int64(len(bits))))
	if err != nil {
		return err
	}
	if len(bits) == 0 {
		bits = []int64{1}
	}
	if slices.Max(bits) != slices.Min(bits) {
		return d.unread("export it with one depth for all inks", "the samples of a pixel differ in depth: %d bits", bits)
	}
	format, err := d.one(tagSampleFormat, 1)
	if err != nil {
		return err
	}
	if format != 1 && format != 4 { // 4: undefined, taken for what the bits are
		return d.unread("export it as whole numbers of 8 or 16 bits", "samples of format %d (signed or floating point) are not read", format)
	}
	p.header.Bits, p.header.Samples = int(bits[0]), int(samples)
	p.header.LittleEndian = d.in.order.String() == "LittleEndian"
	return p.readModel(d)
}

func (p *page) readModel(d *directory) error {
	absent := int64(-1)
	if p.compression == compressionGroup4 {
		absent = whiteIsZero // fax programs leave the tag out
	}
	photometric, err := d.one(tagPhotometric, absent)
	if err != nil {
		return err
	}
	h := &p.header
	switch photometric {
	case whiteIsZero, blackIsZero:
		h.Model, h.InkLow = raster.Gray, photometric == blackIsZero
	case rgb:
		h.Model = raster.RGB
	case separated:
		h.Model = raster.Separated
	case -1:
		return d.damaged(nil, "the tag that says what the samples mean (262) is missing")
	default:
		return d.unread(asSeparation, "%s is no separation", modelName(photometric))
	}
	return p.checkDepth(d)
}

const asSeparation = "export each ink as gray, or all of them as CMYK"

func modelName(photometric int64) string {
	switch photometric {
	case palette:
		return "a palette picture"
	case mask:
		return "a transparency mask"
	case yCbCr:
		return "a YCbCr picture"
	case cieLab, iccLab, ituLab:
		return "a Lab picture"
	}
	return "a picture of an unknown colour model"
}

// checkDepth refuses combinations of model, samples and bits that are not read.
func (p *page) checkDepth(d *directory) error {
	h := &p.header
	depths := map[raster.Model][]int{raster.Gray: {1, 8, 16}, raster.Separated: {8}, raster.RGB: {8}}[h.Model]
	samples := map[raster.Model]int{raster.Gray: 1, raster.Separated: 4, raster.RGB: 3}[h.Model]
	switch {
	case h.Samples != samples:
		return d.unread(asSeparation, "a %s picture with %d samples a pixel is not read yet", h.Model, h.Samples)
	case !slices.Contains(depths, h.Bits):
		return d.unread(asSeparation, "a %s picture of %d bits a sample is not read yet", h.Model, h.Bits)
	case p.compression == compressionGroup4 && h.Bits != 1:
		return d.damaged(nil, "Group 4 compression of %d-bit samples does not exist", h.Bits)
	}
	return nil
}

// readLayout refuses arrangements of the bytes that are not read.
func (p *page) readLayout(d *directory) error {
	if d.has(tagTileWidth) {
		return d.unread("save it in strips", "tiled TIFF is not read yet")
	}
	for _, tag := range []struct {
		number uint16
		name   string
	}{{tagPlanarConfig, "planar configuration"}, {tagFillOrder, "fill order"}, {tagPredictor, "predictor"}} {
		value, err := d.one(tag.number, 1)
		if err != nil {
			return err
		}
		if tag.number == tagPlanarConfig && p.header.Samples == 1 {
			continue // one plane is all there is
		}
		if value != 1 {
			return d.unread("save it with "+tag.name+" 1", "TIFF of %s %d is not read yet", tag.name, value)
		}
	}
	return nil
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

func (p *page) readInks(d *directory) error {
	titles, err := d.texts(tagPageName)
	if err != nil {
		return err
	}
	if len(titles) > 0 {
		p.header.Title = strings.TrimSpace(titles[0])
	}
	if p.header.Model != raster.Separated {
		return nil
	}
	names, err := d.texts(tagInkNames)
	if err != nil {
		return err
	}
	set, err := d.one(tagInkSet, 1)
	switch {
	case len(names) == p.header.Samples:
		p.header.Inks = names
	case set == 1 && p.header.Samples == 4:
		p.header.Inks = []string{"Cyan", "Magenta", "Yellow", "Black"}
	}
	return err
}

// Header describes the page.
func (p *page) Header() *raster.Header { return &p.header }
