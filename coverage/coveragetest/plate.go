// Package coveragetest makes plates whose coverage is known, for tests of
// packages that measure them.
package coveragetest

import (
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"bladeline/coverage/internal/raster/rastertest"
)

// A plate is a raster whose pages, or inks of one page, are cut in equal
// strips from left to right; each is solid on as many % of its rows, from the
// top, as its number says. A 4 px wide, 100 px high plate of 10,20,30,40 has
// just these coverages in its four zones.
type plate struct {
	width, height, dpi int
	bits               int // 1 or 8
	compression        int // of TIFF
	short              bool
	even               bool
	as                 string
	names              []string
	strips             [][]int
}

// Compressions are the words for those of TIFF.
var Compressions = map[string]int{
	"none": rastertest.NoCompression, "packbits": rastertest.PackBits, "lzw": rastertest.LZW,
	"deflate": rastertest.Deflate, "g4": rastertest.Group4,
}

// Plate is a file of the name's format, made of the words WxH DPI [WORD]...
// [NAME:]N,N,.... A WORD is a compression, 8bit, rgb (a gray picture of three
// samples), red (the same with a coloured pixel, the 3rd in row 2), inks, cmyk,
// pages, even, or short. Even has the solid rows of a strip spread over its height;
// short is a TIFF whose directory is sound and whose only strip holds half of its
// data.
func Plate(name string, args ...string) ([]byte, error) {
	p := plate{bits: 1, compression: rastertest.NoCompression}
	if _, err := fmt.Sscanf(args[0]+" "+args[1], "%dx%d %d", &p.width, &p.height, &p.dpi); err != nil {
		return nil, err
	}
	for _, word := range args[2:] {
		switch compression, known := Compressions[word]; {
		case known:
			p.compression = compression
		case word == "8bit":
			p.bits = 8
		case word == "short":
			p.short = true
		case word == "even":
			p.even = true
		case word == "rgb" || word == "red":
			p.bits, p.as = 8, word
		case strings.ContainsAny(word, ":,0123456789"):
			if err := p.addStrips(word); err != nil {
				return nil, err
			}
		default:
			p.as = word
		}
	}
	if filepath.Ext(name) == ".png" {
		return p.png(), nil
	}
	return p.tiff()
}

func (p *plate) addStrips(word string) error {
	name, list, named := strings.Cut(word, ":")
	if !named {
		name, list = "", word
	}
	var strips []int
	for _, n := range strings.Split(list, ",") {
		pct, err := strconv.Atoi(n)
		if err != nil {
			return err
		}
		strips = append(strips, pct)
	}
	p.names, p.strips = append(p.names, name), append(p.strips, strips)
	return nil
}

// draw is a picture of some of the plate's inks, full value where ink is.
func (p *plate) draw(inks ...[]int) *rastertest.Picture {
	picture := rastertest.New(p.width, p.height, len(inks), p.bits)
	for s, strips := range inks {
		for x := range p.width {
			pct := strips[x*len(strips)/p.width]
			for row := range p.height * pct / 100 {
				y := row
				if p.even {
					y = 100 * row / pct
				}
				picture.Set(x, y, s, picture.Full())
			}
		}
	}
	return picture
}

func (p *plate) rgb() *rastertest.Picture {
	picture := p.draw(p.strips[0], p.strips[0], p.strips[0]).Inverted()
	if p.as == "red" {
		picture.Set(2, 1, 0, 255)
		picture.Set(2, 1, 1, 0)
		picture.Set(2, 1, 2, 0)
	}
	return picture
}

func (p *plate) page(picture *rastertest.Picture, photometric int) rastertest.TIFFPage {
	page := rastertest.TIFFPage{Picture: picture, Photometric: photometric, Compression: p.compression}
	if p.dpi > 0 {
		page.XResolution = rastertest.Rational{uint32(p.dpi), 1}
		page.YResolution = page.XResolution
		page.ResolutionUnit = 2
	}
	return page
}

func (p *plate) tiff() ([]byte, error) {
	var pages []rastertest.TIFFPage
	switch p.as {
	case "rgb", "red":
		pages = append(pages, p.page(p.rgb(), 2))
	case "cmyk", "inks":
		page := p.page(p.draw(p.strips...), 5)
		if page.InkSet = 1; p.as == "inks" {
			page.InkSet, page.InkNames, page.NumberOfInks = 2, p.names, len(p.names)
		}
		pages = append(pages, page)
	default:
		for _, strips := range p.strips {
			pages = append(pages, p.page(p.draw(strips), 0))
		}
	}
	file := rastertest.EncodeTIFF(rastertest.Form{}, pages...)
	if !p.short {
		return file, nil
	}
	layouts, err := rastertest.WriteTIFF(io.Discard, rastertest.Form{}, pages...)
	if err != nil {
		return nil, err
	}
	pages[0].Blocks = map[int][]byte{0: file[layouts[0].Offsets[0]:][:layouts[0].Counts[0]/2]}
	return rastertest.EncodeTIFF(rastertest.Form{}, pages...), nil
}

func (p *plate) png() []byte {
	f := rastertest.PNGFile{Picture: p.draw(p.strips[0]).Inverted(), Filter: rastertest.PNGSub}
	if p.as == "rgb" || p.as == "red" {
		f.Picture, f.Colour = p.rgb(), rastertest.PNGRGB
	}
	if p.dpi > 0 {
		perMetre := uint32(float64(p.dpi)/0.0254 + 0.5)
		f.PHYs = [2]uint32{perMetre, perMetre}
	}
	return rastertest.EncodePNG(f)
}
