package tiff

import (
	"slices"

	"bladeline/coverage/internal/raster"
)

// maxInks is how many samples a separated pixel may have.
const maxInks = 32

const asSeparation = "export each ink as gray, or all of them as CMYK"

// readSamples finds out what a pixel is and refuses what is no separation.
func (p *page) readSamples(d *directory) error {
	bits, err := d.ints(tagBitsPerSample, maxInks)
	if err != nil {
		return err
	}
	samples, err := d.one(tagSamplesPerPixel, max(1, d.fields[tagBitsPerSample].count))
	if err != nil {
		return err
	}
	if len(bits) == 0 {
		bits = []int64{1}
	}
	if slices.Max(bits) != slices.Min(bits) {
		return d.unread("export it with one depth for all inks", "samples of different depths, %d bits, are not read", bits)
	}
	format, err := d.one(tagSampleFormat, 1)
	if err != nil {
		return err
	}
	if format != 1 && format != 4 { // 4: undefined, taken for what the bits are
		return d.unread("export it as whole numbers of 8 or 16 bits", "samples of format %d (signed or floating point) are not read", format)
	}
	h := &p.header
	h.Bits, h.Samples = raster.Int(bits[0]), raster.Int(samples)
	h.LittleEndian = d.in.order.String() == "LittleEndian"
	if err := p.readModel(d); err != nil {
		return err
	}
	if err := p.readExtra(d); err != nil {
		return err
	}
	return p.checkDepth(d)
}

func (p *page) readModel(d *directory) error {
	absent := int64(-1)
	if p.bilevel() {
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
	case palette:
		h.Model = raster.Palette
		return p.readColours(d)
	case separated:
		h.Model = raster.Separated
	case -1:
		return d.damaged(nil, "the tag that says what the samples mean (262) is missing")
	default:
		return d.unread(asSeparation, "%s is not a separation", modelName(photometric))
	}
	return nil
}

func modelName(photometric int64) string {
	switch photometric {
	case mask:
		return "a transparency mask"
	case yCbCr:
		return "a YCbCr picture"
	case cieLab, iccLab, ituLab:
		return "a Lab picture"
	}
	return "a picture of an unknown colour model"
}

func aModel(m raster.Model) string {
	if m == raster.RGB {
		return "an RGB"
	}
	return "a " + m.String()
}

// readColours reads the palette: all reds, then all greens, then all blues.
// Entries of old writers go to 255 only and are scaled up: a palette that is
// darker than that in every entry is not made for 16 bits.
func (p *page) readColours(d *directory) error {
	h := &p.header
	if h.Bits > 8 {
		return d.unread(asSeparation, "a palette of %d-bit samples is not read", h.Bits)
	}
	n := 1 << h.Bits
	values, err := d.ints(tagColorMap, 3*n)
	if err != nil {
		return err
	}
	if len(values) < 3*n {
		return d.damaged(nil, "the palette has %d values and needs %d", len(values), 3*n)
	}
	scale := int64(1)
	if slices.Max(values) < 256 {
		scale = 257
	}
	for i := range n {
		var colour [4]uint16
		for c := range 3 {
			colour[c] = uint16(values[c*n+i] * scale)
		}
		colour[3] = 0xffff
		h.Colours = append(h.Colours, colour)
	}
	return nil
}

// readExtra finds out what the samples beyond those of the model mean.
func (p *page) readExtra(d *directory) error {
	h := &p.header
	own := map[raster.Model]int{raster.Gray: 1, raster.RGB: 3, raster.Palette: 1, raster.Separated: 1}[h.Model]
	extra, err := d.ints(tagExtraSamples, maxInks)
	if err != nil {
		return err
	}
	alpha := slices.ContainsFunc(extra, func(v int64) bool { return v != extraUnspecified })
	switch {
	case h.Samples < own || h.Samples > maxInks:
		return d.unread(asSeparation, "%s picture with %d samples per pixel is not read", aModel(h.Model), h.Samples)
	case h.Model == raster.Separated && alpha:
		return d.unread("flatten the picture first", "a separated picture with an alpha channel is not read")
	case h.Model == raster.Separated || h.Samples == own:
		return nil
	case h.Model == raster.Palette || h.Samples != own+1 || !alpha:
		return d.unread(asSeparation, "%s picture with %d samples per pixel, which are not marked as alpha, is not read", aModel(h.Model), h.Samples)
	}
	h.Alpha = raster.Straight
	if extra[0] == extraPremultiplied {
		h.Alpha = raster.Premultiplied
	}
	return nil
}

// checkDepth refuses combinations of model, samples and bits that are not read.
func (p *page) checkDepth(d *directory) error {
	h := &p.header
	depths := []int{1, 2, 4, 8, 16}
	if h.Model == raster.RGB || h.Alpha != raster.Opaque {
		depths = []int{8, 16}
	}
	switch {
	case !slices.Contains(depths, h.Bits):
		return d.unread(asSeparation, "%s picture of %d bits per sample is not read", aModel(h.Model), h.Bits)
	case p.bilevel() && h.Bits != 1:
		return d.damaged(nil, "%s of %d-bit samples does not exist", compressionNames[p.compression], h.Bits)
	case p.compression == compressionJPEG && h.Bits != 8:
		return d.unread("save it with LZW or Deflate", "JPEG of %d-bit samples is not read", h.Bits)
	}
	return nil
}
