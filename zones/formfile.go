package zones

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
)

// A FormFile is a form of several pieces as its file states it. Places are those of
// the printed sheet in bench view.
type FormFile struct {
	WidthMM, LengthMM float64
	Pieces            []FilePiece
}

// A FilePiece is a piece of a form file. The Map of its Piece is not there yet; the
// files of its separations are to be read for it.
type FilePiece struct {
	coverage.Piece
	Files   []string  // names, or patterns of names; each holds one separation or several
	Page    int       // of Files, counted from 1; 0 is all
	Inks    []FileInk // separations that are named one by one
	Without []string  // inks that other pieces have and this has not, as is well known

	DPIX, DPIY float64 // px an inch of the rasters as given; 0: as they state themselves
	Crop       *coverage.Crop
	Gaps       bool // StepXMM and StepYMM are the gaps between copies, not their distance
}

// A FileInk is a separation that a form file names by its ink.
type FileInk struct {
	Ink, File     string
	Page, Channel int // counted from 1; 0 where the file has one separation
}

// formFile is the file as it is read; nil is absent.
type formFile struct {
	WidthMM  *float64    `toml:"width_mm"`
	HeightMM *float64    `toml:"height_mm"`
	Pieces   []pieceFile `toml:"pieces"`
}

type pieceFile struct {
	Files     []string            `toml:"files"`
	Page      *int                `toml:"page"`
	Inks      map[string]pieceInk `toml:"inks"`
	Without   []string            `toml:"without"`
	XMM       *float64            `toml:"x_mm"`
	YMM       *float64            `toml:"y_mm"`
	Turn      int                 `toml:"turn"`
	Mirrored  bool                `toml:"mirrored"`
	Overprint bool                `toml:"overprint"`
	DPI       *float64            `toml:"dpi"`
	DPIX      *float64            `toml:"dpi_x"`
	DPIY      *float64            `toml:"dpi_y"`
	Crop      *cropFile           `toml:"crop"`
	Repeat    *repeatFile         `toml:"repeat"`
}

type pieceInk struct {
	File    string `toml:"file"`
	Page    *int   `toml:"page"`
	Channel *int   `toml:"channel"`
}

type cropFile struct {
	LeftMM   *float64 `toml:"left_mm"`
	RightMM  *float64 `toml:"right_mm"`
	TopMM    *float64 `toml:"top_mm"`
	BottomMM *float64 `toml:"bottom_mm"`
}

type repeatFile struct {
	Across  *int     `toml:"across"`
	Along   *int     `toml:"along"`
	GapXMM  *float64 `toml:"gap_x_mm"`
	GapYMM  *float64 `toml:"gap_y_mm"`
	StepXMM *float64 `toml:"step_x_mm"`
	StepYMM *float64 `toml:"step_y_mm"`
}

// ParseForm reads a form file from TOML. Required are the sheet's size and, of each
// piece, its separations and its place. file names the source in errors, which are of
// type *settings.FileError.
func ParseForm(file string, data []byte) (*FormFile, error) {
	var raw formFile
	if err := settings.Decode(file, data, &raw); err != nil {
		return nil, err
	}
	r := formRules{file: file}
	f := &FormFile{
		WidthMM:  r.length("width_mm", raw.WidthMM),
		LengthMM: r.length("height_mm", raw.HeightMM),
	}
	if len(raw.Pieces) == 0 {
		r.fail("pieces", "there are none", "add a [[pieces]] with its files, x_mm and y_mm")
	}
	copies := 0
	for i, p := range raw.Pieces {
		r.table = fmt.Sprintf("piece %d: ", i+1)
		f.Pieces = append(f.Pieces, p.piece(&r, i+1))
		if copies += f.Pieces[i].Copies(); copies > coverage.MaxPieces {
			r.fail("repeat", fmt.Sprintf("more than %d pieces do not go on one sheet", coverage.MaxPieces), "correct the repeats, or measure some pieces together as one raster")
		}
		if r.err != nil {
			return nil, r.err
		}
	}
	return f, r.err
}

// formRules keep the first error.
type formRules struct {
	file, table string
	err         error
}

func (r *formRules) fail(place, what, do string) {
	if r.err == nil {
		r.err = &settings.FileError{File: r.file, Place: r.table + place, What: what, Do: do}
	}
}

// number is a number from low to high; 0 where it is absent and need not be there.
func (r *formRules) number(place string, v *float64, needed bool, low, high float64) float64 {
	switch {
	case v == nil && needed:
		r.fail(place, "is missing", "the form's file must state it")
		return 0
	case v == nil:
		return 0
	case !(*v >= low && *v <= high):
		r.fail(place, fmt.Sprintf("%s is outside %s to %s", settings.Plain(*v), settings.Plain(low), settings.Plain(high)), "correct it")
	}
	return *v
}

func (r *formRules) length(place string, v *float64) float64 {
	return r.number(place, v, true, 1, coverage.MaxSheetMM)
}

func (r *formRules) place(place string, v *float64, needed bool) float64 {
	return r.number(place, v, needed, -coverage.MaxSheetMM, coverage.MaxSheetMM)
}

// count is a number from 1 on; 0 where it is absent.
func (r *formRules) count(place string, v *int, most int) int {
	switch {
	case v == nil:
		return 0
	case *v < 1 || *v > most:
		r.fail(place, fmt.Sprintf("%d is outside 1 to %d", *v, most), "correct it")
	}
	return *v
}

// mostPages is more than any file of separations has.
const mostPages = 1 << 20

func (p *pieceFile) piece(r *formRules, number int) FilePiece {
	f := FilePiece{Files: p.Files, Page: r.count("page", p.Page, mostPages), Inks: p.inks(r), Without: p.Without}
	f.Number, f.Turn, f.Mirrored, f.Overprint = number, p.Turn, p.Mirrored, p.Overprint
	f.XMM, f.YMM = r.place("x_mm", p.XMM, true), r.place("y_mm", p.YMM, true)
	if p.Turn != 0 && p.Turn != 90 && p.Turn != 180 && p.Turn != 270 {
		r.fail("turn", fmt.Sprintf("%d degrees are no quarter turns", p.Turn), "write 0, 90, 180 or 270, clockwise")
	}
	if len(p.Files)+len(p.Inks) == 0 {
		r.fail("files", "no separation is named", `write files = ["card_*.tif"], or an [pieces.inks] table`)
	}
	if f.Page > 0 && len(p.Files) == 0 {
		r.fail("page", "is of files, and none are named", "write the page with each of the inks")
	}
	for _, name := range p.Files {
		r.name("files", name)
	}
	p.resolution(r, &f)
	p.crop(r, &f)
	p.repeat(r, &f)
	return f
}

// name refuses what is no name of a file.
func (r *formRules) name(place, name string) {
	if strings.TrimSpace(name) == "" || strings.ContainsRune(name, 0) {
		r.fail(place, settings.Quoted(name)+" is not the name of a file", "name a separation, or a pattern as card_*.tif")
	}
}

func (p *pieceFile) inks(r *formRules) (inks []FileInk) {
	seen := map[string]bool{}
	for _, ink := range slices.Sorted(maps.Keys(p.Inks)) {
		place := "inks." + ink
		raw := p.Inks[ink]
		r.name(place+".file", raw.File)
		if !settings.IsName(ink) || len(ink) > mostInkName {
			r.fail(place, settings.Quoted(ink)+" is not the name of an ink", "write one on a single line")
		}
		if seen[strings.ToLower(ink)] {
			r.fail(place, "is named twice", "remove one")
		}
		seen[strings.ToLower(ink)] = true
		inks = append(inks, FileInk{ink, raw.File, r.count(place+".page", raw.Page, mostPages), r.count(place+".channel", raw.Channel, mostPages)})
	}
	return inks
}

// mostInkName is as long as the name of an ink may be, in bytes.
const mostInkName = 800

func (p *pieceFile) resolution(r *formRules, f *FilePiece) {
	of := func(place string, v *float64) float64 { return r.number(place, v, false, 1, 100_000) }
	f.DPIX, f.DPIY = of("dpi_x", p.DPIX), of("dpi_y", p.DPIY)
	if p.DPI == nil {
		return
	}
	if p.DPIX != nil || p.DPIY != nil {
		r.fail("dpi", "is stated beside dpi_x or dpi_y", "write dpi alone, or dpi_x and dpi_y")
	}
	f.DPIX = of("dpi", p.DPI)
	f.DPIY = f.DPIX
}

func (p *pieceFile) crop(r *formRules, f *FilePiece) {
	if p.Crop == nil {
		return
	}
	of := func(place string, v *float64) float64 {
		return r.number("crop."+place, v, false, 0, coverage.MaxSheetMM)
	}
	f.Crop = &coverage.Crop{
		LeftMM: of("left_mm", p.Crop.LeftMM), RightMM: of("right_mm", p.Crop.RightMM),
		TopMM: of("top_mm", p.Crop.TopMM), BottomMM: of("bottom_mm", p.Crop.BottomMM),
		DPIX: f.DPIX, DPIY: f.DPIY,
	}
}

func (p *pieceFile) repeat(r *formRules, f *FilePiece) {
	if p.Repeat == nil {
		return
	}
	raw := p.Repeat
	f.Across, f.Along = r.count("repeat.across", raw.Across, coverage.MaxPieces), r.count("repeat.along", raw.Along, coverage.MaxPieces)
	f.Gaps = raw.StepXMM == nil && raw.StepYMM == nil
	if !f.Gaps && (raw.GapXMM != nil || raw.GapYMM != nil) {
		r.fail("repeat", "states both gaps and steps", "write the gaps between copies, or the steps from one to the next")
	}
	if f.Gaps {
		f.StepXMM, f.StepYMM = r.place("repeat.gap_x_mm", raw.GapXMM, false), r.place("repeat.gap_y_mm", raw.GapYMM, false)
		return
	}
	f.StepXMM = r.place("repeat.step_x_mm", raw.StepXMM, f.Across > 1)
	f.StepYMM = r.place("repeat.step_y_mm", raw.StepYMM, f.Along > 1)
}

// FormEnding is that of a form file's name.
const FormEnding = ".form.toml"

// IsForm tells a form file by the ending of its name.
func IsForm(path string) bool { return strings.HasSuffix(strings.ToLower(path), FormEnding) }
