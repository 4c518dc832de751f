package job

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// An assembly puts the pieces of a form together, ink by ink.
type assembly struct {
	form    *Form
	inks    []*coverage.Map
	sizes   []pieceSize
	derived map[derivedKey]*coverage.Map
}

type pieceSize struct{ wide, long float64 }

type derivedKey struct {
	*coverage.Map
	ink        string
	dpiX, dpiY float64
}

// derive is a measured separation under the ink's name and at the piece's own
// resolution: the same for pieces that want the same.
func (a *assembly) derive(m *coverage.Map, ink string, p *FormPiece) *coverage.Map {
	key := derivedKey{m, ink, p.DPIX, p.DPIY}
	if had := a.derived[key]; had != nil {
		return had
	}
	v := m
	if ink != "" && ink != m.Ink || p.DPIX != 0 || p.DPIY != 0 {
		v = new(*m)
		if ink != "" {
			v.Ink = ink
		}
		if p.DPIX != 0 {
			v.DPIX = p.DPIX
		}
		if p.DPIY != 0 {
			v.DPIY = p.DPIY
		}
	}
	a.derived[key] = v
	return v
}

// add puts a piece on the sheets of its inks.
func (a *assembly) add(p *FormPiece, own []*coverage.Map) error {
	at := p.Piece
	var size pieceSize
	for i, m := range own {
		for _, earlier := range own[:i] {
			if strings.EqualFold(m.Ink, earlier.Ink) {
				return a.form.twice(p, m, earlier)
			}
		}
		at.Map = m
		wide, long := at.SizeMM()
		size = pieceSize{max(size.wide, wide), max(size.long, long)}
	}
	if p.Gaps {
		at.StepXMM, at.StepYMM = p.StepXMM+size.wide, p.StepYMM+size.long
	}
	a.sizes = append(a.sizes, pieceSize{size.wide + float64(max(1, p.Across)-1)*at.StepXMM, size.long + float64(max(1, p.Along)-1)*at.StepYMM})
	for _, m := range own {
		at.Map = m
		s := a.sheetOf(m)
		s.Pieces = append(s.Pieces, at)
	}
	return nil
}

// twice refuses two separations of one ink in one piece.
func (f *Form) twice(p *FormPiece, m, earlier *coverage.Map) error {
	do := "name them apart under [pieces.inks], or leave one out"
	if f.Name == "" {
		do = "give each a place of its own, as --at NAME=X,Y, or name them apart as INK=FILE"
	}
	return f.refused(fmt.Sprintf("piece %d", p.Number), fmt.Sprintf("%s is the ink %s, and so is %s", m.File, m.Ink, earlier.File), do)
}

// sheetOf is the sheet of a separation's ink.
func (a *assembly) sheetOf(m *coverage.Map) *coverage.Sheet {
	for _, ink := range a.inks {
		if strings.EqualFold(ink.Ink, m.Ink) {
			return ink.Sheet
		}
	}
	form := &coverage.Map{Ink: m.Ink, File: a.form.Name, Page: 1, Channel: len(a.inks) + 1, Sheet: &coverage.Sheet{WidthMM: a.form.WidthMM, LengthMM: a.form.LengthMM}}
	if form.File == "" {
		form.File, form.Page, form.Channel = m.File, m.Page, m.Channel
	}
	a.inks = append(a.inks, form)
	return form.Sheet
}

// finish gives the sheet its size, where none is stated, and warns of what pieces
// lack.
func (a *assembly) finish() {
	for _, ink := range a.inks {
		s := ink.Sheet
		if s.WidthMM == 0 {
			s.WidthMM = a.extent(func(p *FormPiece, size pieceSize) (float64, float64) { return p.XMM, size.wide })
		}
		if s.LengthMM == 0 {
			s.LengthMM = a.extent(func(p *FormPiece, size pieceSize) (float64, float64) { return p.YMM, size.long })
		}
		if text := a.missing(ink.Ink, s); text != "" {
			ink.Warnings = append(ink.Warnings, coverage.Warning{Code: zones.CodeMissing, Text: text})
		}
	}
	a.unheardOf()
}

// unheardOf warns of inks that pieces are said to be without and that none has, as of a
// slip of the pen: with the ink that may be meant.
func (a *assembly) unheardOf() {
	inks := InksOf(a.inks)
	for i := range a.form.Pieces {
		p := &a.form.Pieces[i]
		for _, w := range p.Without {
			if slices.ContainsFunc(inks, func(ink string) bool { return strings.EqualFold(ink, w) }) {
				continue
			}
			at, do := 0, "correct it, or remove it"
			if meant := settings.Nearest(w, inks); meant != "" {
				at, do = slices.Index(inks, meant), "write "+settings.TOMLString(meant)
			}
			text := fmt.Sprintf("piece %d is said to be without %s, which no piece of the form has: %s", p.Number, settings.Quoted(w), do)
			a.inks[at].Warnings = append(a.inks[at].Warnings, coverage.Warning{Code: zones.CodeMissing, Text: text})
		}
	}
}

// extent is how wide or long a sheet is that pieces stand on with as much margin
// behind them as before.
func (a *assembly) extent(of func(*FormPiece, pieceSize) (at, size float64)) float64 {
	var least, most float64
	for i := range a.form.Pieces {
		at, size := of(&a.form.Pieces[i], a.sizes[i])
		if i == 0 || at < least {
			least = at
		}
		most = max(most, at+size)
	}
	return most + max(0, least)
}

// missing names the pieces that have no separation of an ink and are not said to have
// none.
func (a *assembly) missing(ink string, s *coverage.Sheet) string {
	has := map[int]bool{}
	for _, p := range s.Pieces {
		has[p.Number] = true
	}
	var lack []string
	for i := range a.form.Pieces {
		p := &a.form.Pieces[i]
		if !has[p.Number] && !slices.ContainsFunc(p.Without, func(w string) bool { return strings.EqualFold(w, ink) }) {
			lack = append(lack, fmt.Sprint(p.Number))
		}
	}
	if len(lack) == 0 {
		return ""
	}
	verb := "has"
	if len(lack) > 1 {
		verb = "have"
	}
	text := fmt.Sprintf("%s %s no %s, which others of the form have", pieceNumbers(lack), verb, ink)
	if a.form.Name != "" {
		text += ": name the separation, or write without = [" + settings.TOMLString(ink) + "]"
	}
	return text
}

// pieceNumbers are "piece 2" or "pieces 2, 3 and 5".
func pieceNumbers(numbers []string) string {
	if len(numbers) == 1 {
		return "piece " + numbers[0]
	}
	return "pieces " + listed(numbers)
}

// listed are a few names, and how many more there are.
func listed(names []string) string {
	const most = 10
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return names[0]
}
