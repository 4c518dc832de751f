package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"bladeline/coverage/raster/rastertest"

	"github.com/rogpeppe/go-internal/testscript"
)

// A plate is a raster whose pages, or inks of one page, are cut in equal
// strips from left to right; each is solid on as many % of its rows, from the
// top, as its number says. A 4 px wide, 100 px high plate of 10,20,30,40 has
// just these coverages in its four zones.
type plate struct {
	width, height, dpi int
	bits               int // 1 or 8
	compression        int // of TIFF
	as                 string
	names              []string
	strips             [][]int
}

var compressions = map[string]int{
	"none": rastertest.NoCompression, "packbits": rastertest.PackBits, "lzw": rastertest.LZW,
	"deflate": rastertest.Deflate, "g4": rastertest.Group4,
}

// raster FILE WxH DPI [WORD]... [NAME:]N,N,... makes a plate. Words are a
// compression, 8bit, rgb (a gray picture of three samples), red (the same with
// a coloured pixel, the 3rd in row 2), inks, cmyk or pages.
func raster(ts *testscript.TestScript, _ bool, args []string) {
	ts.Check(writePlate(ts.MkAbs(args[0]), args[1:]...))
}

func writePlate(path string, args ...string) error {
	p := plate{bits: 1, compression: rastertest.NoCompression}
	if _, err := fmt.Sscanf(args[0]+" "+args[1], "%dx%d %d", &p.width, &p.height, &p.dpi); err != nil {
		return err
	}
	for _, word := range args[2:] {
		switch compression, known := compressions[word]; {
		case known:
			p.compression = compression
		case word == "8bit":
			p.bits = 8
		case word == "rgb" || word == "red":
			p.bits, p.as = 8, word
		case strings.ContainsAny(word, ":,0123456789"):
			if err := p.addStrips(word); err != nil {
				return err
			}
		default:
			p.as = word
		}
	}
	file := p.tiff
	if filepath.Ext(path) == ".png" {
		file = p.png
	}
	return os.WriteFile(path, file(), 0o666)
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
			for y := range p.height * strips[x*len(strips)/p.width] / 100 {
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

func (p *plate) tiff() []byte {
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
	return rastertest.EncodeTIFF(rastertest.Form{}, pages...)
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

func readCSV(text string) ([][]string, error) {
	return csv.NewReader(strings.NewReader(text)).ReadAll()
}
