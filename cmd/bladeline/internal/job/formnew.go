package job

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// How the sheet of a NewForm is turned over for its second side.
type TurnedOver string

const (
	OneSide TurnedOver = ""
	Turn    TurnedOver = "turn"   // left to right: work-and-turn
	Tumble  TurnedOver = "tumble" // lead edge to tail edge: work-and-tumble
)

// A NewForm says how a form file begins.
type NewForm struct {
	Reading
	Path              string  // to write, where nothing is yet
	WidthMM, LengthMM float64 // 0: what the pieces take
	GapMM, GripperMM  float64
	Over              TurnedOver
	DPIX, DPIY        float64 // of rasters that state none, or another; 0: their own
}

// A newPiece is a piece of a new form: files that are one job by their names.
type newPiece struct {
	name       string
	files      []string
	inks       []zones.FileInk // of files that do not say so themselves
	page       int             // of the files; 0 is all of them
	wide, long float64
	x, y       float64
	turn       int
}

// Write measures the files for their sizes, and writes the form's file. It returns the
// files that it left out, composites of separations by their names.
func (n NewForm) Write(ctx context.Context) (leftOut []string, err error) {
	if !zones.IsForm(n.Path) {
		return nil, fmt.Errorf("%s: a form file's name ends in %s, by which it is known; name it so", n.Path, zones.FormEnding)
	}
	if err := isNew(n.Path); err != nil {
		return nil, err
	}
	pieces, leftOut, err := n.pieces(ctx)
	if err != nil {
		return nil, err
	}
	if n.Over != OneSide && len(pieces) != 2 {
		return nil, fmt.Errorf("a sheet that is turned over has two sides, and by their names the files make up %d; name the separations of the front and then those of the back", len(pieces))
	}
	width, length := n.place(pieces)
	text := n.text(pieces, width, length)
	if _, err := zones.ParseForm(n.Path, text); err != nil {
		return nil, &AskedError{err}
	}
	return leftOut, WriteFiles([]File{Bytes(n.Path, text)})
}

// pieces are the files by the jobs that they are of, in the order in which they were
// named, and as large as their largest.
func (n *NewForm) pieces(ctx context.Context) (pieces []*newPiece, leftOut []string, err error) {
	of, leftOut, err := n.sets()
	if err != nil {
		return nil, nil, err
	}
	measured, err := n.measureAll(ctx, n.Inputs)
	if err != nil {
		return nil, nil, err
	}
	byKey := map[string]*newPiece{}
	for i, in := range n.Inputs {
		for _, m := range measured[i] {
			if m.Sheet != nil {
				return nil, nil, fmt.Errorf("%s: holds a form of several pieces itself; name its separations", in.Path)
			}
		}
		for _, page := range byPages(measured[i]) {
			key := fmt.Sprint(page.number, " ", of[in.Path].Folder, " ", of[in.Path].Name)
			p := byKey[key]
			if p == nil {
				p = &newPiece{name: of[in.Path].Name, page: page.number}
				byKey[key] = p
				pieces = append(pieces, p)
			}
			if err := n.grow(p, in, page.maps); err != nil {
				return nil, nil, err
			}
		}
	}
	return pieces, leftOut, nil
}

// sets are the jobs of the inputs, by their paths. Inks that names alone tell go with
// the inputs, and composites of separations are left out of them.
func (n *NewForm) sets() (of map[string]*Set, leftOut []string, err error) {
	given := map[string]coverage.Input{}
	var paths []string
	for _, in := range n.Inputs {
		given[in.Path] = in
		paths = append(paths, in.Path)
	}
	of = map[string]*Set{}
	told := map[string]coverage.Input{}
	for _, s := range (Names{}).Sets(paths) {
		if s.Refused != nil {
			return nil, nil, s.Refused
		}
		leftOut = append(leftOut, s.LeftOut...)
		for _, in := range s.Inputs {
			of[in.Path], told[in.Path] = &s, in
		}
	}
	var inputs []coverage.Input
	for _, path := range paths {
		in, is := told[path]
		if !is { // left out, or named before
			continue
		}
		if len(given[path].Inks) > 0 {
			in = given[path]
		}
		inputs = append(inputs, in)
		delete(told, path)
	}
	n.Inputs = inputs
	return of, leftOut, nil
}

// grow adds a file's separations to a piece, which is as large as the largest.
func (n *NewForm) grow(p *newPiece, in coverage.Input, maps []*coverage.Map) error {
	if len(in.Inks) == 0 {
		p.files = append(p.files, in.Path)
	}
	for _, m := range maps {
		wide, long := n.size(m)
		if wide == 0 || long == 0 {
			return errors.New(in.Path + ": states no resolution, so its size is not known; give --dpi")
		}
		p.wide, p.long = max(p.wide, wide), max(p.long, long)
		if len(in.Inks) == 0 {
			continue
		}
		ink := zones.FileInk{Ink: m.Ink, File: in.Path}
		if len(maps) > 1 || p.page > 0 {
			ink.Page, ink.Channel = m.Page, m.Channel
		}
		p.inks = append(p.inks, ink)
	}
	return nil
}

// A newPage is a page of a file that is a piece by itself; 0 is all of its pages.
type newPage struct {
	number int
	maps   []*coverage.Map
}

// byPages are the pages of a file, where an ink is on several: else they are the
// separations of one.
func byPages(maps []*coverage.Map) []newPage {
	several := false
	for i, m := range maps {
		for _, earlier := range maps[:i] {
			several = several || strings.EqualFold(m.Ink, earlier.Ink)
		}
	}
	if !several {
		return []newPage{{0, maps}}
	}
	var pages []newPage
	for _, m := range maps {
		if len(pages) == 0 || pages[len(pages)-1].number != m.Page {
			pages = append(pages, newPage{number: m.Page})
		}
		last := &pages[len(pages)-1]
		last.maps = append(last.maps, m)
	}
	return pages
}

func (n *NewForm) size(m *coverage.Map) (wide, long float64) {
	v := *m
	if n.DPIX > 0 {
		v.DPIX, v.DPIY = n.DPIX, n.DPIY
	}
	return v.WidthMM(), v.HeightMM()
}

// place puts the pieces on the sheet, and returns how large that is. They stand side
// by side, behind the gripper margin, in the middle of a sheet of a size that is
// asked for. The two sides of a sheet that is turned over stand on both sides of the
// line that it is turned about: each then backs the other.
func (n *NewForm) place(pieces []*newPiece) (width, length float64) {
	wide, long := 0.0, 0.0
	for i, p := range pieces {
		if i > 0 {
			wide += n.GapMM
		}
		wide, long = wide+p.wide, max(long, p.long)
	}
	width, length = orElse(n.WidthMM, wide), orElse(n.LengthMM, n.GripperMM+long)
	if n.Over != OneSide {
		return n.placeOver(pieces[0], pieces[1])
	}
	x := (width - wide) / 2
	for _, p := range pieces {
		p.x, p.y = x, n.GripperMM
		x += p.wide + n.GapMM
	}
	return width, length
}

func (n *NewForm) placeOver(front, back *newPiece) (width, length float64) {
	wide, long := max(front.wide, back.wide), max(front.long, back.long)
	if n.Over == Turn {
		width, length = orElse(n.WidthMM, 2*wide+n.GapMM), orElse(n.LengthMM, n.GripperMM+long)
		front.x, front.y = width/2-n.GapMM/2-front.wide, n.GripperMM
		back.x, back.y = width/2+n.GapMM/2, n.GripperMM
		return width, length
	}
	width, length = orElse(n.WidthMM, wide), orElse(n.LengthMM, 2*(n.GripperMM+long)+n.GapMM)
	front.x, front.y = (width-front.wide)/2, length/2-n.GapMM/2-front.long
	back.x, back.y, back.turn = (width-back.wide)/2, length/2+n.GapMM/2, 180
	return width, length
}

func orElse(v, otherwise float64) float64 {
	if v > 0 {
		return v
	}
	return otherwise
}

// text is the form's file.
func (n *NewForm) text(pieces []*newPiece, width, length float64) []byte {
	var b bytes.Buffer
	number := func(v float64) string { return settings.Decimal(math.Round(v*1e4) / 1e4) }
	fmt.Fprintf(&b, "# A form of several pieces, in bench view: the printed sheet face up, gripper edge\n# (lead edge) nearest you. x_mm counts from the sheet's left edge, y_mm from its gripper\n# edge.\n%s", n.says())
	fmt.Fprintf(&b, "width_mm = %s   # of the sheet, across\nheight_mm = %s  # from the gripper edge to the tail edge\n", number(math.Ceil(width*1e4-1e-3)/1e4), number(math.Ceil(length*1e4-1e-3)/1e4))
	for _, p := range pieces {
		fmt.Fprintf(&b, "\n[[pieces]] # %s, %.2f × %.2f mm\n%sx_mm = %s  # of its left corner\ny_mm = %s  # nearest the gripper edge\n",
			settings.Printable(p.name), p.wide, p.long, n.separations(p), number(p.x), number(p.y))
		if p.page > 0 && len(p.files) > 0 {
			fmt.Fprintf(&b, "page = %d\n", p.page)
		}
		if p.turn != 0 {
			fmt.Fprintf(&b, "turn = %d    # clockwise: 0, 90, 180 or 270\n", p.turn)
		}
		if n.DPIX > 0 {
			fmt.Fprintf(&b, "dpi_x = %s\ndpi_y = %s\n", number(n.DPIX), number(n.DPIY))
		}
		if len(pieces) == 1 {
			b.WriteString("# repeat = { across = 3, along = 7, gap_x_mm = 2, gap_y_mm = 2 }  # cards 21 up\n")
		}
	}
	b.WriteString("\n# Also of a piece: turn = 90, mirrored = true, overprint = true, dpi = 2540,\n# crop = { left_mm = 3, right_mm = 3, top_mm = 3, bottom_mm = 3 },\n# inks.Black = { file = \"job.tif\", page = 2, channel = 1 }, without = [\"Cyan\"].\n")
	return b.Bytes()
}

// says is how the sheet is turned over.
func (n *NewForm) says() string {
	switch n.Over {
	case Turn:
		return "# Work-and-turn: one plate prints both sides. After the first side turn the pile left\n# to right: the gripper edge stays, the side lay changes. Cut down the middle each sheet is\n# two copies.\n"
	case Tumble:
		return "# Work-and-tumble: one plate prints both sides. After the first side tumble the pile,\n# tail edge to grippers: the side lay stays, and both edges need a gripper margin. Cut across\n# the middle each sheet is two copies.\n"
	}
	return ""
}

// separations are those of a piece as the form's file names them.
func (n *NewForm) separations(p *newPiece) string {
	var b strings.Builder
	if len(p.files) > 0 {
		var names []string
		for _, file := range p.files {
			names = append(names, n.named(file))
		}
		fmt.Fprintf(&b, "files = [%s]\n", strings.Join(names, ", "))
	}
	for _, ink := range p.inks {
		fmt.Fprintf(&b, "inks.%s = { file = %s", settings.TOMLKey(ink.Ink), n.named(ink.File))
		if ink.Page > 0 {
			fmt.Fprintf(&b, ", page = %d, channel = %d", ink.Page, ink.Channel)
		}
		b.WriteString(" }\n")
	}
	return b.String()
}

// named is a file as the form's file names it, relative to that.
func (n *NewForm) named(file string) string {
	if rel, err := relative(filepath.Dir(n.Path), file); err == nil {
		file = rel
	}
	return settings.TOMLString(filepath.ToSlash(file))
}

// relative is a path from a folder; an absolute one stays.
func relative(folder, path string) (string, error) {
	if filepath.IsAbs(path) {
		return path, nil
	}
	return seenFrom(folder, path)
}
