// Plate makes a plate as large as real ones, to measure readers with, and says
// exactly how much ink is on it:
//
//	go run ./coverage/testdata/plate -o plate.tif -compression g4 -rows-per-strip 256
//	go run ./coverage/testdata/plate -o plate.tif -form work -screen round -lpi 200 -angle 15
//
// One bit a pixel is screened; eight bits are continuous tone with grain. What
// it draws depends on its flags alone, and no plate is ever in memory whole.
package main

import (
	"flag"
	"fmt"
	"os"
)

// options are what the command line says.
type options struct {
	out, format, compression string
	width, height, dpi       int
	bits, samples            int
	rowsPerStrip             int
	form, screen             string
	lpi, angle               float64
	seed                     uint64
}

func parse() (options, error) {
	var o options
	flag.StringVar(&o.out, "o", "", "the `file` to write")
	flag.StringVar(&o.format, "format", "tiff", "tiff or png")
	flag.StringVar(&o.compression, "compression", "g4", "of TIFF: g4, lzw, deflate, packbits or none")
	flag.IntVar(&o.width, "width", 97200, "of the plate, px")
	flag.IntVar(&o.height, "height", 75600, "of the plate, px")
	flag.IntVar(&o.dpi, "dpi", 0, "resolution; 0 is 2540 for 1 bit, 300 for 8")
	flag.IntVar(&o.bits, "bits", 1, "a sample: 1 screened or 8 continuous tone")
	flag.IntVar(&o.samples, "samples", 1, "a pixel: 1, or 4 where bits is 8")
	flag.IntVar(&o.rowsPerStrip, "rows-per-strip", 256, "of TIFF; 0 is one strip")
	flag.StringVar(&o.form, "form", "pages", "what stands on it: pages, work, text, solids, heavy or mixed")
	flag.StringVar(&o.screen, "screen", "cell", "cell (175 lpi, one tone a period), round, elliptic, line, stochastic, stochastic-fine or clustered")
	flag.Float64Var(&o.lpi, "lpi", 175, "the ruling of round, elliptic and line screens")
	flag.Float64Var(&o.angle, "angle", 45, "of round, elliptic and line screens, `degrees`")
	flag.Uint64Var(&o.seed, "seed", 0, "another number is other pictures and other text")
	flag.Parse()
	if o.dpi == 0 {
		o.dpi = map[int]int{1: 2540, 8: 300}[o.bits]
	}
	if o.rowsPerStrip == 0 {
		o.rowsPerStrip = o.height
	}
	return o, o.check()
}

func (o *options) check() error {
	_, known := compressions[o.compression]
	switch {
	case o.out == "":
		return fmt.Errorf("no file to write; name one with -o")
	case !known:
		return fmt.Errorf("-compression %s: not known; take g4, lzw, deflate, packbits or none", o.compression)
	case o.format != "tiff" && o.format != "png":
		return fmt.Errorf("-format %s: not known; take tiff or png", o.format)
	case o.bits != 1 && o.bits != 8:
		return fmt.Errorf("-bits %d: not made; take 1 or 8", o.bits)
	case o.samples != 1 && (o.samples != 4 || o.bits != 8 || o.format != "tiff"):
		return fmt.Errorf("-samples %d: not made; take 1, or 4 with -bits 8 in TIFF", o.samples)
	case o.bits == 8 && o.compression == "g4" && o.format == "tiff":
		return fmt.Errorf("-compression g4: is for 1 bit; take another")
	case forms[o.form] == nil:
		return fmt.Errorf("-form %s: not known; take pages, work, text, solids, heavy or mixed", o.form)
	case !(o.angle >= 0 && o.angle <= 90):
		return fmt.Errorf("-angle %g: not from 0 to 90; take the same lines' angle there", o.angle)
	case o.width < 1 || o.height < 1 || o.rowsPerStrip < 0 || o.dpi < 100:
		return fmt.Errorf("width, height or rows below 1, or -dpi below 100; raise it")
	}
	return nil
}

func run() error {
	o, err := parse()
	if err != nil {
		return err
	}
	p, err := newPlate(o)
	if err != nil {
		return err
	}
	f, err := os.Create(o.out)
	if err != nil {
		return err
	}
	write := writeTIFF
	if o.format == "png" {
		write = writePNG
	}
	if err := write(f, p, o); err != nil {
		return err
	}
	for s, ink := range p.ink {
		area := float64(o.width) * float64(o.height) * float64(uint64(1)<<o.bits-1)
		fmt.Printf("channel %d: ink %d, coverage_pct %.9f\n", s+1, ink, 100*float64(ink)/area)
	}
	if o.bits == 1 {
		fmt.Printf("transitions %d\n", p.transitions)
	}
	return f.Close()
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "plate:", err)
		os.Exit(1)
	}
}
