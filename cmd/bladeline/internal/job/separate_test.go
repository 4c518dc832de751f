package job

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page of 300 x 200 pt. Squares of 50 pt in black and in tints, a spot ink named
// in CMYK as cyan alone, and cyan under magenta that overprints half of it.
const squares = `%!PS
<</PageSize [300 200]>> setpagedevice
0 0 0 1 setcmykcolor 10 10 50 50 rectfill
0.4 0.2 0 0 setcmykcolor 100 10 50 50 rectfill
[/Separation (Harbour Blue) /DeviceCMYK {0 0 0}] setcolorspace 0.6 setcolor 200 10 50 100 rectfill
1 0 0 0 setcmykcolor 10 100 50 50 rectfill
true setoverprint
[/Separation /Magenta /DeviceCMYK {0 exch 0 0}] setcolorspace 1 setcolor 10 100 25 50 rectfill
showpage
`

func ghostscriptOf(t *testing.T, args ...string) string {
	out, err := exec.Command("gs", append([]string{"-q", "-dSAFER", "-dBATCH", "-dNOPAUSE"}, args...)...).CombinedOutput()
	require.NoError(t, err, string(out))
	return string(out)
}

func writeText(t *testing.T, path, text string) string {
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return path
}

// pdfOf has Ghostscript write a PDF of PostScript.
func pdfOf(t *testing.T, name, postscript string) string {
	ghostscriptOf(t, "-sDEVICE=pdfwrite", "-o", name, writeText(t, name+".ps", postscript))
	return name
}

func measuredPages(t *testing.T, s Separating, path string) []*coverage.Map {
	maps, err := Reading{Inputs: []coverage.Input{{Path: path}}, Separating: &s}.Maps(t.Context())
	require.NoError(t, err)
	return maps
}

// TestAgainstInkCoverage compares every page and process ink with what
// Ghostscript's own devices say: ink_cov, the mean of the tints, and inkcov, the
// share of pixels with ink. On a pixel with ink the two may round the tint apart,
// by one of 255 steps. The PDFs are by four programs.
func TestAgainstInkCoverage(t *testing.T) {
	fixtures, err := filepath.Abs("../../../../testdata/pdf")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	// ink_cov takes a spot ink for its CMYK, which does not overprint as inks do.
	pages := strings.Replace(squares, "true setoverprint\n", "", 1) + "0 0 0 0.5 setcmykcolor 0 0 100 100 rectfill showpage\n0 0 1 setrgbcolor 20 20 200 90 rectfill showpage\n"
	pdfOf(t, "pdfwrite.pdf", pages)
	out, err := exec.Command("pdftocairo", "-pdf", "pdfwrite.pdf", "cairo.pdf").CombinedOutput()
	require.NoError(t, err, string(out))
	for path, pages := range map[string]int{
		"pdfwrite.pdf": 3, "cairo.pdf": 3, "pdfwrite.pdf.ps": 3,
		filepath.Join(fixtures, "calc.pdf"): 1, filepath.Join(fixtures, "plot.pdf"): 1,
	} {
		maps := measuredPages(t, Separating{DPIX: 150, DPIY: 150}, path)
		means, shares := inkCoverage(t, "ink_cov", path), inkCoverage(t, "inkcov", path)
		require.Len(t, means, pages, path)
		seen := 0
		for _, m := range maps {
			i := strings.Index("CMYK", map[string]string{"Cyan": "C", "Magenta": "M", "Yellow": "Y", "Black": "K"}[m.Ink])
			got, where := m.CoveragePct(), fmt.Sprintf("%s, page %d, %s", path, m.Page, m.Ink)
			switch {
			case m.Ink == "Harbour Blue": // is not one of theirs
				assert.InDelta(t, 0.6*50*100/(300*200)*100, got, 0.1, where)
				continue
			case m.Ink == "Cyan" && m.Page == 1 && strings.HasPrefix(path, "pdfwrite"): // theirs has the spot ink in it
				got += spotOf(t, maps)
			}
			assert.InDelta(t, means[m.Page-1][i], got, shares[m.Page-1][i]*100/255+1e-5, where)
			assert.Equal(t, path, m.File)
			seen++
		}
		assert.Equal(t, 4*pages, seen, path)
	}
}

func spotOf(t *testing.T, maps []*coverage.Map) float64 {
	for _, m := range maps {
		if m.Ink == "Harbour Blue" {
			return m.CoveragePct()
		}
	}
	require.Fail(t, "the spot ink is missing")
	return 0
}

var inkLine = regexp.MustCompile(`(?m)^ *([\d.]+) +([\d.]+) +([\d.]+) +([\d.]+) CMYK OK$`)

// inkCoverage is what a device of Ghostscript's says of the inks of every page.
func inkCoverage(t *testing.T, device, path string) (pages [][4]float64) {
	for _, found := range inkLine.FindAllStringSubmatch(ghostscriptOf(t, "-sDEVICE="+device, "-r150", "-o", "-", path), -1) {
		var inks [4]float64
		for i := range inks {
			var err error
			inks[i], err = strconv.ParseFloat(found[i+1], 64)
			require.NoError(t, err)
		}
		pages = append(pages, inks)
	}
	return pages
}

// TestSquares holds the coverages of squares against their areas, tone by tone and
// screened. 72 dpi is a pixel a point, so borders fall on pixels; a screen of 256
// tints is right to half a tint, and over a square of 50 px to a few pixels.
func TestSquares(t *testing.T) {
	t.Chdir(t.TempDir())
	pdfOf(t, "job.pdf", squares)
	const square = 50.0 * 50 / (300 * 200) * 100
	want := map[string]float64{
		"Cyan":         square * (0.4 + 1), // also under the magenta that overprints it
		"Magenta":      square * (0.2 + 0.5),
		"Yellow":       0,
		"Black":        square,
		"Harbour Blue": 2 * square * 0.6,
	}
	for folder, contone := range map[string]bool{"plates": true, "screened": false} {
		paths, err := Separating{DPIX: 72, DPIY: 72}.WriteSeparations(t.Context(), "job.pdf", folder, contone, nil)
		require.NoError(t, err)
		require.Equal(t, []string{
			folder + "/job(Cyan).tif", folder + "/job(Magenta).tif", folder + "/job(Yellow).tif", folder + "/job(Black).tif", folder + "/job(Harbour Blue).tif",
		}, paths, "no picture of all inks")
		within := map[bool]float64{true: square / 255, false: square / 100}[contone]
		for _, path := range paths {
			maps, err := Reading{Inputs: []coverage.Input{{Path: path}}}.Maps(t.Context())
			require.NoError(t, err)
			require.Len(t, maps, 1)
			m := maps[0]
			assert.InDelta(t, want[m.Ink], m.CoveragePct(), within, "%s, contone %v", m.Ink, contone)
			assert.Equal(t, map[bool]uint64{true: 255, false: 1}[contone], m.Full)
			assert.Equal(t, []int{300, 200}, []int{m.Width, m.Height})
			assert.Equal(t, 72.0, m.DPIX)
		}
	}
	entries, err := os.ReadDir("plates")
	require.NoError(t, err)
	assert.Len(t, entries, 5, "nothing temporary is left")
}

// TestScreenKeepsTints: screened, a tint covers what the file states. Ghostscript's
// own screen covers 6.25 % at 600 dpi where 10 % is stated.
func TestScreenKeepsTints(t *testing.T) {
	t.Chdir(t.TempDir())
	writeText(t, "tints.ps", "%!PS\n<</PageSize [800 80]>> setpagedevice\n0 1 99 { dup 100 div 0 0 0 4 -1 roll setcmykcolor 8 mul 0 8 80 rectfill } for showpage\n")
	paths, err := Separating{}.WriteSeparations(t.Context(), "tints.ps", ".", false, nil)
	require.NoError(t, err)
	maps, err := Reading{Inputs: []coverage.Input{{Path: paths[3]}}}.Maps(t.Context())
	require.NoError(t, err)
	m := maps[0]
	for tint := range 100 {
		var ink uint64
		from, to := m.Width*tint/100, m.Width*(tint+1)/100
		for _, column := range m.Columns[from+2 : to-2] { // off the borders
			ink += column
		}
		got := 100 * float64(ink) / float64((to-from-4)*m.Height)
		assert.InDelta(t, float64(tint), got, 1, "tint %d", tint)
	}
}

// TestSpotNames: inks keep their names to the letter, in files that every system
// takes, whatever a PDF calls them.
func TestSpotNames(t *testing.T) {
	t.Chdir(t.TempDir())
	names := []string{"A/B", "A%2FB", "50% tint", `Light (warm) "x"`, "Grün 海", "line\nbreak\x01", "..", `c:\d*?<>|`, "red", "Red", "K"}
	var ps strings.Builder
	ps.WriteString("%!PS\n<</PageSize [200 20]>> setpagedevice\n")
	for i, name := range names {
		fmt.Fprintf(&ps, "[/Separation <%s> /DeviceCMYK {0 0 0}] setcolorspace 1 setcolor %d 0 10 10 rectfill\n", hex.EncodeToString([]byte(name)), 10*i)
	}
	ps.WriteString("showpage\n")
	pdfOf(t, "job.pdf", ps.String())
	paths, err := Separating{DPIX: 72, DPIY: 72}.WriteSeparations(t.Context(), "job.pdf", ".", false, nil)
	require.NoError(t, err)
	var inputs []coverage.Input
	lower := map[string]bool{}
	for _, path := range paths {
		assert.NotRegexp(t, `[\x00-\x1f/\\:*?"<>|]`, path)
		assert.False(t, lower[strings.ToLower(path)], path)
		lower[strings.ToLower(path)] = true
		inputs = append(inputs, coverage.Input{Path: path})
	}
	maps, err := Reading{Inputs: inputs}.Maps(t.Context())
	require.NoError(t, err)
	assert.ElementsMatch(t, append(names, "Cyan", "Magenta", "Yellow", "Black"), InksOf(maps))
	assert.ElementsMatch(t, InksOf(maps), InksOf(measuredPages(t, Separating{DPIX: 72, DPIY: 72}, "job.pdf")))
	for _, m := range maps[4:] {
		assert.Equal(t, uint64(100), m.Total(), "a square of 10 px of %q", m.Ink)
	}
	assert.Equal(t, "job", coverage.JobName(maps[:4]))
}

// manyInks is a page of n spot inks.
func manyInks(n int) string {
	var ps strings.Builder
	ps.WriteString("%!PS\n<</PageSize [700 10]>> setpagedevice\n")
	for i := range n {
		fmt.Fprintf(&ps, "[/Separation (Spot %d) /DeviceCMYK {0 0 0}] setcolorspace 1 setcolor %d 0 10 10 rectfill\n", i, 10*i)
	}
	return ps.String() + "showpage\n"
}

// TestManyInks: 40 spot inks are kept apart, and of more than Ghostscript keeps
// apart none goes into another unseen.
func TestManyInks(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, path := range []string{writeText(t, "40.ps", manyInks(40)), pdfOf(t, "40.pdf", manyInks(40))} {
		maps := measuredPages(t, Separating{DPIX: 72, DPIY: 72}, path)
		require.Len(t, maps, 4+40)
		for _, m := range maps[4:] {
			assert.Equal(t, uint64(100*255), m.Total(), m.Ink)
		}
	}
	_, err := Separating{DPIX: 72, DPIY: 72}.WriteSeparations(t.Context(), writeText(t, "61.ps", manyInks(61)), ".", false, nil)
	assert.EqualError(t, err, "61.ps: has more than 60 inks beside the process inks; merge those that print alike")
}

// TestPagesOfPDF: pages are taken by their numbers, each of its own size, and the
// inks may be named on the way.
func TestPagesOfPDF(t *testing.T) {
	t.Chdir(t.TempDir())
	const ps = "%!PS\n1 1 3 {<</PageSize [3 index 100 mul 50]>> setpagedevice 0 0 0 1 setcmykcolor 0 0 3 -1 roll 10 mul 50 rectfill showpage} for\n"
	for _, path := range []string{writeText(t, "job.ps", ps), pdfOf(t, "job.pdf", ps)} {
		s := Separating{DPIX: 72, DPIY: 144, Ranges: [][2]int{{3, 3}, {2, 2}}}
		maps := measuredPages(t, s, path)
		require.Len(t, maps, 8)
		for i, page := range []int{2, 3} {
			black := maps[4*i+3]
			assert.Equal(t, []any{"Black", page, 4, 100 * page, 100}, []any{black.Ink, black.Page, black.Channel, black.Width, black.Height}, path)
			assert.InDelta(t, 10, black.CoveragePct(), 1e-9)
		}
		paths, err := s.WriteSeparations(t.Context(), path, ".", false, nil)
		require.NoError(t, err)
		assert.Equal(t, []string{"job-p2(Cyan).tif", "job-p3(Black).tif"}, []string{paths[0], paths[7]})
		for _, path := range paths { // what is there already is not overwritten
			require.NoError(t, os.Remove(path))
		}

		s.OnePage = true
		_, err = Reading{Inputs: []coverage.Input{{Path: path}}, Separating: &s}.Maps(t.Context())
		assert.Equal(t, &PagesError{path, 2}, err)
		s.Ranges = [][2]int{{2, 2}}
		r := Reading{Inputs: []coverage.Input{{Path: path, Inks: []string{"Rust", "Moss", "Sand", "Tar"}}}, Separating: &s}
		named, err := r.Maps(t.Context())
		require.NoError(t, err)
		assert.Equal(t, []string{"Rust", "Moss", "Sand", "Tar"}, InksOf(named))
		r.Inputs[0].Inks = []string{"Rust"}
		_, err = r.Maps(t.Context())
		assert.Equal(t, &coverage.InkCountError{File: path, Names: 1, Separations: 4}, err)
	}
}

// TestPDFOfPiecesIsSeparatedOnce: pieces that are cropped out of one page, each with
// what it leaves: the black square of 50 pt lies in 100 of 300 x 200 pt at the left.
func TestPDFOfPiecesIsSeparatedOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	pdfOf(t, "job.pdf", "%!PS\n<</PageSize [300 200]>> setpagedevice 0 0 0 1 setcmykcolor 10 10 50 50 rectfill showpage\n")
	writeText(t, "job.form.toml", `width_mm = 150
height_mm = 100
[[pieces]]
files = ["job.pdf"]
x_mm = 0
y_mm = 0
crop = { right_mm = 70.555555 }
[[pieces]]
files = ["job.pdf"]
x_mm = 75
y_mm = 0
crop = { left_mm = 35.277777 }
`)
	separated := 0
	s := Separating{DPIX: 72, DPIY: 72, Note: func(Note) { separated++ }}
	maps, err := Reading{Inputs: []coverage.Input{{Path: "job.form.toml"}}, Separating: &s}.Maps(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, separated)
	require.Len(t, maps, 4)
	black := maps[3].Sheet.Pieces
	assert.Equal(t, []int{100, 200}, []int{black[0].Map.Width, black[1].Map.Width})
	assert.InDelta(t, 50*50/(100.0*200)*100, black[0].Map.CoveragePct(), 1e-9)
	assert.Zero(t, black[1].Map.Total())
}

// TestSeparatingStops: who interrupts it, or gives it no more time, is left with
// nothing: no file, no folder, no Ghostscript.
func TestSeparatingStops(t *testing.T) {
	t.Chdir(t.TempDir())
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	writeText(t, "endless.ps", "%!PS\n{} loop\n")
	interrupted := errors.New("interrupted")
	ctx, stop := context.WithCancelCause(t.Context())
	time.AfterFunc(2*time.Second, func() { stop(interrupted) })
	_, err := Separating{}.WriteSeparations(ctx, "endless.ps", "plates", false, nil)
	assert.Equal(t, interrupted, err)
	assert.NoDirExists(t, "plates")

	began := time.Now()
	s := Separating{Time: 2 * time.Second}
	_, err = Reading{Inputs: []coverage.Input{{Path: "endless.ps"}}, Separating: &s}.Maps(t.Context())
	assert.Equal(t, &SlowError{"endless.ps", 2 * time.Second}, err)
	assert.Less(t, time.Since(began), 20*time.Second)

	left, err := os.ReadDir(temporary)
	require.NoError(t, err)
	assert.Empty(t, left)
	assert.Empty(t, running(t, "endless.ps"))
}

// running are the programs that are given a file, where /proc tells.
func running(t *testing.T, file string) (found []string) {
	path, err := filepath.Abs(file)
	require.NoError(t, err)
	lines, err := filepath.Glob("/proc/[0-9]*/cmdline")
	require.NoError(t, err)
	for _, line := range lines {
		if text, err := os.ReadFile(line); err == nil && bytes.Contains(text, []byte(path)) {
			found = append(found, string(text))
		}
	}
	return found
}

// TestLeftOverFolders: temporary folders of killed runs go, those at work stay.
func TestLeftOverFolders(t *testing.T) {
	t.Chdir(t.TempDir())
	old := time.Now().Add(-2 * leftOver)
	require.NoError(t, os.Mkdir(".bladeline-1", 0o700))
	writeText(t, ".bladeline-1/p1.tif", "")
	atWork, err := newTemporaryFolder(".")
	require.NoError(t, err)
	for _, name := range []string{".bladeline-1", atWork.path} {
		require.NoError(t, os.Chtimes(name, old, old))
	}
	next, err := newTemporaryFolder(".")
	require.NoError(t, err)
	assert.NoDirExists(t, ".bladeline-1")
	assert.DirExists(t, atWork.path)
	for _, f := range []*temporaryFolder{atWork, next} {
		f.remove()
		assert.NoDirExists(t, f.path)
	}
}

// TestOptionsOfOthers: what the environment would have Ghostscript do stays undone.
func TestOptionsOfOthers(t *testing.T) {
	t.Chdir(t.TempDir())
	secret := writeText(t, filepath.Join(t.TempDir(), "secret"), "secret")
	t.Setenv("GS_OPTIONS", "-dNOSAFER")
	writeText(t, "reads.ps", fmt.Sprintf("%%!PS\n(%s) (r) file pop showpage\n", secret))
	_, err := Separating{}.WriteSeparations(t.Context(), "reads.ps", ".", false, nil)
	require.ErrorContains(t, err, "asks for another file")
	_, err = os.Stat("reads(Black).tif")
	assert.ErrorIs(t, err, fs.ErrNotExist)
}
