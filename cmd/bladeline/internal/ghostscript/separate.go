package ghostscript

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"unicode/utf8"
)

// A Job is what is to be separated.
type Job struct {
	File       string
	Ranges     [][2]int // of pages, from 1, both ends included; none is all
	DPIX, DPIY float64
	Contone    bool                            // 8 bits a pixel; else 1, screened
	Progress   func(done float64)              // told from 0 to 1; may be nil
	Selected   func(pages []int, of int) error // told before anything is drawn, may refuse; may be nil
}

// A Plate is a separation that was made.
type Plate struct {
	Page int // of the file, from 1
	Ink  string
	Path string
}

// Separations are what was made of a Job.
type Separations struct {
	Plates   []Plate // by page; in it Cyan, Magenta, Yellow, Black, then other inks by name
	OfPages  int     // that the file has
	Warnings []string
}

// mostInks is how many inks beside cyan, magenta, yellow and black Ghostscript
// keeps apart.
const mostInks = 60

// Separate makes a TIFF of each ink of each page in folder, which is empty and the
// job's own. It has made nothing of use where it returns an error.
func (p *Program) Separate(ctx context.Context, folder string, j *Job) (*Separations, error) {
	pages, err := p.Pages(ctx, folder, j.File)
	if err != nil {
		return nil, err
	}
	chosen, err := Chosen(j.File, j.Ranges, len(pages))
	if err != nil {
		return nil, err
	}
	for _, n := range chosen {
		if err := j.tooLarge(n, pages[n-1]); err != nil {
			return nil, err
		}
	}
	if j.Selected != nil {
		if err := j.Selected(chosen, len(pages)); err != nil {
			return nil, err
		}
	}
	t, err := p.draw(ctx, folder, j, chosen, len(pages))
	if err != nil {
		return nil, err
	}
	plates, err := collect(folder, j.File, chosen)
	return &Separations{Plates: plates, OfPages: len(pages), Warnings: t.warned()}, err
}

// draw has Ghostscript draw the chosen pages.
func (p *Program) draw(ctx context.Context, folder string, j *Job, chosen []int, of int) (*talk, error) {
	args := []string{
		"-sDEVICE=tiffsep1", "-sOutputFile=p%d.tif", fmt.Sprintf("-dMaxSpots=%d", mostInks),
		"-r" + dpi(j.DPIX) + "x" + dpi(j.DPIY), "-sPageList=" + list(chosen), "-c", tellPages,
	}
	if j.Contone {
		args[0] = "-sDEVICE=tiffsep"
	} else {
		args = append(args, screenSetup())
	}
	t, done := &talk{}, 0
	err := p.run(ctx, folder, j.File, args, func(line string) {
		if strings.HasPrefix(line, "%%bladeline page ") {
			done++
			if j.Progress != nil {
				j.Progress(min(1, float64(done)/float64(len(chosen))))
			}
			return
		}
		t.hear(line)
	})
	switch {
	case ctx.Err() != nil:
		return nil, err
	case t.merged:
		return nil, &RefusedError{j.File, fmt.Sprintf("has more than %d inks beside the process inks", mostInks), "merge those that print alike"}
	}
	return t, t.refusal(j.File, err)
}

func dpi(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// plateName is how Ghostscript calls a separation: the number of the page among
// those that it draws, and the ink.
var plateName = regexp.MustCompile(`(?s)^p(\d+)\((.*)\)\.tif$`)

// collect finds the separations, and removes the pictures of all inks.
func collect(folder, file string, chosen []int) ([]Plate, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	inks := map[int]int{}
	var plates []Plate
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		found := plateName.FindStringSubmatch(e.Name())
		if found == nil {
			if err := os.RemoveAll(path); err != nil {
				return nil, err
			}
			continue
		}
		nth, err := strconv.Atoi(found[1])
		if err != nil || nth < 1 || nth > len(chosen) {
			return nil, &RefusedError{file, "shows other pages when it is drawn than when it is counted", anew}
		}
		page := chosen[nth-1]
		inks[page]++
		if err := writeInkName(path, inkIn(found[2])); isCutShort(err) {
			return nil, &NoRoomError{file}
		} else if err != nil {
			return nil, err
		}
		plates = append(plates, Plate{page, inkIn(found[2]), path})
	}
	for _, page := range chosen {
		if inks[page] == 0 {
			return nil, &RefusedError{file, fmt.Sprintf("Ghostscript makes no separations of page %d", page), anew}
		}
	}
	slices.SortFunc(plates, func(a, b Plate) int {
		return cmp.Or(cmp.Compare(a.Page, b.Page), cmp.Compare(place(a.Ink), place(b.Ink)), cmp.Compare(a.Ink, b.Ink))
	})
	return plates, nil
}

// isCutShort tells whether a separation is not whole: where the disk is full
// Ghostscript 10.00.0 leaves empty ones of 1 bit, and says nothing.
func isCutShort(err error) bool {
	return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, syscall.ENOSPC)
}

// ProcessInks are those of which every page gets a Plate, in the order of its Plates.
var ProcessInks = []string{"Cyan", "Magenta", "Yellow", "Black"}

// place sorts the process inks before others.
func place(ink string) int {
	if i := slices.Index(ProcessInks, ink); i >= 0 {
		return i
	}
	return len(ProcessInks)
}

var escaped = regexp.MustCompile(`%[0-9A-Fa-f]{2}`)

// inkIn is the name of an ink, of whose bytes Ghostscript writes those that file
// names do not take, and %, as %XX. Names are UTF-8 (ISO 32000-1, 7.3.5); older
// programs write Latin 1.
func inkIn(name string) string {
	name = escaped.ReplaceAllStringFunc(name, func(s string) string {
		b, _ := strconv.ParseUint(s[1:], 16, 8)
		return string([]byte{byte(b)})
	})
	if utf8.ValidString(name) {
		return name
	}
	letters := make([]rune, 0, len(name))
	for _, b := range []byte(name) {
		letters = append(letters, rune(b))
	}
	return string(letters)
}
