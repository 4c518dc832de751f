package ghostscript

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
)

// IsJob tells by its first bytes whether a file is PDF or PostScript. A file that
// cannot be read is none.
func IsJob(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	return IsJobIn(f)
}

// IsJobIn tells the same of what a file holds.
func IsJobIn(file io.ReaderAt) bool {
	begin := make([]byte, 1024) // within which readers of PDF look for its mark
	n, _ := file.ReadAt(begin, 0)
	return isPDF(begin[:n]) || isPostScript(begin[:n])
}

func isPDF(begin []byte) bool {
	for _, other := range []string{"II*\x00", "II+\x00", "MM\x00*", "MM\x00+", "\x89PNG"} {
		if bytes.HasPrefix(begin, []byte(other)) {
			return false
		}
	}
	return bytes.Contains(begin, []byte("%PDF-"))
}

// isPostScript knows also an EPS with a preview, which has a header of its own.
func isPostScript(begin []byte) bool {
	return bytes.HasPrefix(begin, []byte("%!")) || bytes.HasPrefix(begin, []byte("\xc5\xd0\xd3\xc6"))
}

// A Page is one of a file, in points of 1/72 inch, turned as it is shown.
type Page struct{ width, height float64 }

const mmPerPoint = 25.4 / 72

// mostPages is more than any job has.
const mostPages = 10_000

// pageLine is what Ghostscript is made to say of every page. A PostScript file that
// prints the same fools itself alone: collect finds other pages, and time ends.
const pageLine = "%%%%bladeline page %g %g"

// tellPages is PostScript that has every page told when it is done.
const tellPages = `<</EndPage {exch pop 2 ne dup {(%%bladeline page ) print currentpagedevice /PageSize get dup 0 get =only ( ) print 1 get =only (\n) print flush} if}>> setpagedevice`

// Pages are the pages of a file. They are not drawn, and folder is where
// Ghostscript may put temporary files.
func (p *Program) Pages(ctx context.Context, folder, file string) ([]Page, error) {
	errMany := errors.New("too many pages")
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var pages []Page
	t := &talk{}
	err := p.run(ctx, folder, file, []string{"-sDEVICE=nullpage", "-r72", "-c", tellPages}, func(line string) {
		var one Page
		if n, _ := fmt.Sscanf(line, pageLine, &one.width, &one.height); n == 2 {
			if pages = append(pages, one); len(pages) > mostPages {
				stop(errMany)
			}
			return
		}
		t.hear(line)
	})
	switch {
	case errors.Is(err, errMany):
		return nil, &RefusedError{file, fmt.Sprintf("has more than %d pages", mostPages), "take the form out of it"}
	case ctx.Err() != nil:
		return nil, err
	}
	if err := t.refusal(file, err); err != nil {
		return nil, err
	}
	if len(pages) == 0 {
		return nil, &RefusedError{file, "has no page", anew}
	}
	return pages, nil
}

// Chosen are the pages, counted from 1, of ranges in rising order, each once; of
// no ranges they are all. An error is a *NoPageError.
func Chosen(file string, ranges [][2]int, of int) ([]int, error) {
	if len(ranges) == 0 {
		ranges = [][2]int{{1, of}}
	}
	var chosen []int
	for _, r := range ranges {
		if r[1] > of {
			return nil, &NoPageError{file, max(r[0], of+1), of}
		}
		for n := r[0]; n <= r[1]; n++ {
			chosen = append(chosen, n)
		}
	}
	slices.Sort(chosen)
	return slices.Compact(chosen), nil
}

// The most pixels of a plate: of 1 bit, a plate of the largest press at 2540 dpi;
// of 8 bits, the same at 600 dpi.
const (
	mostBits  = 10e9
	mostTones = 2e9
)

// tooLarge refuses a page of more pixels than are separated.
func (j *Job) tooLarge(number int, page Page) error {
	most := mostBits
	if j.Contone {
		most = mostTones
	}
	px := page.width / 72 * j.DPIX * page.height / 72 * j.DPIY
	if px <= most && !math.IsNaN(px) {
		return nil
	}
	return &TooLargeError{j.File, number, page.width * mmPerPoint, page.height * mmPerPoint, j.DPIX, j.DPIY, most}
}

// list is pages as Ghostscript wants them.
func list(pages []int) string {
	var s strings.Builder
	for i, n := range pages {
		if i > 0 {
			s.WriteByte(',')
		}
		fmt.Fprint(&s, n)
	}
	return s.String()
}
